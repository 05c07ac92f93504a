"""tankside run: carry out a plan on a supply or by hand, watch it, and audit what came out."""

import argparse
import json
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tankside.base.errors import BadInput, Cancelled
from tankside.cli.progress_line import progress_done, progress_line

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tankside.app.audit_a_run import AuditReply
    from tankside.app.carry_out_a_run import LiveRun, Moment
    from tankside.app.cost_a_run import CostReply
    from tankside.app.order_a_run import Order
    from tankside.app.ports import Tools
    from tankside.app.run_by_hand import HandRun, Told
    from tankside.app.run_ports import RunKeeper

_EVERY_S = 10.0


def run(options: argparse.Namespace, tools: "Tools") -> int:
    """One of: begin, go, hand, show, audit, cost, record, supplies."""
    return {
        "begin": _begin,
        "go": _go,
        "hand": _hand,
        "show": _show,
        "audit": _audit,
        "cost": _cost,
        "record": _record,
        "supplies": _supplies,
    }[options.action](options, tools)


def _begin(options: argparse.Namespace, tools: "Tools") -> int:
    from tankside.app.order_a_run import as_json, order_a_run
    from tankside.app.plan_a_job import PlanRequest

    job: Path = options.job
    files = tools.files(job.parent)
    text = files.read(job.name, where="the job file").decode("utf-8-sig")
    request = PlanRequest(job_text=text, job_name=job.name, files=files)
    order = order_a_run(request, progress_line(quiet=options.quiet))
    progress_done(quiet=options.quiet)
    tools.runs().begun(options.folder, as_json(order)).close()
    _say(f"{order.title}: {_amounts(order)}")
    _say(f"The run is ready in {options.folder}. Go on with one of")
    _say(f"  tankside run go {options.folder} --supply NAME    (names: tankside run supplies)")
    _say(f"  tankside run hand {options.folder}")
    return 0


def _go(options: argparse.Namespace, tools: "Tools") -> int:
    from tankside.app.carry_out_a_run import LiveRun, carried_out
    from tankside.app.run_ports import Trial

    keeper, order = _opened(options, tools)
    fault, _, after = options.fault.partition("@")
    trial = Trial(
        expected=order.expected,
        hurry=options.hurry,
        fault=fault,
        fault_after=_seconds(after) if after else 0.0,
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
        _say(f"Supply: {supply.identity()}")
        _entered(live, order, options)
        screen = _Screen(quiet=options.quiet)
        try:
            state = carried_out(live, screen.told)
        except KeyboardInterrupt:
            live.pause("ctrl-C")
            state = live.state
        finally:
            keeper.close()
    _say(f"The run has {state.stage.value}." if state.over else "Paused; the output is off.")
    if not state.over:
        _say(f"Take the part out, or go on soon: tankside run go {options.folder} ...")
    return 0


def _entered(live: "LiveRun", order: "Order", options: argparse.Namespace) -> None:
    if live.state.over:
        raise BadInput(f"this run has {live.state.stage.value} already", where=str(options.folder))
    if live.state.paused:
        _asked("It was paused. Part in the bath, wires on? Enter to go on", options)
        live.resume()
        return
    for caution in order.cautions:
        _say(f"! {caution}")
    _asked(
        "Hang the part over the tank, wires on, not yet in. Enter switches the output on", options
    )
    live.begin()
    _asked("Output is on. Lower the part into the bath, then Enter", options)
    live.immersed()


class _Screen:
    """One line that is written over on a terminal, else a line now and then."""

    def __init__(self, *, quiet: bool) -> None:
        self._quiet, self._last = quiet, 0.0
        self._live = sys.stdout.isatty()

    def told(self, moment: "Moment") -> bool:
        for alarm in moment.alarms:
            self._clear()
            _say(f"!! {alarm.name.upper()}: {alarm.seen} {alarm.do}")
        if moment.warning:
            self._clear()
            _say(f"! {moment.warning}")
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


def _line(moment: "Moment") -> str:
    reading, progress = moment.reading, moment.progress
    return (
        f"{moment.state.stage.value:8} {reading.voltage:6.2f} V ({moment.expected_voltage:.2f} "
        f"expected) {reading.current:6.3f} A  {moment.amount.charge / 3600:7.3f} Ah  "
        f"{100 * progress.share:5.1f} %  {_hours(progress.to_go)} to go"
    )


def _hand(options: argparse.Namespace, tools: "Tools") -> int:
    from tankside.app.run_by_hand import HandRun

    keeper, order = _opened(options, tools)
    clock = tools.runs().clock(1.0)
    run_ = HandRun(order.recipe, order.expected, keeper, order.temperature)
    if options.volts is not None or options.amps is not None:
        return _one_reading(run_, options, clock.now())
    _dialogue(run_, order, clock.now)
    keeper.close()
    return 0


def _one_reading(run_: "HandRun", options: argparse.Namespace, at: float) -> int:
    from tankside.base.units import Kind, quantity

    if options.volts is None or options.amps is None:
        raise BadInput("give both --volts and --amps")
    voltage = quantity(options.volts, Kind.VOLTAGE, where="--volts")
    current = quantity(options.amps, Kind.CURRENT, where="--amps")
    if run_.state.at == 0.0:
        first = run_.began(at)
        _say(f"Begun at {first.current:.3g} A, ceiling {first.voltage_limit:.3g} V.")
    warm = quantity(options.bath, Kind.TEMPERATURE, where="--bath") if options.bath else None
    drop = quantity(options.level, Kind.LENGTH, where="--level") if options.level else None
    _told(run_.read(at, voltage, current, warm, drop))
    return 0


def _dialogue(run_: "HandRun", order: "Order", now: "object") -> None:
    clock = now if callable(now) else time.time
    if run_.state.at == 0.0:
        for caution in order.cautions:
            _say(f"! {caution}")
        first = order.recipe.settings[0]
        _prompt(
            f"Set {first.current:.3g} A and a ceiling of {first.voltage_limit:.3g} V, switch on, "
            "lower the part in, then Enter: "
        )
        run_.began(clock())
    elif run_.state.paused:
        _prompt("It was paused. Switch on again with the part in the bath, then Enter: ")
        run_.resumed(clock())
    while not run_.state.over:
        text = _prompt("Volts and amps ('1.9 2.0'; p pauses, e ends, q leaves it running): ")
        if text.lower() == "q":
            return
        if text.lower() == "p":
            run_.paused(clock(), "by hand")
            _say("Paused. Take the part out, or go on soon.")
            return
        if text.lower() == "e":
            run_.ended(clock())
            return
        try:
            voltage, current = (float(word.replace(",", ".")) for word in text.split())
            answer = run_.read(clock(), voltage, current)
        except ValueError as error:
            _say(error.message if isinstance(error, BadInput) else "Type two numbers, as 1.9 2.0")
            continue
        _told(answer)
        if answer.over:
            _prompt("Enough copper. Switch off, take the part out and rinse it, then Enter: ")
            run_.ended(clock())


def _told(answer: "Told") -> None:
    for remark in answer.remarks:
        _say(f"! {remark}")
    if answer.set_now is not None:
        _say(
            f"Now set {answer.set_now.current:.3g} A, ceiling {answer.set_now.voltage_limit:.3g} V."
        )
    _say(
        f"{answer.amount.charge / 3600:.3f} Ah so far, {100 * answer.progress.share:.0f} %; "
        f"{_hours(answer.progress.to_go)} to go."
    )


def _show(options: argparse.Namespace, tools: "Tools") -> int:
    from tankside.app.show_a_run import show_a_run

    keeper, order = _opened(options, tools)
    reply = show_a_run(order, keeper)
    _print(reply.as_json() if options.json else reply.text())
    return 0


def _audit(options: argparse.Namespace, tools: "Tools") -> int:
    keeper, order = _opened(options, tools)
    reply = _audited(options, order, keeper)
    _print(reply.as_json() if options.json else reply.text())
    return 0


def _audited(options: argparse.Namespace, order: "Order", keeper: "RunKeeper") -> "AuditReply":
    from tankside.app.audit_a_run import AuditRequest, audit_a_run
    from tankside.app.show_a_run import show_a_run

    return audit_a_run(
        AuditRequest(
            order=order,
            charge=show_a_run(order, keeper).charge,
            before=options.before,
            after=options.after,
            scale=options.scale,
            points=options.point,
            resolution=options.resolution,
        )
    )


def _cost(options: argparse.Namespace, tools: "Tools") -> int:
    keeper, order = _opened(options, tools)
    reply = _costed(options, order, keeper)
    _print(reply.as_json() if options.json else reply.text())
    return 0


def _costed(options: argparse.Namespace, order: "Order", keeper: "RunKeeper") -> "CostReply":
    from tankside.app.cost_a_run import CostRequest, cost_a_run
    from tankside.app.show_a_run import show_a_run

    return cost_a_run(
        CostRequest(
            shown=show_a_run(order, keeper),
            copper=options.copper,
            electricity=options.electricity,
            coat=options.coat,
            work=options.work,
            heater=options.heater,
            pump=options.pump,
            painted=options.painted,
            hands_on=options.hands_on,
            chemicals=options.chemicals,
            scrap=options.scrap,
        )
    )


def _record(options: argparse.Namespace, tools: "Tools") -> int:
    from datetime import date

    from tankside.app.record_a_run import RecordRequest, record_a_run

    keeper, order = _opened(options, tools)
    weighed = options.before or options.after or options.point
    priced = any((options.copper, options.electricity, options.coat, options.work))
    request = RecordRequest(
        order=order,
        keeper=keeper,
        audit=_audited(options, order, keeper).audit if weighed else None,
        cost=_costed(options, order, keeper).cost if priced else None,
        prepared=date.today().isoformat(),
        paper=options.paper,
    )
    file: Path = options.file
    tools.write(file.parent, {file.name: record_a_run(request, tools.run_sheets())})
    _say(f"The record is in {file}")
    return 0


def _supplies(options: argparse.Namespace, tools: "Tools") -> int:
    names = tools.runs().found()
    for name in names:
        _say(name)
    if not names:
        _say("No supply was found on USB or a serial line.")
    _say("On the network write TCPIP::ADDRESS::PORT::SOCKET; to try things out, simulated.")
    return 0


def _opened(options: argparse.Namespace, tools: "Tools") -> "tuple[RunKeeper, Order]":
    from tankside.app.order_a_run import from_json

    keeper = tools.runs().opened(options.folder)
    return keeper, from_json(keeper.order(), where=str(options.folder / "order.json"))


def _amounts(order: "Order") -> str:
    last = order.recipe.settings[-1]
    return (
        f"{last.current:.3g} A under {last.voltage_limit:.3g} V, "
        f"{order.recipe.expected_charge / 3600:.3g} Ah in "
        f"{_hours(order.recipe.expected_duration)}, {1e3 * order.planned_mass:.3g} g of copper."
    )


def _hours(seconds: float) -> str:
    return f"{int(seconds // 3600)} h {int(seconds % 3600 // 60):02d} min"


def _seconds(text: str) -> float:
    from tankside.base.units import Kind, quantity

    return quantity(text, Kind.TIME, where="--fault")


def _asked(question: str, options: argparse.Namespace) -> None:
    if not options.yes:
        _prompt(f"{question}: ")


def _prompt(question: str) -> str:
    sys.stdout.write(question)
    sys.stdout.flush()
    line = sys.stdin.readline()
    if not line:
        raise Cancelled("the input ended; the run stands as it is")
    return line.strip()


def _print(answer: "Mapping[str, Any] | str") -> None:
    """Text as it is, anything else as one JSON object."""
    if isinstance(answer, str):
        sys.stdout.write(answer)
        return
    json.dump(answer, sys.stdout, indent=1, allow_nan=False)
    sys.stdout.write("\n")


def _say(line: str) -> None:
    sys.stdout.write(line + "\n")
