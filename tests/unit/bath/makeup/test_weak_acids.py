"""Citrate and acetate baths from bottles."""

import pytest

from tankside.bath.makeup import Target, made_up
from tankside.substances.products import Form
from tests.unit.bath.makeup.shelf import (
    SALT,
    WATER,
    exactly,
    product,
    request,
)


def test_a_citrate_bath_is_made_in_terms_of_copper_and_acid() -> None:
    citric = product("citric acid", Form.SOLID, {"citric acid": (0.99, 0.995, 1.0)}, price=6.0)
    target = Target(
        wanted=(exactly("copper sulfate pentahydrate", 30.0), exactly("citric acid", 60.0))
    )
    plan = made_up(request(SALT, citric, WATER, target=target, litres=5.0))
    assert plan.resulting("citric acid").best == pytest.approx(60.0, rel=2e-3)
    assert plan.resulting("copper sulfate pentahydrate").best == pytest.approx(30.0, rel=1e-3)
    assert "sulfuric acid" not in plan.names
    assert plan.solubility == ()
    assert any("weak acid" in text for text in plan.assumptions)


def test_an_acetate_bath_is_made_from_copper_acid_and_peroxide() -> None:
    """50 g of copper is 0.787 mol, and takes as much peroxide: 26.8 g, 225 g of 11.9 %."""
    shelf = (
        product("copper shavings", Form.SOLID, {"copper": (0.99, 0.995, 1.0)}, price=15.0),
        product("vinegar essence", Form.LIQUID, {"acetic acid": (0.24, 0.25, 0.26)},
                density=(1030.0, 1032.6, 1035.0), price=4.0),
        product("peroxide", Form.LIQUID, {"hydrogen peroxide": (0.115, 0.119, 0.12)},
                density=(1040.0, 1042.0, 1045.0), price=2.0),
        WATER,
    )  # fmt: skip
    target = Target(wanted=(exactly("copper", 10.0), exactly("acetic acid", 50.0)))
    plan = made_up(request(*shelf, target=target, litres=5.0))
    peroxide = plan.amount("peroxide")
    assert peroxide is not None
    assert peroxide.mass.best == pytest.approx(0.0268 / 0.119, abs=1e-3)
    order = [step.product for step in plan.steps]
    assert order.index("vinegar essence") < order.index("peroxide")
    assert order.index("peroxide") < order.index("copper shavings")
    assert any("falls apart" in text for text in plan.assumptions)
