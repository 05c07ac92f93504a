"""The life of a run on its supply, in a thread of its own: what is wished is done between two
samples, and however the thread ends, the output is off then."""

import threading
from collections import deque
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from tankside.app.work.run_wishes import act_of, check_stage
from tankside.base.errors import BadInput
from tankside.base.messages import said

if TYPE_CHECKING:
    from tankside.app.carry_out_a_run import LiveRun, Moment
    from tankside.app.order_a_run import Order
    from tankside.app.run_ports import RunKeeper, RunTools

FAULT_AFTER_S = 1800.0
"""When a fault given to a simulated cell comes, in the run's own time."""


@dataclass
class Watched:
    """One run while a thread follows it."""

    thread: threading.Thread
    wishes: deque[str] = field(default_factory=deque)
    live: "LiveRun | None" = None
    moment: "Moment | None" = None
    done: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Surroundings:
    """What a life needs: its tools, a lock held while others may not see half of it, whether the
    server is closing, and who is told of every second."""

    tools: "RunTools"
    lock: threading.RLock
    closing: Callable[[], bool]
    noted: "Callable[[Moment], None]"


def lived(
    watched: Watched,
    how: Mapping[str, Any],
    keeper: "RunKeeper",
    order: "Order",
    around: Surroundings,
) -> None:
    """Until the run is over or the server closes; HardwareFault where the supply fails."""
    from tankside.app.carry_out_a_run import LiveRun
    from tankside.app.run_ports import Trial

    hurry = float(how["hurry"])
    trial = Trial(
        expected=order.expected,
        hurry=hurry,
        fault=str(how.get("fault", "")),
        fault_after=FAULT_AFTER_S,
    )
    with around.tools.supply(str(how["supply"]), order.limits, trial) as supply:
        with around.lock:
            live = watched.live = LiveRun(
                order.recipe, order.expected, supply, around.tools.clock(hurry), keeper
            )
        while not live.state.over and not around.closing():
            obey(watched, live)
            if not live.state.over:
                watched.moment = live.second()
                around.noted(watched.moment)
        if not live.state.over and live.state.powered:
            live.pause(said("the server was stopped"))


def obey(watched: Watched, live: "LiveRun") -> None:
    """Does what is wished; what stands against it is told to who wished."""
    while watched.wishes:
        word = watched.wishes.popleft()
        try:
            check_stage(word, live.state)
            act_of(word).on_supply(live)
        except BadInput as error:
            watched.done[word] = error.message
        else:
            watched.done[word] = ""
