"""Conductivity with a cheap meter: what it shows is rarely what the bath has.

Two traps. The meter shows what the liquid would have at 25 °C if it were table salt: it divides by
1 + 0.02 (t - 25), where acid changes by 1.2 to 1.6 % per kelvin; here that division is undone. And
its cell constant drifts; one reading in a solution of known conductivity puts it right. A bath
conducts 10 to 60 S/m (100 to 600 mS/cm), beyond many meters. A thinned sample does *not* conduct
in proportion: a dilution is a fingerprint to compare with your own, never the bath's conductivity.
"""

from dataclasses import dataclass
from functools import cache
from math import isfinite

from tankside.base.errors import BadInput, UnknownName
from tankside.base.tables import table
from tankside.bath import water
from tankside.bath.analysis.finding import Finding, finding
from tankside.bath.analysis.parameters import deviation, number
from tankside.bath.analysis.propagation import Measured, propagated

REFERENCE_K = 298.15
"""Temperature that meters compensate to [K]."""

NEAR_FULL_SCALE = 0.95
"""Share of full scale above which a reading is not believed [-]: our choice."""

CELL_RANGE = (0.5, 2.0)
"""Factor by which a cell may have drifted before it is replaced [-]: our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ConductivityMeter:
    """A meter as it is.

    full_scale    largest conductivity that it shows [S m⁻¹]
    compensates   whether it shows values reduced to 25 °C
    """

    full_scale: float
    compensates: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CellCheck:
    """What the meter showed in a standard [S m⁻¹] and at what temperature [K]."""

    standard: str
    shown: float
    temperature: float = REFERENCE_K


def conductivity_by_meter(
    shown: float,
    temperature: float,
    meter: ConductivityMeter,
    check: CellCheck,
    *,
    temperature_std: float = 0.5,
) -> Finding:
    """Conductivity [S m⁻¹] of an undiluted bath at its `temperature` [K] from what is shown.

    BadInput where the reading is at or over the end of the scale, or the cell is beyond use.
    """
    _check(shown, meter)
    water.celsius(temperature)
    standard = _standard(check.standard)
    slope = Measured(value=number("meter_compensation").best, std=deviation("meter_compensation"))
    _refuse_bad_cell(_true_standard(check, standard.value, slope.value, meter) / check.shown)
    inputs = {
        "scale": Measured(value=1.0, std=number("meter_accuracy").best / 2.0),
        "standard": standard,
        "compensation": slope,
        "temperature": Measured(value=temperature, std=temperature_std),
    }

    def law(scale: float, standard: float, compensation: float, temperature: float) -> float:
        cell = _true_standard(check, standard, compensation, meter) / check.shown
        warm = 1.0 + compensation * (temperature - REFERENCE_K) if meter.compensates else 1.0
        return shown * scale * cell * warm

    outcome = propagated(law, inputs)
    return finding(
        "conductivity",
        outcome,
        method="conductivity meter checked in a standard",
        notes=(
            "The value is that at the bath's own temperature; the meter's reduction to 25 °C is "
            "undone."
            if meter.compensates
            else "The meter shows the value at the bath's own temperature.",
            "A check far below the bath's own conductivity does not show what the cell does at "
            "high currents.",
        ),
        temperature=temperature,
    )


def _true_standard(
    check: CellCheck, at_25: float, compensation: float, meter: ConductivityMeter
) -> float:
    """What the meter should have shown in the standard [S m⁻¹]."""
    if meter.compensates:
        return at_25
    return at_25 * (1.0 + compensation * (check.temperature - REFERENCE_K))


def _check(shown: float, meter: ConductivityMeter) -> None:
    if not (isfinite(shown) and shown > 0.0):
        raise BadInput("a conductivity is above zero, not {shown} S/m", shown=shown)
    if shown > NEAR_FULL_SCALE * meter.full_scale:
        raise BadInput(
            "{shown:.0f} mS/cm is the end of this meter's scale of {full_scale:.0f} mS/cm, not a "
            "reading; thin bath and a freshly made one alike and compare the two, or measure acid "
            "by titration",
            shown=shown * 10,
            full_scale=meter.full_scale * 10,
        )


def _refuse_bad_cell(factor: float) -> None:
    low, high = CELL_RANGE
    if not low <= factor <= high:
        raise BadInput(
            "the cell is off by a factor of {factor:.2g} in its standard; were µS/cm and mS/cm "
            "mixed up, or is the cell fouled?",
            factor=factor,
        )


def _standard(name: str) -> Measured:
    known = standards()
    if name not in known:
        raise UnknownName("conductivity standard", name, known)
    return known[name]


@cache
def standards() -> dict[str, Measured]:
    """Conductivities [S m⁻¹] of the solutions that a cell is checked in, by name."""
    return {
        row["name"]: Measured(value=float(row["conductivity_S_m"]), std=float(row["std_S_m"]))
        for row in table("tankside.bath.analysis", "conductivity_standards.csv")
    }
