"""Use case: a run that was carried out by hand, with a data logger beside it: the logger's file is
read, shown, and taken in as the run's samples."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from tankside.app.run_ports import RunKeeper
from tankside.base.errors import BadInput
from tankside.runs import events as e
from tankside.runs.logger_file import Columns, columns_of, read_log
from tankside.runs.series import Series, Totals, longest_gap_of, totals
from tankside.runs.states import RunState, Stage, replayed
from tankside.runs.words import STAGES

BY = "data logger"
YEAR_2000_S = 946_684_800.0
"""Times before this are counted from the log's own beginning."""


@dataclass(frozen=True, kw_only=True)
class LogRequest:
    """A logger's file by content and name; heads of its columns ("" where they are to be guessed);
    and when it began, as "2026-03-01 18:30" in this machine's time, for a file that counts from
    its own beginning ("" for one with dates)."""

    content: bytes
    name: str
    time: str = ""
    voltage: str = ""
    current: str = ""
    start: str = ""


@dataclass(frozen=True, kw_only=True)
class LogReply:
    """How the file was understood: its columns, samples, and what they add up to."""

    columns: Columns
    series: Series
    totals: Totals

    def as_json(self) -> dict[str, Any]:
        """SI numbers with their units in the keys."""
        return {
            "columns": {
                "time": self.columns.time,
                "voltage": self.columns.voltage,
                "current": self.columns.current,
                "voltage_factor": self.columns.voltage_factor,
                "current_factor": self.columns.current_factor,
            },
            "samples": len(self.series),
            "start_s": float(self.series.time[0]),
            "end_s": float(self.series.time[-1]),
            "charge_C": self.totals.charge,
            "sampled_s": self.totals.sampled,
            "gaps": self.totals.gaps,
            "unknown_s": self.totals.unknown,
        }

    def text(self) -> str:
        """A few lines for a terminal."""
        first, last = (datetime.fromtimestamp(float(self.series.time[k])) for k in (0, -1))
        charge = self.totals.charge / 3600
        lines = [
            f"Columns: time {self.columns.time!r}, volts {self.columns.voltage!r} "
            f"(times {self.columns.voltage_factor:g}), amps {self.columns.current!r} "
            f"(times {self.columns.current_factor:g})",
            f"{len(self.series)} samples from {first:%Y-%m-%d %H:%M:%S} to "
            f"{last:%Y-%m-%d %H:%M:%S}: {charge:.3f} Ah",
        ]
        if self.totals.gaps:
            count = "1 gap" if self.totals.gaps == 1 else f"{self.totals.gaps} gaps"
            lines.append(
                f"{count}, {self.totals.unknown / 60:.0f} min in all, of which nothing is known; "
                "no charge is counted there"
            )
        return "\n".join(lines) + "\n"


def read_a_log(request: LogRequest) -> LogReply:
    """The file as it would be taken in; BadInput, placed at its line, where it cannot be read."""
    columns = _columns(request)
    found = read_log(request.content, columns, where=request.name)
    series = _placed(found, request)
    return LogReply(columns=columns, series=series, totals=totals(series, longest_gap_of(series)))


def take_a_log(keeper: RunKeeper, reply: LogReply, *, ended: bool) -> RunState:
    """Takes the samples into the run, which begins with the first of them, and ends with the last
    where `ended` says so. A further file goes behind what is there; BadInput where it does not lie
    behind it, or where the run is over."""
    state = replayed(keeper.events())
    first, last = float(reply.series.time[0]), float(reply.series.time[-1])
    if state.over:
        raise BadInput(
            "this run has {stage} already; begin another for this log",
            stage=STAGES[state.stage.value],
        )
    held = keeper.series()
    if len(held) and first <= float(held.time[-1]):
        raise BadInput("the log begins before the last sample that the run has; cut it there")
    if state.stage is Stage.PLANNED:
        keeper.add_events(
            [kind(at=first, by=BY) for kind in (e.Begun, e.PoweredOn, e.Immersed, e.RampStarted)]
        )
    for row in zip(reply.series.time, reply.series.voltage, reply.series.current, strict=True):
        keeper.add_sample(*(float(value) for value in row))
    if ended:
        keeper.add_events([e.Ended(at=last, by=BY), e.PoweredOff(at=last, by=BY)])
    return replayed(keeper.events())


def _columns(request: LogRequest) -> Columns:
    named = (request.time, request.voltage, request.current)
    if not any(named):
        return columns_of(request.content, where=request.name)
    if not all(named):
        raise BadInput(
            "name all three columns, of time, volts and amps, or none", where=request.name
        )
    return Columns.named(*named)


def _placed(series: Series, request: LogRequest) -> Series:
    """The samples at their moments [s since 1970]."""
    counted = float(series.time[0]) < YEAR_2000_S
    if counted and not request.start:
        raise BadInput(
            "the log counts from its own beginning; say when that was, such as 2026-03-01 18:30",
            where=request.name,
        )
    if not counted and request.start:
        raise BadInput("the log holds dates; leave its beginning out", where=request.name)
    if not counted:
        return series
    try:
        start = datetime.fromisoformat(request.start).timestamp()
    except ValueError as error:
        raise BadInput(
            "{start!r} is no moment; write it as 2026-03-01 18:30",
            start=request.start,
            where="the beginning",
        ) from error
    return Series.of(start + series.time, series.voltage, series.current)
