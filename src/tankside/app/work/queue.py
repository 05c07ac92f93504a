"""The queue: one piece of work after the other in a worker process, with progress and cancel.

A thread of the server hands orders to the worker and listens to it. The worker stays for the next
order, because it has its kernels warm then. It is ended, and started anew for the next order, where
it does not answer a wish to cancel within GRACE_S, works longer than its time, or dies.
"""

import multiprocessing
import os
import secrets
import threading
import time
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import TYPE_CHECKING, Any

from tankside.app.work.estimates import Estimates, alike
from tankside.app.work.folder import WorkFolder
from tankside.app.work.work import Fault, Order, Standing, Work, WorkKind, WorkState
from tankside.app.work.worker import start_deaf, worked
from tankside.base.errors import BadInput, UnknownName
from tankside.base.wording import quoting

if TYPE_CHECKING:
    from pathlib import Path

    from tankside.app.ports import Tools

GRACE_S = 8.0
"""How long the worker may take to notice that it should stop [s]."""
MOST_ATTEMPTS = 2
"""Work that was cut off this often by the end of its server is not tried again."""
MOST_WAITING = 20
"""Orders that may wait at once."""
_LISTEN_S = 0.2


MOST_MEMORY, LEAST_MEMORY = 16 * 2**30, 4 * 2**30
"""Address space of the worker on a large and on a small machine [bytes]; its libraries alone map
some 3 GiB, without using them."""


def memory_to_take() -> int:
    """As much address space as the machine has memory [bytes], between the least and the most: work
    that wants more ends, before the machine begins to swap."""
    try:
        there = os.sysconf("SC_PHYS_PAGES") * os.sysconf("SC_PAGE_SIZE")
    except (AttributeError, ValueError, OSError):
        return MOST_MEMORY  # a system that does not tell
    return min(MOST_MEMORY, max(LEAST_MEMORY, there))


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """seconds    that one piece of work may take [s]
    memory     address space of the worker [bytes]"""

    seconds: float = 3600.0
    memory: int = field(default_factory=memory_to_take)


@dataclass
class _Busy:
    """What the worker is at: its order, and the time spent by stage [s]."""

    order: Order
    began: float
    past: dict[str, float] = field(default_factory=dict)
    stage: str = ""
    stage_began: float = 0.0
    asked: float = 0.0

    def turn(self, stage: str) -> None:
        """A stage ends, another begins."""
        now = time.monotonic()
        if self.stage:
            self.past[self.stage] = self.past.get(self.stage, 0.0) + now - self.stage_began
        self.stage, self.stage_began = stage, now

    def spent(self) -> dict[str, float]:
        """Time by stage up to now [s]."""
        here = self.past.get(self.stage, 0.0) + time.monotonic() - self.stage_began
        return {**self.past, self.stage: here} if self.stage else dict(self.past)


class WorkQueue:
    """Takes orders, tells where they stand, stops them. Safe to use from any thread."""

    def __init__(self, root: "Path", tools: "Tools", limits: Limits | None = None) -> None:
        self.folder = WorkFolder(root)
        self._tools = tools
        self._limits = limits or Limits()
        self._estimates = Estimates(root / "times.json")
        self._lock = threading.Condition()
        self._works = {work.id: work for work in self.folder.all()}
        self._busy: _Busy | None = None
        self._closing = False
        self._thread: threading.Thread | None = None
        self._worker: tuple[BaseProcess, Connection] | None = None
        for work in list(self._works.values()):
            if work.state is WorkState.RUNNING:
                self._again(work)

    def add(
        self,
        kind: WorkKind,
        title: str,
        given: Mapping[str, bytes],
        *,
        part: str = "",
        options: Mapping[str, Any] | None = None,
    ) -> Work:
        """Takes an order in; BadInput where too many wait already."""
        with self._lock:
            waiting = sum(not work.state.over for work in self._works.values())
            if waiting >= MOST_WAITING:
                raise BadInput(
                    "{waiting} orders wait already; stop some, or wait for them", waiting=waiting
                )
            order = Order(
                id=f"{kind.value}-{secrets.token_hex(6)}",
                kind=kind,
                title=title,
                created=time.time(),
                part=part,
                options=options or {},
            )
            work = self._works[order.id] = self.folder.add(order, given)
            self._start()
            self._lock.notify_all()
            return work

    def all(self) -> tuple[Work, ...]:
        """All work, newest first."""
        with self._lock:
            works = list(self._works.values())
        return tuple(sorted(works, key=lambda work: -work.order.created))

    def get(self, id: str) -> Work:
        """By id; UnknownName where there is none."""
        with self._lock:
            if id not in self._works:
                raise UnknownName("work", id[:40], self._works)
            return self._works[id]

    def seconds_left(self, id: str) -> float | None:
        """An estimate for running work from earlier runs [s]; None where there is none."""
        with self._lock:
            busy = self._busy
            if busy is None or busy.order.id != id:
                return None
            fraction = self._works[id].standing.fraction
            return self._estimates.left(alike(busy.order), busy.spent(), busy.stage, fraction)

    def ahead(self, id: str) -> int:
        """How many orders come before a waiting one."""
        with self._lock:
            mine = self._works[id].order.created
            return sum(
                not work.state.over and work.order.created < mine for work in self._works.values()
            )

    def cancel(self, id: str) -> Work:
        """Stops it: at once where it waits, soon where it runs; what is over stays as it is."""
        with self._lock:
            work = self.get(id)
            if work.state is WorkState.QUEUED:
                return self._stand(id, state=WorkState.CANCELLED, ended=time.time())
            if work.state is WorkState.RUNNING:
                self.folder.ask_to_cancel(id)
                if self._busy is not None and not self._busy.asked:
                    self._busy.asked = time.monotonic()
            return self._works[id]

    def remove(self, id: str) -> None:
        """Forgets work that is over; BadInput where it is not."""
        with self._lock:
            if not self.get(id).state.over:
                raise BadInput("{id} is not over; stop it first", id=id)
            del self._works[id]
            self.folder.remove(id)

    def bring_back(self, id: str) -> Work:
        """Work that was forgotten, as it was; UnknownName where it is gone for good."""
        with self._lock:
            if id not in self._works:
                self._works[id] = self.folder.bring_back(id)
            return self._works[id]

    def start(self) -> None:
        """Goes on with what waits from before."""
        with self._lock:
            self.folder.forget_for_good(time.time())
            if any(work.state is WorkState.QUEUED for work in self._works.values()):
                self._start()

    def close(self) -> None:
        """Ends the worker; what ran is queued again when the server comes back."""
        with self._lock:
            self._closing = True
            self._lock.notify_all()
            thread = self._thread
        if thread is not None:
            thread.join(timeout=10)
        self._end_worker()

    def _start(self) -> None:
        if self._thread is None:
            self._thread = threading.Thread(target=self._life, name="work queue", daemon=True)
            self._thread.start()

    def _life(self) -> None:
        while True:
            with self._lock:
                work = self._next()
                while work is None and not self._closing:
                    self._lock.wait()
                    work = self._next()
                if work is None or self._closing:
                    return
                self._begin(work)
            self._attend(work.order)

    def _next(self) -> Work | None:
        queued = [work for work in self._works.values() if work.state is WorkState.QUEUED]
        return min(queued, key=lambda work: work.order.created, default=None)

    def _begin(self, work: Work) -> None:
        self._busy = _Busy(order=work.order, began=time.monotonic())
        attempts = work.standing.attempts + 1
        self._stand(work.id, state=WorkState.RUNNING, started=time.time(), attempts=attempts)

    def _attend(self, order: Order) -> None:
        """Hands the order out and listens until it is over or has to be ended."""
        state, fault, error = self._listened(order)
        if state is None:
            return  # the server closes; the folder says that it was running
        with self._lock:
            busy = self._busy
            if busy is not None and state is WorkState.DONE:
                busy.turn("")
                self._estimates.learn(alike(order), list(busy.past.items()))
            self._busy = None
            self._stand(order.id, state=state, fault=fault, error=error, ended=time.time())

    def _listened(self, order: Order) -> tuple[WorkState | None, Fault, str]:
        process, pipe = self._hired()
        try:
            pipe.send(order)
            while not self._closing:
                if pipe.poll(_LISTEN_S):
                    kind, *said = pipe.recv()
                    if kind == "ended":
                        return said[0], said[1], said[2]
                    self._heard(order.id, said[0], said[1])
                else:
                    process.join(timeout=0)
                overdue = self._overdue()
                if overdue is not None:
                    self._end_worker()
                    return overdue
        except (EOFError, OSError):
            self._end_worker()
            return (
                WorkState.FAILED,
                Fault.INPUT,
                "the worker was ended from outside, most likely for want of memory; "
                "a coarser mesh needs less",
            )
        self._end_worker()
        return None, Fault.NONE, ""

    def _overdue(self) -> tuple[WorkState, Fault, str] | None:
        """How work ends that does not stop by itself."""
        now, busy = time.monotonic(), self._busy
        if busy is None:
            return None
        if busy.asked and now - busy.asked > GRACE_S:
            return WorkState.CANCELLED, Fault.NONE, ""
        if now - busy.began > self._limits.seconds:
            words = quoting(
                "not done within {limit:g} s; a coarser mesh is", limit=self._limits.seconds
            )
            return WorkState.FAILED, Fault.INPUT, words
        return None

    def _heard(self, id: str, stage: str, fraction: float) -> None:
        with self._lock:
            if self._busy is not None and self._busy.stage != stage:
                self._busy.turn(stage)
            self._stand(id, stage=stage, fraction=fraction)

    def _hired(self) -> tuple[BaseProcess, Connection]:
        """The worker and our end of its pipe; a new one where there is none alive."""
        if self._worker is not None and self._worker[0].is_alive():
            return self._worker
        self._end_worker()
        context = multiprocessing.get_context("spawn")
        ours, theirs = context.Pipe()
        process = context.Process(
            target=worked,
            args=(theirs, self.folder.root, self._tools, self._limits.memory),
            name="tankside worker",
            daemon=True,
        )
        start_deaf(process)
        theirs.close()
        self._worker = (process, ours)
        return self._worker

    def _end_worker(self) -> None:
        if self._worker is None:
            return
        process, pipe = self._worker
        self._worker = None
        pipe.close()
        process.terminate()
        process.join(timeout=3)
        if process.is_alive():
            process.kill()
            process.join(timeout=3)

    def _again(self, work: Work) -> None:
        """Work that ran when the last server ended."""
        if work.standing.attempts >= MOST_ATTEMPTS:
            times = work.standing.attempts
            said = quoting(
                "the server ended {times} times while this ran; ask for it anew", times=times
            )
            self._stand(work.id, state=WorkState.FAILED, fault=Fault.OURS, error=said)
        else:
            self._stand(work.id, state=WorkState.QUEUED, stage="", fraction=0.0)

    def _stand(self, id: str, **changes: Any) -> Work:
        """The same work further on, kept on disk where more than a fraction changed."""
        work = self._works[id]
        standing: Standing = replace(work.standing, **changes)
        if standing != replace(work.standing, fraction=standing.fraction):
            self.folder.stand(id, standing)
        self._works[id] = Work(order=work.order, standing=standing)
        return self._works[id]
