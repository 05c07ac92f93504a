"""Taking copper out of a bath before it is retired: by plating it out, by cementation, by pH.

Plating out with an anode that does not dissolve puts two protons into the bath for each copper ion
that it takes out, so the acid rises: 1.543 g of sulfuric acid per gram of copper. Cementation puts
an iron ion in for each copper ion. What pH leaves dissolved follows from copper's hydrolysis:

    Cu(total) = K_s [H+]² (1 + b1/[H+] + b2/[H+]² + b3/[H+]³ + b4/[H+]⁴)

for pure water without citrate, ammonia or other complexing matter, at vanishing salt and 25 °C;
real sludge leaves more, so the interval's high end is the one to plan with.
"""

from dataclasses import dataclass, replace
from functools import cache

from tankside.base.constants import COPPER_VALENCE, FARADAY_C_PER_MOL
from tankside.base.errors import BadInput, OutsideValidity
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity, said
from tankside.base.tables import table
from tankside.bath.retirement import Holding
from tankside.bath.retirement_numbers import held_number
from tankside.substances import molar_mass

PH_RANGE = (5.0, 13.0)
"""Where copper hydroxide is the solid [pH]; below, basic sulfate falls instead."""

EXCESS_IRON = Interval(1.0, 1.5, 3.0)
"""Iron taken over iron needed [-]: acid dissolves some too; common practice, no source."""

IRON_MOLAR_MASS = 55.845e-3
"""[kg mol⁻¹], standard atomic weight of iron (IUPAC 2021)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlatedOut:
    """What plating copper out takes and leaves: charge [C], acid added [kg], copper left [kg]."""

    charge: Interval
    acid_gained: Interval
    copper_left: Interval
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cemented:
    """What cementation takes and leaves: iron [kg], copper left [kg]."""

    iron: Interval
    copper_left: Interval
    notes: tuple[str, ...]


def plated_out(copper: Interval, volume: float, down_to: float) -> PlatedOut:
    """Plating copper [kg] out of a volume [m³] down to a concentration [kg m⁻³]."""
    left = volume * down_to
    if not 0.0 < left < copper.low:
        raise BadInput(
            "plating out ends between zero and what the bath holds, not at {down_to}",
            down_to=Quantity(down_to, "g/L", 6),
        )
    taken = Interval(copper.low - left, copper.best - left, copper.high - left)
    efficiency = held_number("plating_out_efficiency").value
    moles = taken.scaled(1.0 / molar_mass("Cu"))
    faradays = COPPER_VALENCE * FARADAY_C_PER_MOL
    return PlatedOut(
        charge=Interval(
            moles.low * faradays / efficiency.high,
            moles.best * faradays / efficiency.best,
            moles.high * faradays / efficiency.low,
        ),
        acid_gained=moles.scaled(molar_mass("H2SO4")),
        copper_left=Interval.exact(left),
        notes=(
            said(
                "Needs an anode that does not dissolve: coated titanium or graphite. Never "
                "stainless steel or lead, which poison the bath with chromium or lead."
            ),
            said(
                "Such an anode gives off oxygen, and at the end the cathode hydrogen: cover the "
                "tank, fan to the outside, no flame."
            ),
            said("The acid rises for all copper taken out; reckon the base anew afterwards."),
        ),
    )


def after_plating_out(bath: Holding, done: PlatedOut) -> Holding:
    """What the bath holds afterwards: copper's charge is now protons, so the base that it takes is
    the same and the sludge far less."""
    return replace(
        bath,
        held_copper=done.copper_left,
        held_acid=Interval(
            bath.held_acid.low + done.acid_gained.low,
            bath.held_acid.best + done.acid_gained.best,
            bath.held_acid.high + done.acid_gained.high,
        ),
    )


def cemented(copper: Interval, volume: Interval) -> Cemented:
    """Cementing copper [kg] out of a volume [m³] on clean steel wool."""
    left = held_number("cemented_copper").value
    iron = copper.scaled(IRON_MOLAR_MASS / molar_mass("Cu"))
    return Cemented(
        iron=Interval(
            iron.low * EXCESS_IRON.low, iron.best * EXCESS_IRON.best, iron.high * EXCESS_IRON.high
        ),
        copper_left=Interval(
            volume.low * left.low, volume.best * left.best, volume.high * left.high
        ),
        notes=(
            said(
                "Take the acid down to pH 2 to 3 first: in strong acid steel dissolves to "
                "hydrogen, with heat. No flame, lid ajar."
            ),
            said(
                "The liquid then holds iron in copper's place and is waste all the same; the "
                "copper sponge is rinsed, kept wet and handed over: dry, it can heat up by itself."
            ),
        ),
    )


def copper_over_hydroxide(pH: float) -> Interval:
    """Copper that stays dissolved over its hydroxide [kg m⁻³] at a pH from 5 to 13."""
    low, high = PH_RANGE
    if not low <= pH <= high:
        raise OutsideValidity(
            "copper hydroxide is the solid between pH {low:g} and {high:g}, not at {ph:g}",
            low=low,
            high=high,
            ph=pH,
        )
    totals = {end: _total(pH, logs) for end, logs in _sets().items()}
    return Interval(min(totals.values()), totals["best"], max(totals.values()))


def _total(pH: float, logs: tuple[float, ...]) -> float:
    solid, *hydrolysis = logs
    free = 10.0 ** (solid - 2.0 * pH)
    bound = sum(10.0 ** (constant + place * pH) for place, constant in enumerate(hydrolysis, 1))
    return float(free * (1.0 + bound) * 1e3 * molar_mass("Cu"))


@cache
def _sets() -> dict[str, tuple[float, ...]]:
    columns = ("hydroxide", "hydrolysis_1", "hydrolysis_2", "hydrolysis_3", "hydrolysis_4")
    return {
        row["end"]: tuple(float(row[column]) for column in columns)
        for row in table("tankside.bath", "copper_hydroxide.csv")
    }
