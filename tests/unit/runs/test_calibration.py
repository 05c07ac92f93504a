"""Calibration: exact on linear models, against a general solver on curved ones."""

import numpy as np
import pytest
from scipy.optimize import least_squares

from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.runs.calibration import Observation, Shop, learned

SHOP = Shop.believed(
    {"conductivity": Interval(0.8, 1.0, 1.25), "sheet_resistance": Interval(0.2, 1.0, 5.0)}
)


def direct(place: int, value: float, error: float, name: str = "test") -> Observation:
    return Observation(
        name=name,
        predicted=lambda x: x[place : place + 1],
        measured=np.array([value]),
        error=np.array([error]),
    )


def test_what_is_believed_before_is_given_back() -> None:
    for name, one in (("conductivity", (0.8, 1.25)), ("sheet_resistance", (0.2, 5.0))):
        factor = SHOP.factor(name)
        assert (factor.low, factor.high) == pytest.approx(one)
    assert learned(SHOP, ()).shop == SHOP
    with pytest.raises(UnknownName, match="conductivity"):
        SHOP.factor("conductivty")


def test_one_direct_reading_is_the_weighted_mean() -> None:
    before = float(SHOP.covariance[0, 0])
    after = learned(SHOP, [direct(0, 0.1, 0.05)]).shop
    weight = before / (before + 0.05**2)
    assert after.mean[0] == pytest.approx(0.1 * weight)
    assert after.covariance[0, 0] == pytest.approx(before * 0.05**2 / (before + 0.05**2))
    assert after.covariance[1, 1] == pytest.approx(SHOP.covariance[1, 1])


def test_two_at_once_are_one_after_the_other_in_any_order() -> None:
    first, second = direct(0, 0.1, 0.05, "a"), direct(1, -0.5, 0.2, "b")
    both = learned(SHOP, [first, second]).shop
    one_by_one = learned(learned(SHOP, [second]).shop, [first]).shop
    np.testing.assert_allclose(both.mean, one_by_one.mean, rtol=1e-9)
    np.testing.assert_allclose(both.covariance, one_by_one.covariance, rtol=1e-9)


def test_a_curved_model_finds_scipys_minimum() -> None:
    curved = Observation(
        name="curved",
        predicted=lambda x: np.array([np.exp(x[0]) + np.exp(2 * x[1]), np.exp(x[0] - x[1])]),
        measured=np.array([2.6, 0.7]),
        error=np.array([0.05, 0.05]),
    )
    deviation = np.sqrt(np.diag(SHOP.covariance))

    def residuals(x: np.ndarray) -> np.ndarray:
        missed = (curved.predicted(x) - curved.measured) / curved.error
        return np.concatenate([(x - SHOP.mean) / deviation, missed])

    found = least_squares(residuals, SHOP.mean, xtol=1e-14, ftol=1e-14, gtol=1e-14)
    after = learned(SHOP, [curved]).shop
    np.testing.assert_allclose(after.mean, found.x, atol=1e-6)
    np.testing.assert_allclose(after.covariance, np.linalg.inv(found.jac.T @ found.jac), rtol=1e-3)


def test_a_contradiction_is_named() -> None:
    told = learned(SHOP, [direct(0, 0.05, 0.05, "sweep"), direct(0, 1.5, 0.05, "typed wrong")])
    assert told.surprising == ("typed wrong",)


def test_refuses_what_has_no_logarithm() -> None:
    with pytest.raises(BadInput, match="efficiency must be above zero"):
        Shop.believed({"efficiency": Interval(0.0, 0.5, 1.0)})
