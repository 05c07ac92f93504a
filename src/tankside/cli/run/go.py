"""tankside run go: carry a run out on a supply, or go on with it."""

import argparse
import signal
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from tankside.app.carry_out_a_run import LiveRun, Moment, carried_out
from tankside.app.order_a_run import Order
from tankside.app.run_ports import Trial
from tankside.base.errors import BadInput
from tankside.cli.run.place import Place, opened
from tankside.cli.run.talk import asked, hours, say

if TYPE_CHECKING:
    from tankside.app.ports import Tools

_EVERY_S = 10.0


def run(options: argparse.Namespace, tools: "Tools") -> int:
    """Carries it out until it ends, or until ctrl-C pauses it."""
    with opened(options, tools) as place:
        return _gone(place, options, tools)


def _gone(place: Place, options: argparse.Namespace, tools: "Tools") -> int:
    keeper, order = place.keeper, place.order
    fault, _, after = options.fault.partition("@")
    trial = Trial(
        expected=order.expected,
        hurry=options.hurry,
        fault=fault,
        fault_after=seconds(after) if after else 0.0,
    )
    clock = tools.runs().clock(options.hurry)
    with tools.runs().supply(options.supply, order.limits, trial) as supply:
        bath = {}
        if options.thermometer is not None:
            bath["thermometer"] = tools.runs().thermometer(options.thermometer)
        live = LiveRun(
            order.recipe,
            order.expected,
            supply,
            clock,
            keeper,
            planned_temperature=order.temperature,
            **bath,
        )
        say(f"Supply: {supply.identity()}")
        _entered(live, order, options)
        screen = _Screen(quiet=options.quiet)
        with _stopped_by_person() as stopped:
            state = carried_out(live, lambda moment: screen.told(moment) and not stopped())
    say(f"The run has {state.stage.value}." if state.over else "Paused; the output is off.")
    if not state.over:
        say(f"Take the part out, or go on soon: tankside run go {place.words} ...")
    return 0


def _entered(live: LiveRun, order: Order, options: argparse.Namespace) -> None:
    if live.state.over:
        raise BadInput(
            "this run has {stage} already",
            stage=live.state.stage.value,
            where=str(options.run_name),
        )
    if live.state.paused:
        asked("It was paused. Part in the bath, wires on? Enter to go on", options)
        live.resume()
        return
    for caution in order.cautions:
        say(f"! {caution}")
    asked(
        "Hang the part over the tank, wires on, not yet in. Enter switches the output on", options
    )
    live.begin()
    asked("Output is on. Lower the part into the bath, then Enter", options)
    live.immersed()


@contextmanager
def _stopped_by_person() -> Iterator[Callable[[], bool]]:
    """Tells whether ctrl-C was pressed, so that the second it falls into is finished and the run is
    paused while the supply still listens; pressed again, it interrupts as ever."""
    told: list[int] = []

    def hears(number: int, _: object) -> None:
        told.append(number)
        signal.signal(signal.SIGINT, before)

    before = signal.signal(signal.SIGINT, hears)
    try:
        yield lambda: bool(told)
    finally:
        signal.signal(signal.SIGINT, before)


class _Screen:
    """One line that is written over on a terminal, else a line now and then."""

    def __init__(self, *, quiet: bool) -> None:
        self._quiet, self._last = quiet, 0.0
        self._live = sys.stdout.isatty()

    def told(self, moment: Moment) -> bool:
        for alarm in moment.alarms:
            self._clear()
            say(f"!! {alarm.name.upper()}: {alarm.seen} {alarm.do}")
        if moment.warning:
            self._clear()
            say(f"! {moment.warning}")
        now = time.monotonic()
        if not self._quiet and (self._live or now - self._last >= _EVERY_S):
            self._last = now
            line = _line(moment)
            sys.stdout.write(f"\r{line:<100}" if self._live else f"{line}\n")
            sys.stdout.flush()
        return True

    def _clear(self) -> None:
        if self._live:
            sys.stdout.write("\r" + " " * 100 + "\r")


def _line(moment: Moment) -> str:
    reading, progress = moment.reading, moment.progress
    return (
        f"{moment.state.stage.value:8} {reading.voltage:6.2f} V ({moment.expected_voltage:.2f} "
        f"expected) {reading.current:6.3f} A  {moment.amount.charge / 3600:7.3f} Ah  "
        f"{100 * progress.share:5.1f} %  {hours(progress.to_go)} to go"
    )


def seconds(text: str) -> float:
    from tankside.base.units import Kind, quantity

    return quantity(text, Kind.TIME, where="--fault")
