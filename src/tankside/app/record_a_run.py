"""Use case: the printable record of a run, with its audit and its cost where they are known."""

from dataclasses import dataclass
from typing import Literal

from tankside.app.order_a_run import Order
from tankside.app.run_by_hand import HandRun
from tankside.app.run_ports import RunKeeper, RunSheets
from tankside.app.show_a_run import show_a_run
from tankside.runs.audit import Audit
from tankside.runs.costs import RunCost


@dataclass(frozen=True, kw_only=True)
class RecordRequest:
    """A run's order and place, what was audited and counted, the date as text, and the paper."""

    order: Order
    keeper: RunKeeper
    audit: Audit | None = None
    cost: RunCost | None = None
    prepared: str
    paper: Literal["a4", "us-letter"] = "a4"


def record_a_run(request: RecordRequest, sheets: RunSheets) -> bytes:
    """The record as a PDF."""
    order, keeper = request.order, request.keeper
    reply = show_a_run(order, keeper)
    series = (
        HandRun(order.recipe, order.expected, keeper).series() if reply.by_hand else keeper.series()
    )
    return sheets.record(
        title=order.title,
        recipe=order.recipe,
        expected=order.expected,
        events=keeper.events(),
        series=series,
        totals=reply.totals,
        audit=request.audit,
        cost=request.cost,
        prepared=request.prepared,
        paper=request.paper,
    )
