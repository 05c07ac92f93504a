"""Retiring a bath and rinsing, against equivalents, gas laws, calorimetry and trade examples."""

from tankside.base.intervals import Interval
from tankside.bath import bases, copper_removal, retirement, rinsing
from tankside.substances import molar_mass
from tankside.validation.cases import quantity

_GALLON_PER_1000_FT2 = 3.785411784e-3 / (1000.0 * 0.3048**2)
_SQUARE_FOOT = 0.3048**2


@quantity("base for acid")
def base_for_acid(base: str) -> float:
    """Mass of base per mass of sulfuric acid [-]."""
    return _of(base, copper_g=0.0, acid_g=1.0).base_for_acid.best * 1e3


@quantity("base for copper")
def base_for_copper(base: str) -> float:
    """Mass of base per mass of copper [-]."""
    return _of(base, copper_g=1.0, acid_g=0.0).base_for_copper.best * 1e3


@quantity("base for a litre of bath")
def base_for_bath(
    base: str, copper_sulfate_pentahydrate_g_L: float, sulfuric_acid_g_L: float
) -> float:
    """For acid and copper of a litre [g]."""
    return _bath(base, copper_sulfate_pentahydrate_g_L, sulfuric_acid_g_L).base_in_all.best * 1e3


@quantity("carbon dioxide from a litre of bath")
def gas_from_bath(
    base: str, copper_sulfate_pentahydrate_g_L: float, sulfuric_acid_g_L: float
) -> float:
    """Given off by acid and copper of a litre at 25 °C and 1 atm [L]."""
    found = _bath(base, copper_sulfate_pentahydrate_g_L, sulfuric_acid_g_L)
    return found.carbon_dioxide.best * 1e3


@quantity("carbon dioxide per acid")
def gas_per_acid(base: str) -> float:
    """Per gram of sulfuric acid at 25 °C and 1 atm [L]."""
    return _of(base, copper_g=0.0, acid_g=1.0).carbon_dioxide.best * 1e3


@quantity("heat of neutralisation")
def heat_of_neutralisation(base: str) -> float:
    """Given off per mole of sulfuric acid by a dissolved base [kJ/mol]."""
    acid_g = molar_mass("H2SO4") * 1e3
    found = _of(base, copper_g=0.0, acid_g=acid_g, dissolved=True)
    return found.heat.best / 1e3


@quantity("rinse ratio")
def rinse(stages: int, water_over_drag_out: float) -> float:
    """How many times thinner the last counterflow stage is than the bath [-]."""
    return rinsing.rinse_ratio(stages, water_over_drag_out)


@quantity("drag-out of panels")
def panel_drag_out(area_ft2: float, copper_g_L: float) -> float:
    """Copper that flat panels carry out [g]."""
    out = rinsing.dragged_out(
        area_ft2 * _SQUARE_FOOT,
        rinsing.film("circuit panels"),
        copper=Interval.exact(copper_g_L),
        sulfuric_acid=Interval.exact(0.0),
    )
    return out.copper_carried.best * 1e3


@quantity("drag-out film")
def film_gallons(film: str) -> float:
    """In US gallons per thousand square feet."""
    return rinsing.film(film).volume_per_area.best / _GALLON_PER_1000_FT2


@quantity("copper over its hydroxide")
def copper_over_hydroxide(pH: float, end: str) -> float:
    """That stays dissolved [mg/L]."""
    return float(getattr(copper_removal.copper_over_hydroxide(pH), end)) * 1e3


@quantity("acid gained by plating out")
def acid_gained() -> float:
    """Grams of sulfuric acid per gram of copper taken out over an anode that does not dissolve."""
    found = copper_removal.plated_out(Interval.exact(1.001), 1.0, 0.001)
    return found.acid_gained.best


def _bath(base: str, salt_g_L: float, acid_g_L: float) -> retirement.Retirement:
    copper = salt_g_L * molar_mass("Cu") / molar_mass("CuSO4·5H2O")
    return _of(base, copper_g=copper, acid_g=acid_g_L)


def _of(
    base: str, *, copper_g: float, acid_g: float, dissolved: bool = False
) -> retirement.Retirement:
    """A litre that holds so many grams."""
    held = retirement.holding(
        Interval.exact(1e-3),
        copper=Interval.exact(copper_g),
        sulfuric_acid=Interval.exact(acid_g),
        density=Interval.exact(1100.0),
    )
    return retirement.retired(held, bases.base(base), dissolved=dissolved)
