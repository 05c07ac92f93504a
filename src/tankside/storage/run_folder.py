"""A run's folder on this machine: what is to be done, what happened, what was sampled.

    order.json      the recipe, what the plan expects, and the words for a person
    events.jsonl    one event a line (runs/journal.py)
    samples.csv     time_s,voltage_V,current_A,temperature_K, one line a second

Events are on the disk when they are added; samples within a second. After a kill the folder is read
as it stands: whole lines count, a torn end is set aside and told.
"""

import json
import os
from collections.abc import Sequence
from math import isnan, nan
from pathlib import Path
from typing import Any

import numpy as np

from tankside.base.errors import BadInput
from tankside.base.wording import quoting
from tankside.runs.events import Event
from tankside.runs.journal import decoded, encoded
from tankside.runs.series import Series
from tankside.storage.append_only import AppendOnly

HEAD = b"time_s,voltage_V,current_A,temperature_K\n"
FLUSHED_WITHIN_S = 1.0


class RunFolder:
    """One run's folder; made with `begun`, found again with `opened`."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._events = AppendOnly(folder / "events.jsonl")
        self._samples = AppendOnly(folder / "samples.csv", delay=FLUSHED_WITHIN_S)

    @classmethod
    def begun(cls, folder: Path, order: dict[str, Any]) -> "RunFolder":
        """A new folder with its order; BadInput where a run is in it already."""
        if (folder / "order.json").exists():
            raise BadInput("a run is in this folder already; give another", where=str(folder))
        try:
            folder.mkdir(parents=True, exist_ok=True)
            aside = folder / ".order.json.part"
            aside.write_text(json.dumps(order, indent=1, ensure_ascii=False), "utf-8")
            os.replace(aside, folder / "order.json")
        except OSError as error:
            reason = (error.strerror or type(error).__name__).lower()
            raise BadInput(
                "cannot write there: {reason}", reason=reason, where=str(folder)
            ) from error
        held = cls(folder)
        held._samples.add(HEAD)
        return held

    @classmethod
    def opened(cls, folder: Path) -> "RunFolder":
        """A folder with a run in it; torn ends, as a kill leaves them, are set aside."""
        if not (folder / "order.json").is_file():
            raise BadInput("no run is in this folder", where=str(folder))
        held = cls(folder)
        held.set_aside = tuple(
            path for path in (held._events.torn_end(), held._samples.torn_end()) if path
        )
        return held

    set_aside: tuple[Path, ...] = ()
    """Files that hold the torn ends found on opening."""

    def order(self) -> dict[str, Any]:
        """The order as it was given."""
        path = self.folder / "order.json"
        try:
            found: dict[str, Any] = json.loads(path.read_text("utf-8"))
        except (OSError, ValueError) as error:
            raise BadInput("the run's order cannot be read", where=str(path)) from error
        return found

    def events(self) -> tuple[Event, ...]:
        """All events so far."""
        return decoded(self._events.content(), where=str(self._events.path)).events

    def add_events(self, events: Sequence[Event]) -> None:
        """Events at the end, on the disk when this returns."""
        self._events.add(b"".join(map(encoded, events)))

    def series(self) -> Series:
        """All samples so far."""
        return read_samples(self._samples.content(), where=str(self._samples.path))

    def add_sample(
        self, time: float, voltage: float, current: float, temperature: float = nan
    ) -> None:
        """One sample at the end, on the disk within a second."""
        warmth = "" if isnan(temperature) else f"{temperature:.2f}"
        self._samples.add(f"{time:.3f},{voltage:.5g},{current:.5g},{warmth}\n".encode())

    def close(self) -> None:
        """Everything is on the disk."""
        self._events.close()
        self._samples.close()


def read_samples(content: bytes, *, where: str) -> Series:
    """Samples of such a file's whole lines; BadInput with the line's number where one is none."""
    whole = content[: content.rfind(b"\n") + 1]
    head, _, body = whole.partition(b"\n")
    if whole and head + b"\n" != HEAD:
        raise BadInput("the first line is not {head!r}", head=HEAD.decode().strip(), where=where)
    lines = body.splitlines()
    rows = np.full((len(lines), 4), nan)
    for number, line in enumerate(lines):
        cells = line.split(b",")
        try:
            rows[number] = [float(cell) if cell else nan for cell in cells]
        except ValueError as error:
            raise BadInput(
                "this line is no sample",
                where=quoting("{where}, line {number}", where=where, number=number + 2),
            ) from error
    return Series(time=rows[:, 0], voltage=rows[:, 1], current=rows[:, 2], temperature=rows[:, 3])
