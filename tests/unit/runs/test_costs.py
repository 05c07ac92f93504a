"""Costs: amounts times prices, what is not known told, months added up."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside.base.errors import BadInput
from tankside.runs.costs import Prices, RunCost, Spent, cost_of

PRICES = Prices(currency="EUR", copper=12.0, electricity=0.36 / 3.6e6, coat=80.0, work=20 / 3600)
MARCH = 1.7724e9  # 2026-03-01


def cost(at: float = MARCH, **spent: float) -> RunCost:
    return cost_of(Spent(**spent), PRICES, title="finial", at=at)


def test_each_line_is_amount_times_price() -> None:
    one = cost(copper=0.05, plating=3.6e6, heater=1.8e6, coat=0.02, work=1800.0, scrap=2.5)
    assert {line.name: line.cost for line in one.lines} == pytest.approx(
        {
            "copper": 0.6,
            "energy, plating": 0.36,
            "energy, heater": 0.18,
            "seed coat": 1.6,
            "work": 10.0,
            "scrap": 2.5,
        }
    )
    assert one.known == pytest.approx(15.24)
    assert one.missing == ()


def test_what_has_no_price_is_left_out_and_named() -> None:
    one = cost_of(
        Spent(copper=0.1, work=60.0), Prices(currency="EUR", copper=10.0), title="x", at=1
    )
    assert one.missing == ("work",)
    assert one.known == pytest.approx(1.0)


@given(st.floats(0.0, 10.0), st.floats(0.0, 10.0))
def test_costs_are_additive(one: float, other: float) -> None:
    together = cost(copper=one + other).known
    assert cost(copper=one).known + cost(copper=other).known == pytest.approx(together)


@pytest.mark.parametrize("spent", [{"copper": -1.0}, {"work": float("nan")}])
def test_refuses_what_cannot_be_spent(spent: dict[str, float]) -> None:
    with pytest.raises(BadInput, match="spent cannot be"):
        Spent(**spent)


def test_refuses_a_negative_price() -> None:
    with pytest.raises(BadInput, match="price of copper"):
        Prices(currency="EUR", copper=-1.0)
