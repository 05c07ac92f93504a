"""Uncertainty carried through a law, against sampling and against the textbook rules."""

from math import hypot, inf, sqrt

import numpy as np
import pytest

from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.bath.analysis.finding import COVERAGE, Finding, coverage_factor, finding
from tankside.bath.analysis.propagation import Measured, propagated, within


def test_products_and_sums_follow_the_textbook() -> None:
    a, b = Measured(value=20.0, std=0.3), Measured(value=5.0, std=0.1)
    product = propagated(lambda a, b: a * b, {"a": a, "b": b})
    assert product.std / 100.0 == pytest.approx(hypot(0.3 / 20.0, 0.1 / 5.0), rel=1e-12)
    total = propagated(lambda a, b: a - b, {"a": a, "b": b})
    assert total.std == pytest.approx(hypot(0.3, 0.1), rel=1e-12)
    assert [share.name for share in product.shares] == ["b", "a"]
    assert sum(share.fraction for share in product.shares) == pytest.approx(1.0)


def test_a_crooked_law_against_ten_thousand_draws() -> None:
    draws = np.random.default_rng(5).normal([3.0, 2.0], [0.1, 0.05], size=(200_000, 2))
    found = propagated(
        lambda x, y: x**2 / y,
        {"x": Measured(value=3.0, std=0.1), "y": Measured(value=2.0, std=0.05)},
    )
    assert found.std == pytest.approx(float(np.std(draws[:, 0] ** 2 / draws[:, 1])), rel=0.01)


def test_freedom_is_that_of_the_only_uncertain_input() -> None:
    poor = Measured(value=1.0, std=0.1, freedom=3.0)
    assert propagated(lambda x: 2.0 * x, {"x": poor}).freedom == pytest.approx(3.0)
    sure = Measured(value=1.0, std=10.0)
    assert propagated(lambda x, y: x + y, {"x": poor, "y": sure}).freedom > 1e7
    assert propagated(lambda x: x, {"x": Measured(value=1.0)}).freedom == inf


def test_a_rectangle_has_the_deviation_of_a_rectangle() -> None:
    assert within(5.0, 0.3).std == pytest.approx(0.3 / sqrt(3.0))


def test_the_factor_is_students() -> None:
    assert coverage_factor(inf) == pytest.approx(1.6448536, rel=1e-6)
    assert coverage_factor(2.0) == pytest.approx(2.919986, rel=1e-6)
    assert COVERAGE == 0.90


def test_a_concentration_never_falls_below_zero_but_pH_may() -> None:
    wide = propagated(lambda x: x, {"x": Measured(value=0.01, std=0.02)})
    assert finding("chloride", wide, method="m").value.low == 0.0
    assert finding("pH", wide, method="m").value.low < 0.0


@pytest.mark.parametrize("bad", [{"std": -1.0}, {"std": float("nan")}, {"freedom": 0.0}])
def test_impossible_values_are_refused(bad: dict[str, float]) -> None:
    with pytest.raises(BadInput):
        Measured(**({"value": 1.0} | bad))


def test_an_unknown_quantity_offers_close_ones() -> None:
    with pytest.raises(UnknownName, match="'copper'"):
        Finding(quantity="coper", value=Interval.exact(1.0), std=0.0, method="m")
    with pytest.raises(BadInput, match="not negative"):
        Finding(quantity="copper", value=Interval.exact(1.0), std=-1.0, method="m")
