"""The samples of a run, and what they add up to.

Charge is the integral of the current by the trapezoid rule over the moments sampled. Where samples
are further apart than `longest_gap`, nothing is known of the current between them, so it is counted
as none and the span is told as a gap: never invented.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from tankside.base.arrays import Bools, Floats, frozen_floats
from tankside.base.errors import BadInput

LONGEST_GAP_S = 10.0
"""Samples come once a second; ten missed in a row are a gap."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """Samples in the order of time (n,): time [s since 1970], voltage [V], current [A], and
    temperature [K], nan where it was not measured."""

    time: Floats
    voltage: Floats
    current: Floats
    temperature: Floats

    def __post_init__(self) -> None:
        lengths = {len(getattr(self, name)) for name in ("time", "voltage", "current")}
        if len(lengths | {len(self.temperature)}) != 1:
            raise BadInput("a series needs as many voltages, currents and temperatures as times")
        if len(self.time) and not (np.diff(self.time) > 0).all():
            place = int(np.argmin(np.diff(self.time) > 0))
            back = float(self.time[place] - self.time[place + 1])
            raise BadInput(
                "the time of sample {place} does not follow that of the one before it ({back:.3g} "
                "s back); a log must run forwards",
                place=place + 2,
                back=back,
            )
        for name in ("time", "voltage", "current"):
            if not np.isfinite(getattr(self, name)).all():
                raise BadInput("a series holds a {name} that is not a number", name=name)
        for name in ("time", "voltage", "current", "temperature"):
            object.__setattr__(self, name, frozen_floats(getattr(self, name)))

    @classmethod
    def of(
        cls, time: Floats, voltage: Floats, current: Floats, temperature: Floats | None = None
    ) -> "Series":
        """A series without temperatures where none are given."""
        unknown = np.full(len(time), np.nan) if temperature is None else temperature
        return cls(time=time, voltage=voltage, current=current, temperature=unknown)

    def __len__(self) -> int:
        return len(self.time)

    def joined(self, later: "Series") -> "Series":
        """This series with a later one behind it."""
        return Series(
            **{
                name: np.concatenate([getattr(self, name), getattr(later, name)])
                for name in ("time", "voltage", "current", "temperature")
            }
        )

    def between(self, start: float, end: float) -> "Series":
        """The samples from `start` up to, not with, `end` [s]."""
        first, last = np.searchsorted(self.time, [start, end])
        return self.part(slice(int(first), int(last)))

    def part(self, some: "slice | Bools") -> "Series":
        """Some of the samples."""
        return Series(
            time=self.time[some],
            voltage=self.voltage[some],
            current=self.current[some],
            temperature=self.temperature[some],
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Totals:
    """What a series adds up to: charge [C], energy [J], time with samples [s], gaps [s] of which
    nothing is known, and their number."""

    charge: float
    energy: float
    sampled: float
    unknown: float
    gaps: int


def longest_gap_of(series: Series) -> float:
    """Spans longer than this [s] are gaps: ten missed samples of a run that is sampled each second,
    three of a logger that writes less often than every three."""
    if len(series) < 2:
        return LONGEST_GAP_S
    return max(LONGEST_GAP_S, 3.0 * float(np.median(np.diff(series.time))))


def totals(series: Series, longest_gap: float = LONGEST_GAP_S) -> Totals:
    """Charge, energy and times of a series; spans longer than `longest_gap` [s] count as gaps."""
    spans = np.diff(series.time)
    known = spans <= longest_gap
    return Totals(
        charge=_trapezoid(spans, series.current, known),
        energy=_trapezoid(spans, series.current * series.voltage, known),
        sampled=float(spans[known].sum()),
        unknown=float(spans[~known].sum()),
        gaps=int((~known).sum()),
    )


def charge_so_far(series: Series, longest_gap: float = LONGEST_GAP_S) -> Floats:
    """Charge passed up to each sample (n,) [C], from zero at the first."""
    spans = np.diff(series.time)
    pieces = np.where(
        spans <= longest_gap, spans * (series.current[1:] + series.current[:-1]) / 2, 0.0
    )
    return np.concatenate([[0.0], np.cumsum(pieces)])[: len(series)]


def thinned(series: Series, most: int) -> Series:
    """At most about `most` samples that draw the same curve: of every run of samples the ones with
    the lowest and the highest current and voltage are kept, so that no spike is lost."""
    count = len(series)
    if count <= most:
        return series
    edges = np.linspace(0, count, max(1, most // 4) + 1).astype(int)
    kept: set[int] = {0, count - 1}
    for first, last in pairwise(edges):
        for values in (series.current[first:last], series.voltage[first:last]):
            kept |= {int(first + values.argmin()), int(first + values.argmax())}
    chosen = np.zeros(count, dtype=bool)
    chosen[sorted(kept)] = True
    return series.part(chosen)


def _trapezoid(spans: Floats, values: Floats, known: Bools) -> float:
    return float((spans * (values[1:] + values[:-1]) / 2)[known].sum())
