"""What is asked of a run: where it stands, its audit, its cost, its record. A stored run's audit
and cost are kept in the store with it."""

import argparse
import time
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from tankside.app.audit_a_run import AuditReply, AuditRequest, audit_a_run
from tankside.app.cost_a_run import PRICES, CostRequest, cost_a_run
from tankside.app.ports import SheetRequest
from tankside.app.record_a_run import RecordRequest, record_a_run
from tankside.app.show_a_run import show_a_run
from tankside.cli.run.place import Place, opened
from tankside.cli.run.talk import printed, say

if TYPE_CHECKING:
    from tankside.app.ports import Tools


def show(options: argparse.Namespace, tools: "Tools") -> int:
    """Where it stands."""
    with opened(options, tools) as place:
        reply = show_a_run(place.order, place.keeper)
    printed(reply.as_json() if options.json else reply.text())
    return 0


def audit(options: argparse.Namespace, tools: "Tools") -> int:
    """What came out against what went in."""
    with opened(options, tools) as place:
        request = _audit_request(options, place)
        reply = audit_a_run(request)
        if place.store is not None and place.stored is not None:
            from tankside.app.keep.keep_an_audit import keep_an_audit

            keep_an_audit(place.store, place.stored.run, request, reply)
    printed(reply.as_json() if options.json else reply.text())
    return 0


def cost(options: argparse.Namespace, tools: "Tools") -> int:
    """What it cost; prices that are not given are those last kept in the store, and amounts those
    kept of this run before."""
    with opened(options, tools) as place:
        request = _cost_request(options, place)
        if place.store is not None and place.stored is not None:
            from tankside.app.keep.keep_costs import keep_costs
            from tankside.app.keep.keep_prices import completed, keep_prices

            reply = cost_a_run(completed(place.store, place.stored.run, request))
            keep_costs(place.store, place.stored.run, reply)
            given = {name: text for name in PRICES if (text := getattr(request, name))}
            keep_prices(place.store, given, time.time())
        else:
            reply = cost_a_run(request)
    printed(reply.as_json() if options.json else reply.text())
    return 0


def record(options: argparse.Namespace, tools: "Tools") -> int:
    """The printable record."""
    with opened(options, tools) as place:
        request = RecordRequest(
            order=place.order,
            keeper=place.keeper,
            audit=_audited(options, place).audit if _is_weighed(options) else None,
            cost=cost_a_run(_cost_request(options, place)).cost if _is_priced(options) else None,
            how=SheetRequest(prepared=date.today().isoformat(), paper=options.paper),
        )
        content = record_a_run(request, tools.run_sheets())
    file: Path = options.file
    tools.write(file.parent, {file.name: content})
    say(f"The record is in {file}")
    return 0


def supplies(options: argparse.Namespace, tools: "Tools") -> int:
    """The supplies of this machine."""
    names = tools.runs().found()
    for name in names:
        say(name)
    if not names:
        say("No supply was found on USB or a serial line.")
    say("On the network write TCPIP::ADDRESS::PORT::SOCKET; to try things out, simulated.")
    return 0


def _is_weighed(options: argparse.Namespace) -> bool:
    return bool(options.before or options.after or options.point)


def _is_priced(options: argparse.Namespace) -> bool:
    return any((options.copper, options.electricity, options.coat, options.work))


def _audited(options: argparse.Namespace, place: Place) -> AuditReply:
    return audit_a_run(_audit_request(options, place))


def _audit_request(options: argparse.Namespace, place: Place) -> AuditRequest:
    return AuditRequest(
        order=place.order,
        charge=show_a_run(place.order, place.keeper).charge,
        before=options.before,
        after=options.after,
        scale=options.scale,
        points=options.point,
        resolution=options.resolution,
        wires=options.wires,
        seen=options.seen,
    )


def _cost_request(options: argparse.Namespace, place: Place) -> CostRequest:
    return CostRequest(
        shown=show_a_run(place.order, place.keeper),
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
