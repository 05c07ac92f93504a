"""Runs that the pages watch and steer: each on its supply in a thread of its own, second by second.

What happened is kept in the run's folder as it happens, so that a server that ends loses nothing: a
run found with its output on is paused, and goes on when the person says so. One run at a time has a
supply. However a thread ends, the output is off then.
"""

import re
import secrets
import threading
import time
from collections import deque
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tankside.app.work.kept_json import read_json, write_json
from tankside.base.errors import BadInput, HardwareFault, TanksideError, UnknownName

if TYPE_CHECKING:
    from tankside.app.carry_out_a_run import LiveRun, Moment
    from tankside.app.order_a_run import Order
    from tankside.app.ports import Tools
    from tankside.app.run_ports import RunKeeper
    from tankside.runs.series import Series

SIMULATED = "simulated"
HURRIES = (1.0, 60.0, 600.0)
"""How much faster than life a simulated run may go."""
FAULTS = ("lost contact", "short to anode", "passive anode", "stalled front")
"""What a simulated cell may be given, to try the alarms on."""
FAULT_AFTER_S = 1800.0
"""When it comes, in the run's own time."""
CHART_POINTS = 400
_CHART_HELD_S = 3.0
_OBEYED_WITHIN_S = 6.0
_ID = re.compile(r"^run-[0-9a-f]{12}$")


@dataclass(frozen=True, slots=True, kw_only=True)
class RunView:
    """A run as a page shows it: voltage [V], current [A], charge [C], times [s], share [-].

    stage        the state's word; `connected` whether a supply follows it now
    told         what went wrong on the way, in a sentence, or ""
    alarms       moments [s since 1970], what was seen, and what to do
    """

    id: str
    title: str
    supply: str
    hurry: float
    stage: str
    connected: bool
    powered: bool
    voltage: float | None
    expected_voltage: float | None
    current: float | None
    set_current: float
    charge: float
    planned_charge: float
    share: float
    to_go: float
    plated: float
    alarms: tuple[tuple[float, str, str], ...]
    warning: str
    told: str
    cautions: tuple[str, ...]


@dataclass
class _Watched:
    """One run while a thread follows it."""

    thread: threading.Thread
    wishes: deque[str] = field(default_factory=deque)
    live: "LiveRun | None" = None
    moment: "Moment | None" = None
    done: dict[str, str] = field(default_factory=dict)


class LiveRuns:
    """The runs of a folder. Safe to use from any thread."""

    def __init__(self, root: Path, tools: "Tools") -> None:
        self._root, self._tools = root, tools
        self._lock = threading.RLock()
        self._watched: dict[str, _Watched] = {}
        self._told: dict[str, str] = {}
        self._remedies: dict[str, str] = {}
        self._charts: dict[str, tuple[float, dict[str, Any]]] = {}
        self._closing = False

    def begin(
        self, order: Mapping[str, Any], supply: str, hurry: float = 1.0, fault: str = ""
    ) -> str:
        """A new run after an order; its id. Nothing is switched on yet."""
        if fault and (supply != SIMULATED or fault not in FAULTS):
            raise BadInput(f"a simulated run alone takes a fault, one of {', '.join(FAULTS)}")
        if hurry not in HURRIES or (supply != SIMULATED and hurry != 1.0):
            raise BadInput("only a simulated run goes faster than life, 60 or 600 times")
        id = f"run-{secrets.token_hex(6)}"
        self._tools.runs().begun(self._root / id, dict(order)).close()
        how = {"supply": supply, "hurry": hurry, "fault": fault, "created": time.time()}
        write_json(self._root / id / "how.json", how)
        return id

    def all(self) -> tuple[RunView, ...]:
        """All runs, newest first."""
        if not self._root.is_dir():
            return ()
        found = [path for path in self._root.iterdir() if (path / "how.json").is_file()]
        found.sort(key=lambda path: -float(read_json(path / "how.json")["created"]))
        return tuple(self.view(path.name) for path in found)

    def wish(self, id: str, word: str) -> None:
        """Lets something be done: begin, immersed, pause, resume or abort; returns when it is, or
        raises what stood against it."""
        if word not in _ACTS:
            raise UnknownName("the wish", word[:40], _ACTS)
        watched = self._followed(id)
        watched.done.pop(word, None)
        watched.wishes.append(word)
        end = time.monotonic() + _OBEYED_WITHIN_S
        while time.monotonic() < end and word not in watched.done:
            if not watched.thread.is_alive():
                break
            time.sleep(0.02)
        refusal = watched.done.get(word, self._told.get(id, ""))
        if refusal:
            raise BadInput(refusal)

    def view(self, id: str) -> RunView:
        """Where it stands."""
        how = self._how(id)
        with self._lock:  # a run's folder is opened anew only while no thread writes into it
            watched = self._watched.get(id)
            live = watched.live if watched is not None and watched.thread.is_alive() else None
            if watched is None or live is None:
                return self._kept_view(id, how)
            return self._live_view(id, how, live, watched.moment)

    def chart(self, id: str) -> dict[str, Any]:
        """Samples for a chart, thinned so that no spike is lost; times [h] since the first."""
        self._how(id)
        with self._lock:
            at, chart = self._charts.get(id, (0.0, {}))
            if time.monotonic() - at > _CHART_HELD_S:
                chart = self._drawn(id)
                self._charts[id] = (time.monotonic(), chart)
        return chart

    def close(self) -> None:
        """Pauses what runs: output off."""
        with self._lock:
            self._closing = True
            threads = [one.thread for one in self._watched.values()]
        for thread in threads:
            thread.join(timeout=10)

    def _how(self, id: str) -> dict[str, Any]:
        path = self._root / id / "how.json"
        if not _ID.match(id) or not path.is_file():
            raise UnknownName("run", id[:40], ())
        return read_json(path)

    def _followed(self, id: str) -> _Watched:
        """The run's thread, started if it has none; BadInput while another has the supply."""
        how = self._how(id)
        with self._lock:
            busy = [name for name, one in self._watched.items() if one.thread.is_alive()]
            if id in busy:
                return self._watched[id]
            if busy:
                raise BadInput(f"{busy[0]} has the supply; end or give that run up first")
            self._told.pop(id, None)
            thread = threading.Thread(target=self._life, args=(id, how), name=id, daemon=True)
            self._watched[id] = _Watched(thread=thread)
            thread.start()
            return self._watched[id]

    def _life(self, id: str, how: Mapping[str, Any]) -> None:
        try:
            self._lived(id, how)
        except (TanksideError, OSError) as error:
            self._told[id] = str(error)

    def _lived(self, id: str, how: Mapping[str, Any]) -> None:
        from tankside.app.carry_out_a_run import LiveRun
        from tankside.app.run_ports import Trial

        watched, tools = self._watched[id], self._tools.runs()
        keeper, order = self._opened(id)
        hurry = float(how["hurry"])
        trial = Trial(
            expected=order.expected,
            hurry=hurry,
            fault=str(how.get("fault", "")),
            fault_after=FAULT_AFTER_S,
        )
        try:
            with tools.supply(str(how["supply"]), order.limits, trial) as supply:
                with self._lock:
                    live = watched.live = LiveRun(
                        order.recipe, order.expected, supply, tools.clock(hurry), keeper
                    )
                while not live.state.over and not self._closing:
                    _obey(watched, live)
                    if not live.state.over:
                        watched.moment = live.second()
                        self._noted(watched.moment)
                if not live.state.over and live.state.powered:
                    live.pause("the server was stopped")
        except HardwareFault as fault:
            self._told[id] = f"{fault}; the output is off"
        finally:
            keeper.close()

    def _noted(self, moment: "Moment") -> None:
        for alarm in moment.alarms:
            self._remedies[alarm.seen] = alarm.do

    def _opened(self, id: str) -> "tuple[RunKeeper, Order]":
        from tankside.app.order_a_run import from_json

        keeper = self._tools.runs().opened(self._root / id)
        return keeper, from_json(keeper.order())

    def _live_view(
        self, id: str, how: Mapping[str, Any], live: "LiveRun", moment: "Moment | None"
    ) -> RunView:
        shown = moment.reading if moment is not None and live.state.powered else None
        return RunView(
            connected=True,
            voltage=shown.voltage if shown else None,
            current=shown.current if shown else None,
            expected_voltage=moment.expected_voltage if moment and shown else None,
            warning=moment.warning if moment else "",
            **self._common(
                id, how, live.keeper, live.state, live.amount.charge, live.amount.plated
            ),
        )

    def _kept_view(self, id: str, how: Mapping[str, Any]) -> RunView:
        from tankside.app.show_a_run import show_a_run

        keeper, order = self._opened(id)
        try:
            shown = show_a_run(order, keeper)
            return RunView(
                connected=False,
                voltage=None,
                current=None,
                expected_voltage=None,
                warning="",
                **self._common(id, how, keeper, shown.state, shown.charge, shown.totals.sampled),
            )
        finally:
            keeper.close()

    def _common(
        self,
        id: str,
        how: Mapping[str, Any],
        keeper: "RunKeeper",
        state: Any,
        charge: float,
        plated: float,
    ) -> dict[str, Any]:
        from tankside.app.order_a_run import from_json
        from tankside.runs.events import AlarmRaised

        order = from_json(keeper.order())
        planned = order.recipe.expected_charge
        share = min(1.0, charge / planned)
        alarms = [one for one in keeper.events() if isinstance(one, AlarmRaised)]
        return {
            "id": id,
            "title": order.title,
            "supply": str(how["supply"]),
            "hurry": float(how["hurry"]),
            "stage": state.stage.value,
            "powered": state.powered,
            "set_current": state.current or order.recipe.settings[0].current,
            "charge": charge,
            "planned_charge": planned,
            "share": share,
            "to_go": (1.0 - share) * order.recipe.expected_duration,
            "plated": plated,
            "alarms": tuple(
                (one.at, one.words, self._remedies.get(one.words, "")) for one in alarms[-6:][::-1]
            ),
            "told": self._told.get(id, ""),
            "cautions": order.cautions,
        }

    def _drawn(self, id: str) -> dict[str, Any]:
        import numpy as np

        from tankside.runs.series import charge_so_far, thinned

        watched = self._watched.get(id)
        if watched is not None and watched.live is not None and watched.thread.is_alive():
            keeper, expected_of = watched.live.keeper, watched.live.expected
            series = _since_the_ramp(keeper)
        else:
            keeper, order = self._opened(id)
            series, expected_of = _since_the_ramp(keeper), order.expected
            keeper.close()
        few = thinned(series, CHART_POINTS)
        charge = np.interp(few.time, series.time, charge_so_far(series)) if len(few) else few.time
        expected = [
            expected_of.voltage_at(float(current), float(passed))
            for current, passed in zip(few.current, charge, strict=True)
        ]
        start = float(few.time[0]) if len(few) else 0.0
        return {
            "time_h": ((few.time - start) / 3600).round(6).tolist(),
            "voltage_V": few.voltage.tolist(),
            "current_A": few.current.tolist(),
            "expected_voltage_V": [round(value, 5) for value in expected],
            "charge_Ah": [round(float(value) / 3600, 5) for value in charge],
        }


def _since_the_ramp(keeper: "RunKeeper") -> "Series":
    """The samples from the first setting on: what came before was outside the bath."""
    from math import inf

    from tankside.runs.events import RampStarted

    ramp = next((one.at for one in keeper.events() if isinstance(one, RampStarted)), inf)
    return keeper.series().between(ramp, inf)


def _begin(live: "LiveRun") -> None:
    live.begin()


def _immersed(live: "LiveRun") -> None:
    live.immersed()


def _pause(live: "LiveRun") -> None:
    live.pause("the person paused it")


def _resume(live: "LiveRun") -> None:
    live.resume()


def _abort(live: "LiveRun") -> None:
    live.abort("the person gave it up")


@dataclass(frozen=True, slots=True)
class _Act:
    """What is done, and at which stages alone; at all of them where none is named: off is always
    allowed."""

    do: "Callable[[LiveRun], None]"
    stages: tuple[str, ...] = ()


_ACTS = {
    "begin": _Act(_begin, ("planned",)),
    "immersed": _Act(_immersed, ("entry",)),
    "pause": _Act(_pause),
    "resume": _Act(_resume, ("entry", "paused")),
    "abort": _Act(_abort),
}
"""By the word of the wish. What switches the output on is held to its stages before anything is
sent to the supply."""


def _obey(watched: _Watched, live: "LiveRun") -> None:
    """Does what is wished, between two samples; what stands against it is told to who wished."""
    while watched.wishes:
        word = watched.wishes.popleft()
        act, stage = _ACTS[word], live.state.stage.value
        if act.stages and stage not in act.stages:
            watched.done[word] = f"a run that is {stage} cannot take {word!r}"
            continue
        try:
            act.do(live)
        except BadInput as error:
            watched.done[word] = error.message
        else:
            watched.done[word] = ""
