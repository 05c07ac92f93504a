"""Use cases: what a bath's ledger and a run's folder already know of a trouble."""

from dataclasses import replace
from typing import TYPE_CHECKING

from tankside.app.bath.estimate_form import LedgerAsked, read_ledger
from tankside.app.ledger_port import BathLedger
from tankside.app.run_by_hand import HandRun
from tankside.app.run_ports import RunKeeper
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.diagnosis.known_numbers import BathNumbers, RunNumbers
from tankside.diagnosis.of_ledger import ledger_numbers
from tankside.diagnosis.of_log import Logged, bath_temperature, run_numbers
from tankside.runs import events as e

if TYPE_CHECKING:
    from tankside.app.order_a_run import Order  # wakes numba


def known_of_bath(ledger: BathLedger) -> BathNumbers:
    """What the ledger's estimate says of the bath; BadInput where the ledger is empty."""
    try:
        read = read_ledger(LedgerAsked(ledger=ledger))
    except BadInput as error:
        raise BadInput(error.message, where="--ledger") from error
    return ledger_numbers(read.estimate, read.held)


def known_of_run(order: "Order", keeper: RunKeeper) -> tuple[RunNumbers, Interval | None]:
    """What the log of a run says, and the bath's temperature over it [K]; None where it was not
    recorded. A recipe's last setting is its long build; a ramp before it means a coat without
    copper.
    """
    events = keeper.events()
    by_hand = any(isinstance(event, e.Read) for event in events)
    series = HandRun(order.recipe, order.expected, keeper).series() if by_hand else keeper.series()
    settings, believed = order.recipe.settings, order.believed
    logged = Logged(
        events=events,
        series=series,
        planned_current=settings[-1].current,
        bare_coat=len(settings) > 1,
        area=believed.area.best / believed.share.best,
    )
    return run_numbers(logged), bath_temperature(series)


def warmed(bath: BathNumbers | None, temperature: Interval) -> BathNumbers:
    """The bath's numbers with a temperature [K]."""
    return replace(bath or BathNumbers(), temperature=temperature)
