"""A plan written into the ledger is the same bath there, as sure as the plan says; and back."""

from dataclasses import replace

import numpy as np
import pytest

from tankside.bath.inventory import Bottle, MakeUp, Withdrawal, estimated
from tankside.bath.makeup import MakeUpPlan, MakeUpRequest, Stocked, acid_sulfate_target, adjusted
from tankside.bath.makeup import made_up as _made_up
from tankside.bath.makeup.ledger import events_of, old_bath_of
from tests.unit.bath.makeup.shelf import BUCKET, CONVENTIONAL, SHELF, TOOLS, old_bath, request

NAMES = {
    "copper": "copper sulfate pentahydrate",
    "sulfuric_acid": "sulfuric acid",
    "chloride": "chloride",
}
SALT_PER_COPPER = 249.681 / 63.546


def bottles(asked: MakeUpRequest) -> tuple[Bottle, ...]:
    return tuple(
        Bottle(at=0.0, id=f"bottle {one.product.name}", product=one.product) for one in asked.shelf
    )


def told(plan: MakeUpPlan, name: str) -> float:
    value = plan.resulting(NAMES[name]).best
    return value / SALT_PER_COPPER if name == "copper" else value


def test_the_ledger_s_bath_is_the_plan_s() -> None:
    """Two rooms that share the mixture's masses and nothing of the errors' arithmetic."""
    asked = request()
    plan = _made_up(asked)
    event = events_of(plan, at=1.0, id_of=str)[0]
    assert isinstance(event, MakeUp)
    found = estimated((*bottles(asked), event))
    for place, name in enumerate(NAMES):
        assert found.best(name) == pytest.approx(told(plan, name), rel=0.01)
        factor = SALT_PER_COPPER if name == "copper" else 1.0
        std = plan.covariance[place][place] ** 0.5 / factor
        if name == "chloride":
            assert 0.9 * std < found.std(name) < 3.0 * std  # the ledger adds unseen traces
        else:
            assert found.std(name) == pytest.approx(std, rel=0.15)


def test_additions_and_a_withdrawal_follow_an_adjustment() -> None:
    plan = adjusted(
        old_bath(200.0, 75.0, 0.05),
        acid_sulfate_target(CONVENTIONAL),
        shelf=tuple(Stocked(product=one) for one in SHELF),
        tools=TOOLS,
        vessel=BUCKET,
        most=0.008,
    )
    events = events_of(plan, at=5.0, id_of=lambda what: f"today: {what}")
    assert isinstance(events[0], Withdrawal)
    assert events[0].volume == plan.withdrawn
    assert [event.id for event in events[1:]] == [f"today: {one.product}" for one in plan.amounts]


def test_the_ledger_s_estimate_comes_back_as_an_old_bath() -> None:
    asked = request()
    found = estimated((*bottles(asked), *events_of(_made_up(asked), at=1.0, id_of=str)))
    old = old_bath_of(found)
    assert old.volume.best == pytest.approx(0.010, rel=0.02)
    copper = next(one for one in old.holds if one.quantity == "copper")
    assert copper.value.best == pytest.approx(found.best("copper"))
    assert np.array(old.covariance) == pytest.approx(found.covariance[:3, :3])
    again = _made_up(replace(request(old=old), volume=0.0105))
    assert again.resulting("copper sulfate pentahydrate").best == pytest.approx(200.0, rel=2e-3)
