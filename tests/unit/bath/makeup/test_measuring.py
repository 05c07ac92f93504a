"""The person's tools: the handiest that is good enough, rounded; a stock where all are coarse."""

from dataclasses import replace

import pytest

from tankside.base.errors import Impossible
from tankside.base.intervals import Interval
from tankside.bath.makeup import Measures, Tool
from tankside.bath.makeup.measuring import best_measured, measured_amount
from tankside.substances import molar_mass
from tankside.substances.products import Form
from tests.unit.bath.makeup.shelf import (
    BATTERY_ACID,
    FINE_SCALE,
    JUG,
    KITCHEN,
    KITCHEN_SCALE,
    MURIATIC,
    PLAIN_SALT,
    SALT,
    SYRINGE,
    TOOLS,
    product,
)


def test_two_kilograms_go_on_the_kitchen_scale_in_one_fill() -> None:
    """The fine scale is finer, but takes eleven fills; a gram of 2020 is good enough."""
    amount = measured_amount(SALT, 2.0203, TOOLS)
    assert amount.reading is not None
    assert amount.reading.tool == "kitchen scale"
    assert amount.reading.total == pytest.approx(2.020)
    assert amount.reading.fills == 1
    assert amount.mass == Interval.about(2.020, 1.0 / 2020.0)


def test_a_small_dose_goes_on_the_fine_scale() -> None:
    amount = measured_amount(PLAIN_SALT, 0.0009941, TOOLS)
    assert amount.reading is not None
    assert amount.reading.tool == "fine scale"
    assert amount.reading.total == pytest.approx(0.00099)


def test_a_liquid_may_be_measured_by_volume_with_its_density_s_error() -> None:
    amount = measured_amount(BATTERY_ACID, 1.7123, (JUG,))
    assert amount.reading is not None
    assert not amount.reading.by_mass
    assert amount.reading.total == pytest.approx(1.36e-3)  # 1.358 L in steps of 20 mL
    assert amount.reading.fills == 2
    jug, density = 2.0**0.5 * 20.0 / 1360.0, 9.0 / 1260.9
    assert amount.relative_error == pytest.approx((jug**2 + density**2) ** 0.5, rel=0.01)


def test_solids_are_never_measured_by_volume() -> None:
    assert best_measured(SALT, 0.5, (SYRINGE, JUG)) is None


def test_fills_err_independently() -> None:
    small = Tool(name="small scale", measures=Measures.MASS, resolution=1e-3, capacity=0.5)
    one = best_measured(SALT, 0.5, (small,))
    nine = best_measured(SALT, 4.5, (small,))
    assert one is not None
    assert nine is not None
    assert nine.reading.fills == 9
    assert nine.relative_error == pytest.approx(one.relative_error / 3.0)


def test_twenty_divisions_are_the_least() -> None:
    assert best_measured(SALT, 0.0199, (KITCHEN_SCALE,)) is None
    assert best_measured(SALT, 0.0201, (KITCHEN_SCALE,)) is not None


def test_rounding_takes_no_more_than_there_is() -> None:
    amount = measured_amount(SALT, 0.5008, (KITCHEN_SCALE,), most=0.5008)
    assert amount.mass.best == pytest.approx(0.500)


def test_a_stock_of_salt_brings_the_dose_within_reach() -> None:
    """1 g of salt on a scale of 1 g: 58 g in a litre or 29 g in half, and 17 mL of that."""
    amount = measured_amount(PLAIN_SALT, 0.00099, KITCHEN)
    stock = amount.stock
    assert stock is not None
    assert stock.substance == "sodium chloride"
    assert stock.taken.best >= 20e-3
    assert stock.strength * stock.dose.best == pytest.approx(amount.mass.best, rel=1e-12)
    assert amount.mass.best == pytest.approx(0.00099, rel=0.02)
    exact = stock.taken.best * 0.995 / molar_mass("NaCl") / stock.volume
    assert stock.molarity == pytest.approx(exact, rel=1e-9)
    assert not stock.acid_first


def test_a_stock_of_acid_is_made_by_pouring_it_into_water_and_says_how_warm() -> None:
    amount = measured_amount(MURIATIC, 0.0004, KITCHEN)
    stock = amount.stock
    assert stock is not None
    assert stock.acid_first
    assert 0.1 < stock.rise < 5.0


def test_a_polymer_s_stock_is_told_in_grams() -> None:
    peg = product("PEG 4000 powder", Form.SOLID, {"polyethylene glycol 4000": (0.98, 0.99, 1.0)})
    stock = measured_amount(peg, 0.0005, KITCHEN).stock
    assert stock is not None
    assert stock.molarity == 0.0
    assert 1.0 <= stock.strength <= 51.0


def test_a_stock_s_errors_are_those_of_its_three_readings() -> None:
    """Weighing, filling and dosing, in quadrature."""
    amount = measured_amount(PLAIN_SALT, 0.00099, KITCHEN)
    assert amount.stock is not None
    take = KITCHEN_SCALE.error / amount.stock.taken.best
    dose = 2.0**0.5 * SYRINGE.error / amount.stock.dose.best
    fill = JUG.error / amount.stock.volume
    assert amount.relative_error == pytest.approx((take**2 + dose**2 + fill**2) ** 0.5, rel=1e-9)


@pytest.mark.parametrize("tools", [KITCHEN, (KITCHEN_SCALE,), ()], ids=["kitchen", "scale", "none"])
def test_what_no_stock_can_reach_is_refused_with_the_finest_tool(tools: tuple[Tool, ...]) -> None:
    named = "there is no tool" if not tools else "the finest tool"
    with pytest.raises(Impossible, match=named):
        measured_amount(PLAIN_SALT, 1e-8, tools)


def test_a_better_scale_never_makes_the_dose_worse() -> None:
    worse = measured_amount(PLAIN_SALT, 0.003, (*KITCHEN, replace(FINE_SCALE, resolution=1e-4)))
    better = measured_amount(PLAIN_SALT, 0.003, (*KITCHEN, FINE_SCALE))
    assert better.relative_error <= worse.relative_error
