"""The shape of the current along a slanted panel by the field, from a stored table.

data/shapes.csv holds what the field solver gives for both cells over a range of Wagner numbers,
with linear and with Tafel polarisation. Between its rows ratios are interpolated in their
logarithm, along the panel over its length, across over the logarithm of the Wagner number. Real
kinetics lie between the two laws, and so the answer is an interval that holds both.
"""

from functools import cache

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import OutsideValidity
from tankside.base.intervals import Interval
from tankside.base.tables import table
from tankside.diagnosis.panel.cell import SlantedCell

LAWS = ("linear", "tafel")


def relative_current_density(cell: SlantedCell, share: float, wagner: Interval) -> Interval:
    """Current density at a `share` [-] of the panel's length from its high-current edge, over the
    panel's mean [-], for a Wagner number on the panel's length that lies in `wagner`.

    OutsideValidity nearer to either end than the table reaches, or for other Wagner numbers.
    """
    places, numbers, _ = _shapes(cell.name)
    _refuse_outside(share, places, "share of the panel's length", "the edges' current is not known")
    for end in (wagner.low, wagner.high):
        _refuse_outside(end, numbers, "Wagner number", "give one inside")
    inner = [one for one in numbers if wagner.low < one < wagner.high]
    found = [
        _at(cell.name, law, share, number)
        for law in LAWS
        for number in (wagner.low, *inner, wagner.high)
    ]
    linear, tafel = (_at(cell.name, law, share, wagner.best) for law in LAWS)
    return Interval(min(found), (linear * tafel) ** 0.5, max(found))


def shares_held(cell: SlantedCell) -> tuple[float, float]:
    """First and last share of the panel's length that the table reaches [-]."""
    places = _shapes(cell.name)[0]
    return float(places[0]), float(places[-1])


def wagner_held(cell: SlantedCell) -> tuple[float, float]:
    """Least and greatest Wagner number that the table holds [-]."""
    numbers = _shapes(cell.name)[1]
    return float(numbers[0]), float(numbers[-1])


def _at(name: str, law: str, share: float, wagner: float) -> float:
    places, numbers, logs = _shapes(name)
    across = [np.interp(share, places, row) for row in logs[law]]
    return float(np.exp(np.interp(np.log(wagner), np.log(numbers), across)))


@cache
def _shapes(name: str) -> tuple[Floats, Floats, dict[str, Floats]]:
    """Places (m,), Wagner numbers (n,), and logarithms of the ratios (n, m) by law."""
    rows = [one for one in table("tankside.diagnosis.panel", "shapes.csv") if one["cell"] == name]
    heads = [head for head in rows[0] if head.startswith("at_")]
    places = np.array([float(head.removeprefix("at_")) for head in heads])
    by_law = {law: [one for one in rows if one["law"] == law] for law in LAWS}
    numbers = np.array([float(one["wagner"]) for one in by_law[LAWS[0]]])
    logs = {
        law: np.log([[float(one[head]) for head in heads] for one in held])
        for law, held in by_law.items()
    }
    return places, numbers, logs


def _refuse_outside(value: float, held: Floats, what: str, so: str) -> None:
    if not held[0] * (1 - 1e-9) <= value <= held[-1] * (1 + 1e-9):
        raise OutsideValidity(
            "the field's table of the test cell holds from {low:g} to {high:g} of the "
            "{what}, not at {value:.3g}; {so}",
            low=held[0],
            high=held[-1],
            what=what,
            value=value,
            so=so,
        )
