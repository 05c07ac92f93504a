"""A bath laid beside its family's windows, with what follows from it at a current density.

Each quantity that the family has a window for: its value with interval, the window, on which side
it lies, and a sentence that says where the interval reaches across an end. Then what the laws make
of the bath: density, conductivity, limit, evenness, and how near it is to crystallising on the
coldest night.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.base.intervals import Interval
from tankside.bath.acid_sulfate import COMPOSITION_ERROR, acid_sulfate
from tankside.bath.composition import Composition
from tankside.bath.electrolyte import Electrolyte
from tankside.bath.estimate import Estimate
from tankside.bath.families import SHOWN, Family, Window, families_of, nearest_family
from tankside.bath.parameters import parameter
from tankside.bath.solubility import still_dissolved
from tankside.bath.speciation.recipe import WeakAcidRecipe
from tankside.bath.wagner import wagner_length
from tankside.bath.weak_acid import pH, weak_acid
from tankside.substances import molar_mass

WAGNER_CURRENT_DENSITY = 100.0
"""Cathode current density [A m⁻²] where none is given: 1 A/dm²."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """One quantity beside its window.

    value      in the window's unit
    side       "below", "inside" or "above", of the best guess
    certain    False where the interval reaches across an end of the window
    sentence   in words, with whose window it is
    """

    quantity: str
    value: Interval
    window: Window
    side: str
    certain: bool
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Property:
    """One computed property: its name, words, value in `unit` (SI; "1" for none)."""

    name: str
    words: str
    value: Interval
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowReport:
    """A bath beside its windows.

    standings     each quantity that has a window
    properties    what the laws compute, in SI
    assumptions   sentences behind the properties
    sources       keys of the works leaned on
    """

    family: Family
    temperature: float
    current_density: float
    standings: tuple[Standing, ...]
    properties: tuple[Property, ...]
    assumptions: tuple[str, ...]
    sources: tuple[str, ...]

    def value(self, name: str) -> Interval:
        """The computed property of this name."""
        return next(one.value for one in self.properties if one.name == name)

    @property
    def outside(self) -> tuple[Standing, ...]:
        """The standings that are not inside."""
        return tuple(one for one in self.standings if one.side != "inside")


def acid_sulfate_report(
    composition: Composition,
    temperature: float,
    agitation: str | float | Interval,
    *,
    coldest: float,
    current_density: float = WAGNER_CURRENT_DENSITY,
    family: Family | None = None,
    error: float = COMPOSITION_ERROR,
    measured_conductivity: float | Interval | None = None,
) -> WindowReport:
    """The report of an acid sulfate bath; `temperature` and `coldest` night in K.

    `error` is the relative half-width of what is in it [-]; without `family` the nearest is taken;
    `measured_conductivity` [S m⁻¹] replaces the law's.
    OutsideValidity as of acid_sulfate.
    """
    kind = nearest_family(composition, temperature) if family is None else family
    held = {
        name: Interval.about(getattr(composition, name), error)
        for name in ("copper_sulfate_pentahydrate", "sulfuric_acid", "chloride")
    }
    electrolyte = acid_sulfate(
        composition, temperature, agitation, measured_conductivity=measured_conductivity
    )
    night = still_dissolved(composition, coldest)
    return _report(kind, held, electrolyte, current_density, {}, night)


def weak_acid_report(
    family: Family,
    recipe: WeakAcidRecipe,
    temperature: float,
    agitation: str | float | Interval,
    *,
    current_density: float = WAGNER_CURRENT_DENSITY,
    error: float = COMPOSITION_ERROR,
    measured_conductivity: float | Interval | None = None,
) -> WindowReport:
    """The report of a citrate or acetate bath; arguments as of acid_sulfate_report.

    The coldest night is judged for copper acetate alone, against its solubility in cool water.
    """
    held = {
        name: Interval.about(getattr(recipe, name), error)
        for name in (
            "acetic_acid",
            "citric_acid",
            "sodium_citrate_dihydrate",
            "chloride",
            "copper_sulfate_pentahydrate",
        )
    }
    held["copper"] = Interval.about(recipe.copper_molarity * molar_mass("Cu"), error)
    acidity = pH(family.kind, recipe, temperature).value
    held["pH"] = acidity
    electrolyte = weak_acid(
        family.kind, recipe, temperature, agitation, measured_conductivity=measured_conductivity
    )
    return _report(family, held, electrolyte, current_density, {"pH": acidity}, _cool(recipe))


def family_of_kind(kind: str) -> Family:
    """The first published family of a kind: what a bath of it is laid beside."""
    return families_of(kind)[0]


def _report(
    family: Family,
    held: Mapping[str, Interval],
    electrolyte: Electrolyte,
    current_density: float,
    extra: Mapping[str, Interval],
    night: Estimate | None,
) -> WindowReport:
    values = {
        **held,
        "temperature": Interval.exact(electrolyte.temperature - ZERO_CELSIUS_K),
        "current_density": Interval.exact(current_density),
    }
    return WindowReport(
        family=family,
        temperature=electrolyte.temperature,
        current_density=current_density,
        standings=tuple(
            standing(family, name, values[name]) for name in family.windows if name in values
        ),
        properties=_properties(electrolyte, current_density, extra, night),
        assumptions=(*electrolyte.assumptions, *(night.assumptions if night else ())),
        sources=tuple(sorted({*electrolyte.sources, *(night.sources if night else ())})),
    )


def standing(family: Family, quantity: str, value: Interval) -> Standing:
    """One quantity beside the family's window for it; `value` in the window's unit."""
    window = family.windows[quantity]
    side = window.side(value.best)
    certain = window.side(value.low) == window.side(value.high)
    words, _, _ = SHOWN[quantity]
    where = side if side == "inside" else f"{side} the window"
    maybe = "" if certain else "; its uncertainty reaches across the end"
    return Standing(
        quantity=quantity,
        value=value,
        window=window,
        side=side,
        certain=certain,
        sentence=(
            f"{words[0].upper()}{words[1:]} at {window.shown(value.best)} is {where}"
            f"{' ' if side == 'inside' else ', '}{window.shown(window.low, unit=False)} to "
            f"{window.shown(window.high)} ({window.whose}){maybe}."
        ),
    )


def _properties(
    electrolyte: Electrolyte,
    current_density: float,
    extra: Mapping[str, Interval],
    night: Estimate | None,
) -> tuple[Property, ...]:
    limit = electrolyte.limiting_current_density
    rows = [
        ("density", "density", electrolyte.density, "kg/m3"),
        ("conductivity", "conductivity", electrolyte.conductivity, "S/m"),
        ("viscosity", "viscosity", electrolyte.viscosity, "Pa s"),
        ("diffusivity", "diffusivity of copper", electrolyte.diffusivity, "m2/s"),
        ("boundary_layer", "boundary layer", electrolyte.boundary_layer, "m"),
        ("limiting_current_density", "copper's limiting current density", limit, "A/m2"),
        (
            "fraction_of_limit",
            "this current density over the limit",
            limit.mapped(lambda most: current_density / most),
            "1",
        ),
        (
            "wagner_length",
            "length over which this bath evens out",
            wagner_length(electrolyte, current_density),
            "m",
        ),
    ]
    rows += [(name, "pH" if name == "pH" else name, value, "1") for name, value in extra.items()]
    if night is not None:
        rows.append(
            (
                "dissolved_share",
                "salt held over what stays dissolved when coldest",
                night.value,
                "1",
            )
        )
    return tuple(
        Property(name=name, words=words, value=value, unit=unit)
        for name, words, value, unit in rows
    )


def _cool(recipe: WeakAcidRecipe) -> Estimate | None:
    """Copper acetate held over what dissolves in cool water; None for other baths."""
    amount = min(recipe.moles["copper"], recipe.moles["acetate"] / 2.0)
    if not amount:
        return None
    held = amount * molar_mass("Cu(C2H3O2)2·H2O")
    limit = parameter("copper_acetate_solubility")
    return Estimate(value=limit.value.mapped(lambda most: held / most), sources=(limit.source,))
