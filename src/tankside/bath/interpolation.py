"""Straight lines between the rows of a table, and a refusal beyond its ends."""

from bisect import bisect_right
from collections.abc import Sequence

from tankside.base.errors import OutsideValidity


def between(
    nodes: Sequence[float], values: Sequence[float], at: float, *, what: str, unit: str
) -> float:
    """The value at `at` on the straight line between the two rows that enclose it.

    `nodes` rise strictly. OutsideValidity, naming `what` and `unit` of the nodes, beyond the ends.
    """
    if not nodes[0] <= at <= nodes[-1]:
        raise OutsideValidity(
            "{what} is tabulated from {low:g} to {high:g} {unit}, not at {at:g} {unit}",
            what=what,
            low=nodes[0],
            high=nodes[-1],
            unit=unit,
            at=at,
        )
    upper = min(bisect_right(nodes, at), len(nodes) - 1)
    lower = upper - 1
    share = (at - nodes[lower]) / (nodes[upper] - nodes[lower])
    return values[lower] + share * (values[upper] - values[lower])
