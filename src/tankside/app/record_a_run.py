"""Use case: the printable record of a run, with its audit and its cost where they are known."""

from dataclasses import dataclass, replace

from tankside.app.order_a_run import Order
from tankside.app.ports import SheetRequest
from tankside.app.run_by_hand import HandRun
from tankside.app.run_ports import RunKeeper, RunRecord, RunSheets
from tankside.app.show_a_run import show_a_run
from tankside.runs.audit import Audit
from tankside.runs.costs import RunCost


@dataclass(frozen=True, kw_only=True)
class RecordRequest:
    """A run's order and place, what was audited and counted, and how it is printed."""

    order: Order
    keeper: RunKeeper
    audit: Audit | None = None
    cost: RunCost | None = None
    how: SheetRequest


def record_a_run(request: RecordRequest, sheets: RunSheets) -> bytes:
    """The record as a PDF."""
    order, keeper = request.order, request.keeper
    reply = show_a_run(order, keeper)
    series = (
        HandRun(order.recipe, order.expected, keeper).series() if reply.by_hand else keeper.series()
    )
    record = RunRecord(
        recipe=order.recipe,
        expected=order.expected,
        events=keeper.events(),
        series=series,
        totals=reply.totals,
        audit=request.audit,
        cost=request.cost,
    )
    return sheets.record(record, replace(request.how, title=order.title))
