"""What a person asks of a make-up: how much of what bath, from which bottles, with which tools.

A target names quantities of the finished bath with the value aimed at and the ends that will do.
Copper sulfate is asked for as pentahydrate, as metal, or without its water, each by its own name;
"copper sulfate" alone is refused, as it may mean two things that differ by half.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache
from math import isfinite

from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity
from tankside.bath.composition import Composition
from tankside.bath.evaporation import Room
from tankside.bath.ions import ions
from tankside.bath.makeup.vessels import Vessel
from tankside.substances import substance
from tankside.substances.products import Product

MARK_TEMPERATURE = 293.15
"""Temperature at which a bath is filled to its mark, and all its volumes are told [K]."""


@cache
def quantities() -> dict[str, tuple[str, float]]:
    """What a target may name: the ion that is counted, and kilograms of the quantity for a mole of
    that ion [kg mol⁻¹]."""
    salt, dry = substance("copper sulfate pentahydrate"), substance("copper sulfate")
    named = {
        "copper": ("copper ion", ions()["copper ion"].molar_mass),
        "copper sulfate pentahydrate": ("copper ion", salt.molar_mass),
        "anhydrous copper sulfate": ("copper ion", dry.molar_mass),
        "sulfuric acid": ("hydrogen ion", substance("sulfuric acid").molar_mass / 2.0),
        "citric acid": ("citrate", ions()["citrate"].molar_mass + 3.0 * _hydrogen()),
        "acetic acid": ("acetate", ions()["acetate"].molar_mass + _hydrogen()),
    }
    counted = {
        name: (name, ions()[name].molar_mass)
        for name in ("chloride", "hydrogen ion", "sulfate", "sodium ion", "citrate", "acetate")
    }
    return named | counted


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """One quantity of the finished bath.

    quantity   a name of `quantities()`
    value      aimed at (best), and the ends that will do [kg m⁻³ of bath at 20 °C]
    """

    quantity: str
    value: Interval

    def __post_init__(self) -> None:
        if self.quantity == "copper sulfate":
            raise BadInput(
                "'copper sulfate' may mean the blue crystals or the dry white powder, and 100 g of "
                "one is 64 g of the other; write 'copper sulfate pentahydrate', 'anhydrous copper "
                "sulfate' or 'copper'",
                where="target",
            )
        if self.quantity not in quantities():
            raise UnknownName("quantity", self.quantity, quantities(), where="target")
        if self.value.low < 0.0:
            raise BadInput(
                "{quantity} cannot be {low} in a bath; give a number from zero upwards",
                quantity=self.quantity,
                low=Quantity(self.value.low, "g/L", 6),
                where="target",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """The bath that is wanted: some quantities, each named once."""

    wanted: tuple[Wanted, ...]

    def __post_init__(self) -> None:
        counted = [quantities()[one.quantity][0] for one in self.wanted]
        if not self.wanted or len(set(counted)) < len(counted):
            raise BadInput(
                "a target names at least one quantity, and copper, acid or chloride once each",
                where="target",
            )

    def value(self, quantity: str) -> Interval | None:
        """What is wanted of a quantity [kg m⁻³], by that name; None where nothing is."""
        return next((one.value for one in self.wanted if one.quantity == quantity), None)


def acid_sulfate_target(
    composition: Composition, windows: Mapping[str, tuple[float, float]] | None = None
) -> Target:
    """An acid sulfate bath as a target, with the ends of its windows [kg m⁻³] where they are given
    by the composition's own names. What is zero and has no window is not asked for: it is told."""
    ends = windows or {}
    wanted = []
    for name in ("copper_sulfate_pentahydrate", "sulfuric_acid", "chloride"):
        aim = getattr(composition, name)
        if aim == 0.0 and name not in ends:
            continue  # nothing is wanted of it
        low, high = ends.get(name, (aim, aim))
        value = Interval(min(low, aim), aim, max(high, aim))
        wanted.append(Wanted(quantity=name.replace("_", " "), value=value))
    return Target(wanted=tuple(wanted))


@dataclass(frozen=True, slots=True, kw_only=True)
class Stocked:
    """A product on the shelf and how much of it there is [kg]; None where there is enough."""

    product: Product
    available: float | None = None

    def __post_init__(self) -> None:
        if self.available is not None and not (isfinite(self.available) and self.available >= 0.0):
            raise BadInput(
                "there cannot be {available} kg of {product}",
                available=self.available,
                product=self.product.name,
                where="shelf",
            )


class Measures(StrEnum):
    """What a tool measures."""

    MASS = "mass"
    VOLUME = "volume"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """A scale, a syringe, a jug.

    measures     mass or volume
    resolution   the least difference that it shows [kg or m³]
    capacity     the most that it takes at once [kg or m³]
    accuracy     how far its reading errs, nine times in ten [kg or m³]; None takes the resolution
    """

    name: str
    measures: Measures
    resolution: float
    capacity: float
    accuracy: float | None = None

    def __post_init__(self) -> None:
        if not 0.0 < self.resolution < self.capacity:
            raise BadInput(
                "{name}: a tool's resolution lies above zero and below its capacity",
                name=self.name,
                where="tools",
            )

    @property
    def error(self) -> float:
        """How far one reading errs, nine times in ten [kg or m³]."""
        return self.resolution if self.accuracy is None else self.accuracy


@dataclass(frozen=True, slots=True, kw_only=True)
class OldBath:
    """A bath that is there already.

    volume       at 20 °C [m³]
    holds        what is in it, as an analysis or a ledger knows it; what is not named is not there
    covariance   of what it holds, in that order [kg² m⁻⁶], where a ledger knows it; else the
                 intervals of `holds` count as independent
    """

    volume: Interval
    holds: tuple[Wanted, ...]
    covariance: tuple[tuple[float, ...], ...] | None = None

    def __post_init__(self) -> None:
        if not self.volume.low > 0.0:
            raise BadInput("an old bath has a volume above zero", where="old bath")
        Target(wanted=self.holds)
        size = len(self.holds)
        if self.covariance is not None and (
            len(self.covariance) != size or any(len(row) != size for row in self.covariance)
        ):
            raise BadInput(
                "an old bath of {size} quantities has a covariance of {size} rows of {size}",
                size=size,
                where="old bath",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Additive:
    """An additive by its maker's dose.

    product   as bought
    dose      per bath: m³ m⁻³ for a liquid, kg m⁻³ for a solid
    """

    product: Product
    dose: float


class Preference(StrEnum):
    """Which of several make-ups is proposed."""

    CHEAPEST = "cheapest"
    FEWEST = "fewest products"


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeUpRequest:
    """All that a make-up is computed from. SI; volumes at 20 °C.

    volume        of the finished bath [m³]
    shelf         what may be used, water included
    tools         what it is measured with
    old           a bath that is kept as far as the target allows
    coldest       the lowest temperature that the bath will meet [K]
    room          the air that cools the vessel
    start         temperature of water and products when the work begins [K]
    order         names of products in the order in which the person would add them; None proposes
    ice_bath      True where the vessel can stand in water with ice
    in_place      True where the old bath stays in this vessel
    mark_error    how far a filling to the person's mark errs, of the volume [-]; None takes a guess
    """

    volume: float
    target: Target
    shelf: tuple[Stocked, ...]
    tools: tuple[Tool, ...]
    vessel: Vessel
    old: OldBath | None = None
    additives: tuple[Additive, ...] = ()
    preference: Preference = Preference.CHEAPEST
    coldest: float = 288.15
    room: Room = field(default_factory=Room)
    start: float = MARK_TEMPERATURE
    order: tuple[str, ...] | None = None
    ice_bath: bool = False
    in_place: bool = False
    mark_error: float | None = None

    def __post_init__(self) -> None:
        if not (isfinite(self.volume) and self.volume > 0.0):
            raise BadInput(
                "a bath's volume is above zero, not {volume} m³", volume=self.volume, where="volume"
            )
        names = [one.product.name for one in self.shelf]
        doubles = sorted({name for name in names if names.count(name) > 1})
        if doubles:
            raise BadInput(
                "the shelf holds {doubles!r} twice; name them apart",
                doubles=doubles[0],
                where="shelf",
            )
        if self.mark_error is not None and not 0.0 <= self.mark_error < 0.5:
            raise BadInput(
                "a mark errs by a share of the volume from 0 to 0.5, not by {mark_error}",
                mark_error=self.mark_error,
                where="mark",
            )


def _hydrogen() -> float:
    return ions()["hydrogen ion"].molar_mass
