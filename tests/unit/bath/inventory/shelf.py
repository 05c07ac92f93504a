"""Bottles and baths that the tests of the ledger share."""

from dataclasses import replace

from tankside.base.intervals import Interval
from tankside.bath.analysis.finding import Finding
from tankside.bath.inventory import Bottle, Event, MakeUp, Portion, Priors, TakeOver
from tankside.bath.inventory.priors import known_priors
from tankside.substances.products import Content, Form, Product

DAY = 86400.0
HOUR = 3600.0


def product(name: str, substance: str, share: float, half: float, form: Form = Form.SOLID,
            density: float | None = None) -> Product:  # fmt: skip
    return Product(
        name=name,
        form=form,
        contents=(
            Content(substance=substance, mass_fraction=Interval(share - half, share, share + half)),
        ),
        density=None if density is None else Interval.exact(density),
    )


CRYSTALS = product("crystals", "copper sulfate pentahydrate", 0.985, 0.01)
BATTERY_ACID = product("battery acid", "sulfuric acid", 0.37, 0.008, Form.LIQUID, 1280.0)
MURIATIC = product("muriatic acid", "hydrochloric acid", 0.31, 0.01, Form.LIQUID, 1155.0)
WATER = product("water", "water", 1.0, 0.0, Form.LIQUID)
TAP = replace(WATER, name="tap water", chloride=Interval(1e-5, 3e-5, 6e-5))
BRIGHTENER = replace(WATER, name="brightener")

BOTTLES: tuple[Event, ...] = tuple(
    Bottle(at=-1.0, id=f"bottle of {one.name}", product=one, additive=one is BRIGHTENER)
    for one in (CRYSTALS, BATTERY_ACID, MURIATIC, WATER, TAP, BRIGHTENER)
)


def make_up(litres: float = 18.0) -> MakeUp:
    """A conventional bath of about so many litres."""
    masses = {"crystals": 0.215, "battery acid": 0.15, "muriatic acid": 2e-4, "brightener": 0.004,
              "water": 0.80}  # fmt: skip
    return MakeUp(
        at=0.0,
        id="make-up",
        portions=tuple(Portion(product=name, mass=litres * one) for name, one in masses.items()),
    )


def taken_over(copper: float = 54.0, acid: float = 55.0, chloride: float = 0.07,
               volume: float = 0.018, *, relative: float = 0.05) -> TakeOver:  # fmt: skip
    return TakeOver(
        at=0.0,
        id="taken over",
        volume=volume,
        volume_std=relative * volume,
        copper=copper,
        copper_std=relative * copper,
        sulfuric_acid=acid,
        sulfuric_acid_std=relative * acid,
        chloride=chloride,
        chloride_std=relative * chloride,
    )


def found(quantity: str, value: float, std: float, temperature: float | None = None) -> Finding:
    return Finding(
        quantity=quantity,
        value=Interval(value - 1.645 * std, value, value + 1.645 * std),
        std=std,
        method="titration",
        temperature=temperature,
    )


def certain(**own: Interval) -> Priors:
    """Priors without any scatter, so that the ledger alone decides."""
    quiet = {
        name: Interval.exact(1e-12)
        for name in known_priors()
        if name.endswith("_scatter")
        or name.startswith(("unlogged", "weighing", "pouring", "label", "chloride_traces"))
    }
    return Priors(own={**quiet, **own})
