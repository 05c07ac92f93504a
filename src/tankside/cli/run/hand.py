"""tankside run hand: carry a run out by hand, typing what the meters show."""

import argparse
import time
from typing import TYPE_CHECKING

from tankside.app.order_a_run import Order
from tankside.app.run_by_hand import HandRun, Told
from tankside.base.errors import BadInput
from tankside.base.units import Kind, quantity
from tankside.cli.run.place import opened
from tankside.cli.run.talk import hours, prompt, say

if TYPE_CHECKING:
    from tankside.app.ports import Tools


def run(options: argparse.Namespace, tools: "Tools") -> int:
    """Asks for volts and amps until the run ends or the person leaves."""
    with opened(options, tools) as place:
        order = place.order
        clock = tools.runs().clock(1.0)
        run_ = HandRun(order.recipe, order.expected, place.keeper, order.temperature)
        if options.volts is not None or options.amps is not None:
            return _one_reading(run_, options, clock.now())
        _dialogue(run_, order, clock.now)
    return 0


def _one_reading(run_: HandRun, options: argparse.Namespace, at: float) -> int:
    if options.volts is None or options.amps is None:
        raise BadInput("give both --volts and --amps")
    voltage = quantity(options.volts, Kind.VOLTAGE, where="--volts")
    current = quantity(options.amps, Kind.CURRENT, where="--amps")
    if run_.state.at == 0.0:
        first = run_.began(at)
        say(f"Begun at {first.current:.3g} A, ceiling {first.voltage_limit:.3g} V.")
    warm = quantity(options.bath, Kind.TEMPERATURE, where="--bath") if options.bath else None
    drop = quantity(options.level, Kind.LENGTH, where="--level") if options.level else None
    _told(run_.read(at, voltage, current, warm, drop))
    return 0


def _dialogue(run_: HandRun, order: Order, now: "object") -> None:
    clock = now if callable(now) else time.time
    if run_.state.at == 0.0:
        for caution in order.cautions:
            say(f"! {caution}")
        first = order.recipe.settings[0]
        prompt(
            f"Set {first.current:.3g} A and a ceiling of {first.voltage_limit:.3g} V, switch on, "
            "lower the part in, then Enter: "
        )
        run_.began(clock())
    elif run_.state.paused:
        prompt("It was paused. Switch on again with the part in the bath, then Enter: ")
        run_.resumed(clock())
    while not run_.state.over:
        text = prompt("Volts and amps ('1.9 2.0'; p pauses, e ends, q leaves it running): ")
        if text.lower() == "q":
            return
        if text.lower() == "p":
            run_.paused(clock(), "by hand")
            say("Paused. Take the part out, or go on soon.")
            return
        if text.lower() == "e":
            run_.ended(clock())
            return
        try:
            voltage, current = (float(word.replace(",", ".")) for word in text.split())
            answer = run_.read(clock(), voltage, current)
        except ValueError as error:
            say(error.message if isinstance(error, BadInput) else "Type two numbers, as 1.9 2.0")
            continue
        _told(answer)
        if answer.over:
            prompt("Enough copper. Switch off, take the part out and rinse it, then Enter: ")
            run_.ended(clock())


def _told(answer: Told) -> None:
    for remark in answer.remarks:
        say(f"! {remark}")
    if answer.set_now is not None:
        say(
            f"Now set {answer.set_now.current:.3g} A, ceiling {answer.set_now.voltage_limit:.3g} V."
        )
    say(
        f"{answer.amount.charge / 3600:.3f} Ah so far, {100 * answer.progress.share:.0f} %; "
        f"{hours(answer.progress.to_go)} to go."
    )
