"""What it takes to retire a bath: base, gas, heat and sludge, each as an interval.

    H2SO4 + 2 OH- -> SO4(2-) + 2 H2O,   Cu2+ + 2 OH- -> Cu(OH)2,   CO3(2-) + 2 H+ -> CO2 + H2O

Masses follow from the formulas; heat from enthalpies of formation; sludge as hydroxide, basic
sulfate or basic carbonate, and with lime also gypsum. Ends of the answers are those with every
input at its end. The numbers say how much, not that you may: who may treat or take such waste is
for the local authority and licensed firms. Nothing here goes down a drain.
"""

from dataclasses import dataclass
from math import ceil

from tankside.base.constants import GAS_CONSTANT_J_PER_MOL_K
from tankside.base.errors import BadInput, Impossible
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity, said
from tankside.base.wording import term
from tankside.bath.bases import Base, formation_enthalpies
from tankside.bath.retirement_numbers import held_number
from tankside.substances import molar_mass

GAS_TEMPERATURE_K = 298.15
"""Temperature that gas volumes are told at [K]; at 101325 Pa."""

ATMOSPHERE_PA = 101325.0

WARM_K = 20.0
"""Rise above which the text asks for dilution first [K]: our choice."""

_NOTHING = Interval.exact(0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Holding:
    """What a bath holds in all.

    volume         [m³]
    mass           [kg]
    held_copper    [kg]
    held_acid      sulfuric [kg]
    other_protons  of other acids [mol]
    complexed      where citrate, ammonia or EDTA hold copper dissolved
    """

    volume: Interval
    mass: Interval
    held_copper: Interval
    held_acid: Interval
    other_protons: Interval = _NOTHING
    complexed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Retirement:
    """What it takes.

    base_for_acid, base_for_copper   [kg]
    carbon_dioxide                   given off, at 25 °C and 101325 Pa [m³]
    heat                             given off [J]; negative where the mixing cools
    temperature_rise                 where none of the heat is lost [K]
    sludge_dry, sludge_settled, sludge_filtered   [kg]
    window                           of pH in which copper falls [-]
    """

    base: Base
    base_for_acid: Interval
    base_for_copper: Interval
    carbon_dioxide: Interval
    heat: Interval
    temperature_rise: Interval
    sludge_dry: Interval
    sludge_settled: Interval
    sludge_filtered: Interval
    window: Interval
    notes: tuple[str, ...]
    sources: tuple[str, ...]

    @property
    def base_in_all(self) -> Interval:
        """For acid and copper together [kg]."""
        return _sum(self.base_for_acid, self.base_for_copper)


def holding(
    volume: Interval,
    *,
    copper: Interval,
    sulfuric_acid: Interval,
    density: Interval,
    other_acid: Interval = _NOTHING,
    complexed: bool = False,
) -> Holding:
    """What a volume [m³] holds at concentrations [kg m⁻³], other_acid in mol of protons per m³."""
    for name, value in (("volume", volume), ("density", density)):
        if value.low <= 0.0:
            raise BadInput("a bath's {name} is above zero, not {low}", name=name, low=value.low)
    for name, value in (("copper", copper), ("acid", sulfuric_acid), ("acid", other_acid)):
        if value.low < 0.0:
            raise BadInput("a bath cannot hold {low} of {name}", low=value.low, name=name)
    return Holding(
        volume=volume,
        mass=_product(volume, density),
        held_copper=_product(volume, copper),
        held_acid=_product(volume, sulfuric_acid),
        other_protons=_product(volume, other_acid),
        complexed=complexed,
    )


def retired(bath: Holding, with_base: Base, *, dissolved: bool = False) -> Retirement:
    """What it takes to neutralise a bath and drop its copper; `dissolved` where the base is added
    as a solution rather than as a solid."""
    acid = _sum(bath.held_acid.scaled(2.0 / molar_mass("H2SO4")), bath.other_protons)
    copper = bath.held_copper.scaled(2.0 / molar_mass("Cu"))
    gas = _gas(acid, copper, with_base)
    heat = _heat(bath, acid, copper, with_base, dissolved)
    base_mass = with_base.mass_for(_sum(acid, copper))
    capacity = _product(_sum(bath.mass, base_mass), held_number("heat_capacity").value)
    dry = _sludge(bath, copper, with_base)
    return Retirement(
        base=with_base,
        base_for_acid=with_base.mass_for(acid),
        base_for_copper=with_base.mass_for(copper),
        carbon_dioxide=gas.scaled(GAS_CONSTANT_J_PER_MOL_K * GAS_TEMPERATURE_K / ATMOSPHERE_PA),
        heat=heat,
        temperature_rise=_quotient(heat, capacity),
        sludge_dry=dry,
        sludge_settled=_quotient(dry, held_number("settled_solids").value),
        sludge_filtered=_quotient(dry, held_number("filtered_solids").value),
        window=held_number("window_pH").value,
        notes=_notes(bath, with_base, _quotient(heat, capacity)),
        sources=("ball1991", "crc2010", "laliberte2009", "prohaska2022"),
    )


def portions(what: Retirement, vessel: float, liquid: float) -> int:
    """In how many portions a foaming base is added, so that none frees more gas than the free space
    of a vessel [m³] over the liquid [m³]. Impossible where the vessel is more than half full."""
    if not 0.0 < liquid < vessel:
        raise BadInput("the liquid's volume lies between zero and the vessel's")
    if what.carbon_dioxide.high == 0.0:
        return 1
    if liquid > vessel / 2.0:
        raise Impossible(
            "{liquid} in a vessel of {vessel} will foam over; use one that stays more than half "
            "empty, or treat {portion:.0f} L at a time",
            liquid=Quantity(liquid, "L", decimals=0),
            vessel=Quantity(vessel, "L", decimals=0),
            portion=vessel * 0.4e3,
        )
    return max(1, ceil(what.carbon_dioxide.high / (vessel - liquid)))


def _gas(acid: Interval, copper: Interval, with_base: Base) -> Interval:
    """Carbon dioxide [mol]: all of the acid's; of copper's, half stays where it falls as basic
    carbonate."""
    of_copper = copper.scaled(with_base.carbon_dioxide)
    kept = Interval(of_copper.low / 2.0, of_copper.best, of_copper.high)
    return _sum(acid.scaled(with_base.carbon_dioxide), kept)


def _heat(
    bath: Holding, acid: Interval, copper: Interval, with_base: Base, dissolved: bool
) -> Interval:
    """Heat given off [J]: the base's, bisulfate's last proton, and copper's hydrolysis."""
    formed = formation_enthalpies()
    last = formed["HSO4-"] - formed["SO4--"]
    hydrolysis = formed["Cu(OH)2(s)"] - formed["Cu++"] - 2.0 * formed["H2O(l)"]
    per_equivalent = with_base.enthalpy_dissolved if dissolved else with_base.enthalpy_solid
    moles = bath.held_acid.scaled(1.0 / molar_mass("H2SO4"))
    bisulfate = _product(moles, held_number("bisulfate_share").value).scaled(last)
    return _sum(
        _sum(acid, copper).scaled(-per_equivalent), bisulfate, copper.scaled(-hydrolysis / 2.0)
    )


def _sludge(bath: Holding, copper: Interval, with_base: Base) -> Interval:
    """Dry sludge [kg]."""
    atoms = copper.scaled(0.5)
    light, heavy = molar_mass("Cu(OH)2"), molar_mass("Cu4(OH)6SO4") / 4.0
    if with_base.carbon_dioxide:
        heavy = molar_mass("Cu2(OH)2CO3") / 2.0
    falls = Interval(atoms.low * light, atoms.best * light, atoms.high * heavy)
    if bath.complexed:
        falls = Interval(0.0, falls.best, falls.high)
    if not with_base.calcium:
        return falls
    sulfate = _sum(bath.held_acid.scaled(1.0 / molar_mass("H2SO4")), atoms)
    gypsum = sulfate.scaled(molar_mass("CaSO4·2H2O"))
    stays = _product(bath.volume, held_number("gypsum_solubility").value)
    low, best, high = (
        max(gypsum.low - stays.high, 0.0),
        max(gypsum.best - stays.best, 0.0),
        max(gypsum.high - stays.low, 0.0),
    )
    return _sum(falls, Interval(low, best, high))


def _notes(bath: Holding, with_base: Base, rise: Interval) -> tuple[str, ...]:
    window = held_number("window_pH").value
    notes = [
        term(with_base.caution),
        said(
            "Copper falls best at pH {low} to {high}: below, it stays dissolved, "
            "and far above it dissolves again, as its hydroxide takes up more base.",
            low=Quantity(window.low),
            high=Quantity(window.high),
        ),
        said("Plating copper out, or cementing it on steel, leaves less sludge: do it first."),
    ]
    if bath.complexed:
        notes.append(
            said(
                "Citrate, ammonia and EDTA keep copper dissolved whatever the pH: no base will "
                "drop it all, so hand the liquid over as it is."
            )
        )
    if rise.high > WARM_K:
        notes.append(
            said(
                "The bath could warm by {rise}: thin it with water first, cool the vessel, "
                "and add the base over an hour or more.",
                rise=Quantity(rise.best, "K", decimals=0),
            )
        )
    return tuple(notes)


def _sum(*parts: Interval) -> Interval:
    return Interval(
        sum(part.low for part in parts),
        sum(part.best for part in parts),
        sum(part.high for part in parts),
    )


def _product(one: Interval, other: Interval) -> Interval:
    """Of two intervals above zero or, for the first, of one sign."""
    ends = [a * b for a in (one.low, one.high) for b in (other.low, other.high)]
    return Interval(min(ends), one.best * other.best, max(ends))


def _quotient(one: Interval, other: Interval) -> Interval:
    ends = [a / b for a in (one.low, one.high) for b in (other.low, other.high)]
    return Interval(min(ends), one.best / other.best, max(ends))
