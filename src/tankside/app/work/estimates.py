"""How long work will still take, from how long the same stages took before on this machine.

A stage's usual time is the median of its last runs. What is left is what is left of the present
stage and of those that followed it last time. A stage that has taken longer than is usual is judged
by its own pace alone. Without a history there is no estimate: none is made up.
"""

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from statistics import median

from tankside.app.work.work import Order

KEPT_RUNS = 12
"""Runs of a kind that the medians are taken from."""

Stages = Sequence[tuple[str, float]]
"""Stages in their order with their times [s]."""


def alike(order: Order) -> str:
    """The name of the work that takes about as long: its kind; a plan over a coat has one of its
    own, as copper that creeps is computed step by step."""
    coated = order.options.get("form", {}).get("surface") == "coat"
    return f"{order.kind.value} over a coat" if coated else order.kind.value


class Estimates:
    """Times of stages by the name of alike work, in one small file."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._runs: dict[str, list[list[tuple[str, float]]]] = _read(path)

    def learn(self, kind: str, stages: Stages) -> None:
        """Takes in one finished run."""
        runs = self._runs.setdefault(kind, [])
        runs.append(list(stages))
        del runs[:-KEPT_RUNS]
        self._path.parent.mkdir(parents=True, exist_ok=True)
        self._path.write_text(json.dumps(self._runs), "utf-8")

    def left(
        self, kind: str, past: Mapping[str, float], stage: str, fraction: float
    ) -> float | None:
        """Time left [s], or None where this kind, or this stage, was never seen to its end, or
        where it takes longer than ever and does not say how far it is.

        past    time spent so far by stage [s], the present one included
        """
        runs = self._runs.get(kind, [])
        usual = _usual(runs)
        if not stage or stage not in usual:
            return sum(usual.values()) if usual and not stage else None
        order = list(usual)
        ahead = sum(usual[name] for name in order[order.index(stage) + 1 :] if name not in past)
        spent = past.get(stage, 0.0)
        if spent < usual[stage]:
            return max(usual[stage] * (1.0 - fraction), usual[stage] - spent) + ahead
        return None if fraction <= 0.0 else spent * (1.0 - fraction) / fraction + ahead


def _usual(runs: Sequence[Stages]) -> dict[str, float]:
    """The median time of each stage, in the order of the latest run."""
    if not runs:
        return {}
    times: dict[str, list[float]] = {}
    for run in runs:
        for stage, seconds in run:
            times.setdefault(stage, []).append(seconds)
    return {stage: median(times[stage]) for stage, _ in runs[-1]}


def _read(path: Path) -> dict[str, list[list[tuple[str, float]]]]:
    try:
        held = json.loads(path.read_text("utf-8"))
        return {
            str(kind): [[(str(s), float(t)) for s, t in run] for run in runs]
            for kind, runs in held.items()
        }
    except (OSError, ValueError, TypeError, AttributeError):
        return {}  # never written, or spoilt: only estimates are lost
