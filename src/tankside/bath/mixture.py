"""What is in a vessel, in kilograms: bottles, baths and their mixtures.

Masses add, volumes do not: a volume comes from the mass by the density of the mixture. Nothing
reacts while masses are added, so the order of mixing cannot matter; `reacted` then lets bases take
up acid and carbonate give off its gas. Copper sulfate counts without its crystal water, which is
water; hydrochloric acid and salt count as chloride with their hydrogen or sodium.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from math import isfinite
from types import MappingProxyType

from tankside.base.errors import BadInput, Impossible, NotConverged, OutsideValidity
from tankside.base.messages import Quantity
from tankside.base.tables import table
from tankside.bath import water
from tankside.bath.composition import Composition
from tankside.bath.density import density
from tankside.bath.ions import dissolving, ions, ions_of
from tankside.substances import substance
from tankside.substances.products import Product

_TRACE = 1e-9
"""Share of the mass below which rounding, not chemistry, left something over [-]."""

_ROUNDING = 1e-14
_TOLERANCE = 1e-13
_MOST_ROUNDS = 60

_PAIRS = (
    # acids first: a weak acid holds its hydrogen, a strong one takes what is left
    ("acetic acid", {"hydrogen ion": 1, "acetate": 1}),
    ("citric acid", {"hydrogen ion": 3, "citrate": 1}),
    ("copper sulfate", {"copper ion": 1, "sulfate": 1}),
    ("sulfuric acid", {"hydrogen ion": 2, "sulfate": 1}),
)
_SALTS = (
    ("hydrochloric acid", {"hydrogen ion": 1, "chloride": 1}),
    ("sodium chloride", {"sodium ion": 1, "chloride": 1}),
)
_SPLIT = ("copper sulfate pentahydrate", "hydrochloric acid", "sodium chloride")


@dataclass(frozen=True, slots=True, kw_only=True)
class Mixture:
    """Kilograms of each substance, by its name in the substances room or in data/ions.csv.

    The mapping is a read-only copy. Negative or infinite masses are refused.
    """

    masses: Mapping[str, float]

    def __post_init__(self) -> None:
        for name, mass in self.masses.items():
            if not (isfinite(mass) and mass >= 0.0):
                raise BadInput(
                    "a mixture cannot hold {mass} kg of {name}", mass=mass, name=name, where=name
                )
        object.__setattr__(self, "masses", MappingProxyType(dict(self.masses)))

    def __hash__(self) -> int:
        return hash(frozenset(self.masses.items()))

    def __reduce__(self) -> tuple[object, ...]:
        return (_mixture_of, (dict(self.masses),))

    @property
    def mass(self) -> float:
        """All of it [kg]."""
        return sum(self.masses.values())

    def of(self, name: str) -> float:
        """How much of one substance [kg]; zero where there is none."""
        return self.masses.get(name, 0.0)

    def scaled(self, factor: float) -> "Mixture":
        """The same mixture, `factor` times as much."""
        return Mixture(masses={name: mass * factor for name, mass in self.masses.items()})


def portion(product: Product, mass: float) -> Mixture:
    """What `mass` [kg] of a product holds, by the best values of its label.

    Crystal water counts as water; what the label does not name is water; the chloride impurity
    comes with no counter-ion.
    """
    held: dict[str, float] = {"water": 0.0}
    for content in product.contents:
        _add(held, content.substance, mass * content.mass_fraction.best)
    if product.chloride.best > 0.0:
        _add(held, "chloride", mass * product.chloride.best)
    held["water"] += max(mass - sum(held.values()), 0.0)
    return Mixture(masses=held)


def mixed(*mixtures: Mixture) -> Mixture:
    """All of them together. Masses add; the order of the arguments does not matter beyond
    rounding."""
    total: dict[str, float] = {}
    for mixture in mixtures:
        for name, mass in mixture.masses.items():
            total[name] = total.get(name, 0.0) + mass
    return Mixture(masses=total)


def mixture_of(composition: Composition, volume: float, temperature: float) -> Mixture:
    """A bath of a composition [kg m⁻³] and volume [m³] at `temperature` [K] as masses.

    Water is what the density leaves; the chloride stands with its hydrogen, as acid.
    """
    acid = substance("hydrochloric acid").molar_mass / ions()["chloride"].molar_mass
    held = {
        "copper sulfate": composition.anhydrous_copper_sulfate * volume,
        "chloride": composition.chloride * volume,
        "hydrogen ion": composition.chloride * volume * (acid - 1.0),
    }
    hydrogen = ions_of(held)["hydrogen ion"] / 2.0 * substance("sulfuric acid").molar_mass
    held["sulfuric acid"] = max(composition.sulfuric_acid * volume - hydrogen, 0.0)
    return filled(Mixture(masses=held), volume, temperature)


def filled(mixture: Mixture, wanted: float, temperature: float) -> Mixture:
    """The mixture with as much water as brings it to a volume `wanted` [m³] at `temperature` [K].

    Impossible where it is more already. The density law is inverted by steps of water's own volume,
    which contract twentyfold.
    """
    held = mixture.of("water")
    water_density = water.density(temperature)
    filling = held + wanted * water_density
    for _ in range(_MOST_ROUNDS):
        missing = wanted - volume(_with_water(mixture, filling), temperature)
        filling = max(filling + missing * water_density, held)
        if abs(missing) < _TOLERANCE * wanted:
            return _with_water(mixture, filling)
        if filling == held and volume(mixture, temperature) > wanted * (1.0 + _TOLERANCE):
            raise Impossible(
                "{mixture} are there already, more than the {wanted} wanted; make more of it, or "
                "take stronger products",
                mixture=Quantity(volume(mixture, temperature), "L", 4),
                wanted=Quantity(wanted, "L", 4),
            )
    raise NotConverged(
        "the water that fills a bath was not found", residual=missing, iterations=_MOST_ROUNDS
    )


def reacted(mixture: Mixture) -> Mixture:
    """The mixture after bases have taken up acid and carbonate has given off its gas.

    Peroxide that finds no copper metal stays peroxide.

    Impossible, saying how much acid is short, where a base has none to dissolve in.
    """
    moles = ions_of(mixture.masses)
    held = {name: mass for name, mass in mixture.masses.items() if name not in _counted()}
    held |= _peroxide_left(moles)
    if moles["hydrogen ion"] < -_TRACE * mixture.mass / ions()["hydrogen ion"].molar_mass:
        short = -moles["hydrogen ion"] / 2.0 * substance("sulfuric acid").molar_mass
        raise Impossible(
            "oxide, carbonate or base needs {short} more sulfuric acid to dissolve; add acid "
            "first, or take less of it",
            short=Quantity(short, "g"),
        )
    if moles["electron"] > _TRACE * mixture.mass / ions()["copper ion"].molar_mass:
        short = moles["electron"] / 2.0 * substance("hydrogen peroxide").molar_mass
        raise Impossible(
            "copper metal needs {short} of hydrogen peroxide to dissolve in acid",
            short=Quantity(short, "g"),
        )
    del moles["carbon dioxide"], moles["electron"]
    for name, mass in _paired(moles, _PAIRS):
        held[name] = mass
    return Mixture(masses=held)


def ions_in(mixture: Mixture) -> dict[str, float]:
    """Moles of each ion once reacted; peroxide that is left over counts as none."""
    done = dict(reacted(mixture).masses)
    done.pop("hydrogen peroxide", None)
    return ions_of(done)


def volume(mixture: Mixture, temperature: float) -> float:
    """Volume [m³] at `temperature` [K] once reacted, by Laliberté's density law.

    Ions that the law does not hold add their molar volumes at infinite dilution; matter that is
    neither counts as water. OutsideValidity beyond the law's strengths (acid above 78 %) and
    temperatures.
    """
    done = reacted(mixture)
    solutes, extra, dry = _solutes(done)
    aqueous = done.mass - dry
    if aqueous <= 0.0:
        raise OutsideValidity("a mixture without water has no density that is held here")
    fractions = {name: mass / aqueous for name, mass in solutes.items() if mass > 0.0}
    return aqueous / density(fractions, temperature) + extra


def gas(mixture: Mixture) -> float:
    """Carbon dioxide that leaves while a mixture reacts [kg]."""
    return max(ions_of(mixture.masses)["carbon dioxide"], 0.0) * ions()["carbon dioxide"].molar_mass


def composition_of(mixture: Mixture, temperature: float) -> Composition:
    """The bath [kg m⁻³] that a mixture is at `temperature` [K].

    The acid is what a titration finds: the hydrogen of hydrochloric acid counts with it. Copper,
    acid and chloride only: OutsideValidity where a weak acid holds a share of the hydrogen.
    """
    moles = ions_in(mixture)
    if moles["citrate"] + moles["acetate"] > 0.0:
        raise OutsideValidity(
            "a bath with citrate or acetate is not described by copper sulfate, acid and chloride; "
            "ask for its moles"
        )
    filled = volume(mixture, temperature)
    salt, acid = substance("copper sulfate pentahydrate"), substance("sulfuric acid")
    return Composition(
        copper_sulfate_pentahydrate=moles["copper ion"] * salt.molar_mass / filled,
        sulfuric_acid=max(moles["hydrogen ion"], 0.0) / 2.0 * acid.molar_mass / filled,
        chloride=moles["chloride"] * ions()["chloride"].molar_mass / filled,
    )


def concentrations_of(mixture: Mixture, temperature: float) -> dict[str, float]:
    """Moles of each ion in a cubic metre of the reacted mixture [mol m⁻³], for any family."""
    filled = volume(mixture, temperature)
    moles = ions_in(mixture)
    return {
        name: amount / filled
        for name, amount in moles.items()
        if name not in ("electron", "carbon dioxide")
    }


def _peroxide_left(moles: dict[str, float]) -> dict[str, float]:
    """Peroxide that finds no metal, by name [kg]; `moles` are changed back to what it took."""
    left = -moles["electron"] / 2.0
    if left <= 0.0:
        return {}
    for ion, count in dissolving()["hydrogen peroxide"].items():
        moles[ion] -= left * count
    return {"hydrogen peroxide": left * substance("hydrogen peroxide").molar_mass}


def _with_water(mixture: Mixture, mass: float) -> Mixture:
    return Mixture(masses={**mixture.masses, "water": mass})


def _mixture_of(masses: Mapping[str, float]) -> Mixture:
    return Mixture(masses=masses)


def _add(held: dict[str, float], name: str, mass: float) -> None:
    """Adds a substance, split into the names that mixtures are told in."""
    if name in _SPLIT:
        each = 1.0 / substance(name).molar_mass
        moles = {ion: mass * each * count for ion, count in dissolving()[name].items()}
        for part, amount in _paired(moles, _PAIRS):
            held[part] = held.get(part, 0.0) + amount
    else:
        held[name] = held.get(name, 0.0) + mass


def _paired(
    moles: dict[str, float], pairs: tuple[tuple[str, dict[str, int]], ...]
) -> Iterator[tuple[str, float]]:
    """Ions joined to substances as far as they reach, the rest by themselves, as masses [kg]."""
    left = dict(moles)
    for name, parts in pairs:
        amount = max(min(left.get(ion, 0.0) / count for ion, count in parts.items()), 0.0)
        for ion, count in parts.items():
            left[ion] = left.get(ion, 0.0) - amount * count
        if amount > 0.0:
            yield name, amount * sum(ions()[ion].molar_mass * n for ion, n in parts.items())
    rounding = _ROUNDING * sum(map(abs, moles.values()))
    for ion, amount in left.items():
        if amount > rounding:
            yield ion, amount * ions()[ion].molar_mass


def _solutes(mixture: Mixture) -> tuple[dict[str, float], float, float]:
    """Masses that the density law holds [kg], the volume of what it does not [m³], and the mass of
    that [kg]."""
    lawful = {"copper sulfate", "sulfuric acid", "hydrochloric acid", "sodium chloride"}
    loose = {name: mass / ions()[name].molar_mass for name, mass in mixture.masses.items()
             if name in ions() and name != "water"}  # fmt: skip
    solutes = {name: mass for name, mass in mixture.masses.items() if name in lawful}
    extra = dry = 0.0
    for name, mass in _paired(loose, _SALTS):
        if name in lawful:
            solutes[name] = solutes.get(name, 0.0) + mass
        else:
            extra += mass / ions()[name].molar_mass * ions()[name].molar_volume
            dry += mass
    for name, molar_volume in _weak_acids().items():
        if name in mixture.masses:
            dry += mixture.masses[name]
            extra += mixture.masses[name] / substance(name).molar_mass * molar_volume
    return solutes, extra, dry


@cache
def _weak_acids() -> dict[str, float]:
    """Molar volumes of whole weak acids in water [m³ mol⁻¹]."""
    return {
        row["substance"]: float(row["molar_volume_cm3_mol"]) * 1e-6
        for row in table("tankside.bath", "weak_acid_volumes.csv")
    }


@cache
def _counted() -> frozenset[str]:
    return frozenset(dissolving()) | frozenset(ions())
