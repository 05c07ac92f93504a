"""Several programs keep things in one store at once; and prices that need not be typed again."""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import Any

import numpy as np
import pytest

from tankside.app.cost_a_run import CostRequest, cost_a_run
from tankside.app.keep import naming
from tankside.app.keep.keep_costs import keep_costs, spent_of, sum_costs
from tankside.app.keep.keep_prices import completed, keep_prices, remembered_prices
from tankside.app.keep.stored_run import begun
from tankside.app.show_a_run import ShowReply
from tankside.app.store_ports import StaleWrite
from tankside.base.errors import BadInput
from tankside.runs.series import Series, totals
from tankside.runs.states import replayed
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


def test_a_price_is_remembered_until_another_is_said(store: KeptStore) -> None:
    run = begun(store, "finial", {}).run
    empty = CostRequest(shown=SHOWN)
    nothing = replace(empty, chemicals=0.0, scrap=0.0)
    assert completed(store, run, empty) == nothing
    keep_prices(store, {"copper": "12 EUR/kg", "work": " 25  EUR/h"}, APRIL)
    keep_prices(store, {"copper": "14 EUR/kg"}, APRIL + 60.0)
    known = replace(nothing, copper="14 EUR/kg", work="25 EUR/h")
    assert completed(store, run, empty) == known
    given = replace(empty, copper="15 EUR/kg")
    assert completed(store, run, given) == replace(known, copper="15 EUR/kg")
    abroad = replace(empty, copper="15 USD/kg")
    assert completed(store, run, abroad) == replace(nothing, copper="15 USD/kg")


def test_the_same_prices_add_nothing_and_empty_ones_forget(store: KeptStore) -> None:
    keep_prices(store, {"copper": "12 EUR/kg", "work": "25 EUR/h"}, APRIL)
    keep_prices(store, {"copper": "12 EUR/kg", "work": "25 EUR/h"}, APRIL + 60.0)
    assert len(store.costs()) == 2
    keep_prices(store, {"work": ""}, APRIL + 120.0)
    assert remembered_prices(store) | {"copper": ""} == dict.fromkeys(remembered_prices(store), "")
    assert remembered_prices(store)["copper"] == "12 EUR/kg"


def test_a_price_in_another_currency_leaves_the_others_behind(store: KeptStore) -> None:
    keep_prices(store, {"copper": "12 EUR/kg", "work": "25 EUR/h"}, APRIL)
    keep_prices(store, {"copper": "13 CHF/kg"}, APRIL + 60.0)
    assert remembered_prices(store)["copper"] == "13 CHF/kg"
    assert remembered_prices(store)["work"] == ""
    assert remembered_prices(store, "EUR")["work"] == "25 EUR/h"


@pytest.mark.parametrize("price", ["12", "12 EUR/mile", "12 €/kg"])
def test_a_price_that_cannot_be_kept_is_refused_whole(store: KeptStore, price: str) -> None:
    with pytest.raises(BadInput):
        keep_prices(store, {"work": "25 EUR/h", "copper": price}, APRIL)
    assert store.costs() == ()


def test_prices_spend_nothing(store: KeptStore) -> None:
    keep_prices(store, {"copper": "12 EUR/kg"}, APRIL)
    assert sum_costs(store).by_month == {}


def test_amounts_stay_until_they_are_taken_back(store: KeptStore) -> None:
    run = begun(store, "finial", {}).run
    keep_prices(store, {"copper": "12 EUR/kg", "work": "20 EUR/h"}, APRIL)
    first = CostRequest(shown=SHOWN, hands_on="6 min", painted="2 dm2", scrap=1.5)
    keep_costs(store, run, cost_a_run(completed(store, run, first)))
    assert sum(one.amount for one in store.costs(run.id)) == Decimal("3.50")
    again = completed(store, run, CostRequest(shown=SHOWN))
    assert (again.hands_on, again.painted, again.scrap) == ("6 min", "2 dm2", 1.5)
    assert keep_costs(store, run, cost_a_run(again)) == ()
    none = CostRequest(shown=SHOWN, hands_on="0 min", scrap=0.0)
    added = keep_costs(store, run, cost_a_run(completed(store, run, none)))
    assert {(one.what, one.amount) for one in added} == {
        ("work", Decimal("-2.00")),
        ("scrap", Decimal("-1.50")),
    }
    assert spent_of(store, run.id)["hands_on"] == ""


def test_a_price_that_comes_later_finds_the_amount_that_was_typed(store: KeptStore) -> None:
    run = begun(store, "finial", {}).run
    keep_prices(store, {"copper": "12 EUR/kg"}, APRIL)
    typed = CostRequest(shown=SHOWN, hands_on="90 min")
    keep_costs(store, run, cost_a_run(completed(store, run, typed)))
    assert sum_costs(store).by_month == {}
    keep_prices(store, {"work": "20 EUR/h"}, APRIL + 60.0)
    reply = cost_a_run(completed(store, run, CostRequest(shown=SHOWN)))
    (added,) = keep_costs(store, run, reply)
    assert (added.what, added.amount, added.words) == ("work", 30, "90 min at 20 EUR/h")


SHOWN = ShowReply(order=ORDER, state=replayed(()), totals=totals(NOTHING), by_hand=False, alarms=())
