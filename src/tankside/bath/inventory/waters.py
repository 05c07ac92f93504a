"""What a year of top-ups with one water or another does to the bath.

Water goes, what was dissolved in it stays: chloride adds up, and so does hardness, which in a
sulfate bath comes out as gypsum, white needles and a haze on the deposit.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity, said
from tankside.bath.inventory.bath_estimate import BathEstimate
from tankside.bath.inventory.forecast import Forecast, WeeklyUse, forecast
from tankside.bath.inventory.priors import known_prior
from tankside.bath.inventory.windows import Windows
from tankside.substances import molar_mass

GYPSUM_PER_CARBONATE = molar_mass("CaSO4·2H2O") / molar_mass("CaCO3")
"""Gypsum from hardness that is stated as calcium carbonate [kg kg⁻¹]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterYear:
    """What one water brings in the time.

    top_up      water poured [kg]
    chloride    in the bath at the end, nine in ten [kg m⁻³]
    gypsum      that its hardness makes, in a volume of bath [kg m⁻³], None where not stated
    note        one sentence
    """

    water: str
    top_up: float
    chloride: Interval
    gypsum: float | None
    note: str
    ahead: Forecast


def water_year(
    estimate: BathEstimate,
    use: WeeklyUse,
    windows: Windows,
    *,
    hardness: float | None = None,
    weeks: int = 52,
) -> WaterYear:
    """A year (or so many weeks) of the usual work with the water of `use`.

    `hardness` of the water as calcium carbonate [kg m⁻³]; one German degree is 0.0178.
    """
    if hardness is not None and not 0.0 <= hardness < 5.0:
        raise BadInput(
            "hardness is given in kg/m³ (g/L) of calcium carbonate, from 0 to 5, not {hardness:g}",
            hardness=hardness,
        )
    ahead = forecast(estimate, use, windows, weeks=weeks)
    density = ahead.shop.densities[use.water.name]
    gypsum = None
    if hardness is not None:
        brought = ahead.top_up / density * hardness * GYPSUM_PER_CARBONATE
        gypsum = brought / float(ahead.mean[-1, -1])
    return WaterYear(
        water=use.water.name,
        top_up=ahead.top_up,
        chloride=ahead.interval("chloride"),
        gypsum=gypsum,
        note=_note(use.water.name, ahead, windows, gypsum),
        ahead=ahead,
    )


def _note(name: str, ahead: Forecast, windows: Mapping[str, tuple[float, float]],
          gypsum: float | None) -> str:  # fmt: skip
    now, then = ahead.interval("chloride", 0), ahead.interval("chloride")
    weeks = len(ahead.at) - 1
    found = said(
        "{weeks} weeks of top-ups with {name} take chloride from about {now} to between {low} and "
        "{high}",
        weeks=weeks,
        name=name,
        now=Quantity(now.best, "mg/L", decimals=0),
        low=Quantity(then.low, "mg/L", decimals=0),
        high=Quantity(then.high, "mg/L", decimals=0),
    )
    most = windows["chloride"][1] if "chloride" in windows else then.high
    if then.high > most:
        found = said(
            "{told}; some or all of that is beyond the {most} of the window.",
            told=found,
            most=Quantity(most, "mg/L", decimals=0),
        )
    else:
        found = said("{told}.", told=found)
    if gypsum is not None:
        least = known_prior("gypsum_solubility").value
        if gypsum > least.low:
            found = said(
                "{told} Its hardness makes {made} of gypsum, and about {dissolved} stays "
                "dissolved: a white haze and needles may come.",
                told=found,
                made=Quantity(gypsum, "g/L", digits=2),
                dissolved=Quantity(least.best, "g/L", digits=2),
            )
    return found
