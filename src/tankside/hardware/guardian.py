"""A process of its own that holds the supply's link, so that its output goes off whatever happens.

The run talks to the guardian through a pipe. When the pipe ends (the run's process ended, crashed
or was killed) or nothing has been heard for a while (it hangs), the guardian switches the output
off. When the link fails it tries to reach the supply again and switches it off, and says which it
was. What it cannot help: its own death, or the machine's; then the supply's own timer must serve.
"""

import atexit
import multiprocessing
import signal
import time
from collections.abc import Callable
from dataclasses import dataclass
from multiprocessing.connection import Connection
from typing import Any

from tankside.app.run_ports import HardLimits, Reading
from tankside.base.errors import BadInput, HardwareFault, TanksideError
from tankside.hardware.declaration import Declaration
from tankside.hardware.link import VisaLink
from tankside.hardware.scpi_supply import ScpiSupply

PATIENCE_S = 5.0
"""Silence of the run after which the output goes off: our judgement; a run speaks every second."""

START_S = 30.0
"""Longest start of the guardian's process, on a busy machine."""

REACHING_S = 20.0
"""How long a lost supply is tried to be switched off."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Post:
    """What a guardian watches over."""

    resource: str
    limits: HardLimits
    known: tuple[Declaration, ...]
    patience: float = PATIENCE_S
    reaching: float = REACHING_S


class GuardedSupply:
    """A supply behind a guardian; see app.run_ports.Supply."""

    def __init__(self, post: Post) -> None:
        context = multiprocessing.get_context("spawn")
        self._pipe, theirs = context.Pipe()
        self._answer_time = post.reaching + START_S
        self.process = context.Process(target=watch, args=(theirs, post), daemon=False)
        self.process.start()
        theirs.close()
        atexit.register(self._pipe.close)
        self._identity = str(self._received())

    def identity(self) -> str:
        """Its answer to *IDN?."""
        return self._identity

    def set(self, current: float, voltage_limit: float) -> None:
        """See ScpiSupply.set."""
        self._asked("set", current, voltage_limit)

    def on(self) -> None:
        """See ScpiSupply.on."""
        self._asked("on")

    def off(self) -> None:
        """See ScpiSupply.off."""
        self._asked("off")

    def measured(self) -> Reading:
        """See ScpiSupply.measured."""
        reading: Reading = self._asked("measured")
        return reading

    def close(self) -> None:
        """Output off, and the guardian dismissed."""
        try:
            if self.process.is_alive():
                self._asked("close")
        finally:
            atexit.unregister(self._pipe.close)
            self._pipe.close()
            self.process.join(self._answer_time)

    def _asked(self, what: str, *values: float) -> Any:
        try:
            self._pipe.send((what, values))
        except OSError as error:
            raise self._dead() from error
        return self._received()

    def _received(self) -> Any:
        try:
            if not self._pipe.poll(self._answer_time):
                raise HardwareFault(
                    "the supply's guardian does not answer; switch off by hand, now"
                )
            answer = self._pipe.recv()
        except (EOFError, OSError) as error:
            if isinstance(error, HardwareFault):
                raise
            raise self._dead() from error
        if isinstance(answer, _Failed):
            raise answer.kind(answer.message)
        return answer

    def _dead(self) -> HardwareFault:
        return HardwareFault(
            "the supply's guardian has ended, so nothing watches over its output; "
            "switch the supply off by hand, now"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Failed:
    """An error on its way through the pipe."""

    kind: type[TanksideError]
    message: str


def watch(pipe: Connection, post: Post) -> None:
    """The guardian's life: answers until the pipe ends, then the output is off."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    stopped = _on_termination()
    guard = _Guard(post)
    try:
        identity = guard.supply.identity()
    except TanksideError as error:
        _sent(pipe, _failed(error))
        return
    _sent(pipe, identity)
    try:
        _served(pipe, guard, stopped)
    finally:
        if not guard.dismissed:
            guard.surely_off()


class _Guard:
    """Holds the supply, and another link to it where the first is lost."""

    def __init__(self, post: Post) -> None:
        self.post = post
        self._held: ScpiSupply | None = None
        self.dismissed = False

    @property
    def supply(self) -> ScpiSupply:
        """The supply, reached anew if need be; its output is off then."""
        if self._held is None:
            link = VisaLink(self.post.resource)
            self._held = ScpiSupply(link, self.post.limits, self.post.known)
        return self._held

    def surely_off(self) -> bool:
        """True once the supply has confirmed that its output is off."""
        until = time.monotonic() + self.post.reaching
        while True:
            try:
                self.supply.off()
            except TanksideError:
                self._held = None
            else:
                return True
            if time.monotonic() > until:
                return False
            time.sleep(0.25)

    def done(self, what: str, values: tuple[float, ...]) -> Any:
        """The answer to a request; after a fault the output is off, or the person is told."""
        try:
            answer = getattr(self.supply, what)(*values)
        except HardwareFault as error:
            reached = self.surely_off()
            outcome = "its output is off" if reached else "it may be ON: switch it off by hand, now"
            return _failed(
                HardwareFault(
                    "{reason}; {outcome}", reason=error.message.partition(";")[0], outcome=outcome
                )
            )
        except TanksideError as error:
            return _failed(error)
        self.dismissed = what == "close"
        return answer


def _served(pipe: Connection, guard: _Guard, stopped: Callable[[], bool]) -> None:
    patience = guard.post.patience
    heard, quiet = time.monotonic(), False
    while not stopped():
        if not pipe.poll(min(0.2, patience / 4)):
            if not quiet and time.monotonic() - heard > patience:
                quiet = guard.surely_off()
            continue
        try:
            what, values = pipe.recv()
        except (EOFError, OSError):
            return
        _sent(pipe, guard.done(what, values))
        heard, quiet = time.monotonic(), False
        if what == "close":
            return


def _on_termination() -> Callable[[], bool]:
    """A function that turns true once the process was asked to end."""
    told: list[int] = []
    signal.signal(signal.SIGTERM, lambda number, _: told.append(number))
    return lambda: bool(told)


def _failed(error: TanksideError) -> _Failed:
    kind = type(error) if type(error) in (BadInput, HardwareFault) else HardwareFault
    return _Failed(kind=kind, message=error.message)


def _sent(pipe: Connection, answer: object) -> None:
    try:
        pipe.send(answer)
    except (OSError, ValueError):
        return  # the run is gone; the caller's finally switches off
