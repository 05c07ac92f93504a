"""Several programs keep things in one store at once; and prices that need not be typed again."""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import Any

import numpy as np
import pytest

from tankside.app.cost_a_run import CostRequest
from tankside.app.keep import naming
from tankside.app.keep.keep_costs import keep_costs, remembered
from tankside.app.keep.stored_run import begun
from tankside.app.show_a_run import ShowReply
from tankside.app.store_ports import StaleWrite
from tankside.base.errors import BadInput
from tankside.runs.costs import Prices
from tankside.runs.series import Series, totals
from tankside.runs.states import replayed
from tankside.storage.store.memory import MemoryRows
from tankside.storage.store.store import KeptStore
from tests.unit.app.keep.test_keeping import APRIL, costs
from tests.unit.app.test_order_a_run import ORDER

NOTHING = Series.of(np.empty(0), np.empty(0), np.empty(0))


def test_two_who_keep_the_same_costs_at_once_keep_them_once(store: KeptStore) -> None:
    run = begun(store, "finial", {}).run
    slower = Meanwhile(store, lambda: keep_costs(store, run, costs(copper=0.05)))
    keep_costs(slower, run, costs(copper=0.05))
    assert [str(one.amount) for one in store.costs(run.id)] == ["0.60"]
    other = Meanwhile(store, lambda: keep_costs(store, run, costs(copper=0.06)))
    with pytest.raises(StaleWrite, match="meanwhile"):
        keep_costs(other, run, costs(copper=0.07))
    assert sum(one.amount for one in store.costs(run.id)) == Decimal("0.72")


class Meanwhile:
    """A store in which somebody else does something between the first look and what follows."""

    def __init__(self, store: KeptStore, does: Callable[[], object]) -> None:
        self._store, self._does = store, does

    def costs(self, of: str | None = None) -> Any:
        seen = self._store.costs(of)
        does, self._does = self._does, lambda: None
        does()
        return seen

    def __getattr__(self, name: str) -> Any:
        return getattr(self._store, name)


def test_a_name_that_somebody_takes_meanwhile_gets_a_number(store: KeptStore) -> None:
    free = naming.free_name
    with pytest.MonkeyPatch.context() as patch:

        def slow(things: Any, wish: str) -> str:
            name = free(things, wish)
            patch.setattr(naming, "free_name", free)
            begun(store, "finial", {})
            return name

        patch.setattr(naming, "free_name", slow)
        assert begun(store, "finial", {}).run.name == "finial 2"
    with pytest.raises(BadInput, match="at least one letter"):
        begun(store, " ", {})


def test_prices_are_remembered_with_the_last_run_that_they_were_given_for(
    store: KeptStore,
) -> None:
    run, later = (begun(store, name, {}).run for name in ("finial", "rosette"))
    typed = {"copper": "12 EUR/kg", "work": "25 EUR/h"}
    keep_costs(store, run, replace(costs(copper=0.05, work=600.0), prices=typed))
    dearer = Prices(currency="EUR", copper=14.0, work=25 / 3600)
    reply = costs(at=APRIL, prices=dearer, copper=0.05, work=600.0)
    keep_costs(store, later, replace(reply, prices=typed | {"copper": "14 EUR/kg"}))
    empty = CostRequest(shown=SHOWN)
    assert remembered(store, empty) == replace(empty, copper="14 EUR/kg", work="25 EUR/h")
    given = replace(empty, copper="15 EUR/kg")
    assert remembered(store, given) == replace(given, work="25 EUR/h")
    abroad = replace(empty, copper="15 USD/kg")
    assert remembered(store, abroad) == abroad
    assert remembered(KeptStore(MemoryRows()), empty) == empty


SHOWN = ShowReply(order=ORDER, state=replayed(()), totals=totals(NOTHING), by_hand=False, alarms=())
