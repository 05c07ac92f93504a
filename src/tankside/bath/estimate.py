"""An answer of a property law: the interval, what was assumed, and the works it leans on."""

from collections.abc import Iterable
from dataclasses import dataclass

from tankside.base.intervals import Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """`value` in the unit its law states, sentences on what was assumed, keys of sources."""

    value: Interval
    assumptions: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()


def assumptions_of(estimates: Iterable[Estimate]) -> tuple[str, ...]:
    """All assumptions once, in order of first mention."""
    return tuple(dict.fromkeys(text for one in estimates for text in one.assumptions))


def sources_of(estimates: Iterable[Estimate]) -> tuple[str, ...]:
    """All source keys once, sorted."""
    return tuple(sorted({key for one in estimates for key in one.sources}))
