"""The order of addition: ours is safe, and a person's own is followed only where it is."""

import pytest

from tankside.base.errors import Impossible, SafetyRefusal
from tankside.bath.makeup import Action, made_up
from tankside.bath.makeup.roles import Role, addition, ordered, refuse_dangerous_order, role_of
from tankside.substances.products import Form, Product
from tests.unit.bath.makeup.shelf import (
    BATTERY_ACID,
    BUCKET,
    CARBONATE,
    MURIATIC,
    OXIDE,
    PLAIN_SALT,
    SALT,
    STRONG_ACID,
    TAP,
    WATER,
    product,
    request,
)

COLD = 293.15
PEROXIDE = product("peroxide", Form.LIQUID, {"hydrogen peroxide": (0.11, 0.12, 0.13)})
COPPER = product("shavings", Form.SOLID, {"copper": (0.98, 0.99, 1.0)})


@pytest.mark.parametrize(
    ("one", "role"),
    [
        (WATER, Role.WATER),
        (TAP, Role.WATER),
        (BATTERY_ACID, Role.ACID),
        (PEROXIDE, Role.OXIDANT),
        (OXIDE, Role.NEEDS_ACID),
        (CARBONATE, Role.NEEDS_ACID),
        (COPPER, Role.NEEDS_ACID),
        (SALT, Role.COPPER),
        (PLAIN_SALT, Role.CHLORIDE),
        (MURIATIC, Role.CHLORIDE),
    ],
    ids=lambda value: getattr(value, "name", str(value)),
)
def test_each_product_has_its_place(one: Product, role: Role) -> None:
    assert role_of(one) is role


def test_ours_is_the_order_of_the_roles() -> None:
    mixed_up = tuple(addition(one, 1.0) for one in (MURIATIC, SALT, STRONG_ACID, WATER))
    names = [one.name for one in ordered(mixed_up, None)]
    assert names == ["distilled water", "acid 96 %", "blue crystals", "muriatic acid"]


def refused(*parts: tuple[Product, float], start: float = COLD) -> None:
    refuse_dangerous_order(tuple(addition(one, mass) for one, mass in parts), BUCKET, start)


def test_acid_into_plenty_of_water_is_allowed() -> None:
    refused((WATER, 7.0), (STRONG_ACID, 1.0), (SALT, 2.0), (MURIATIC, 0.002), (WATER, 0.5))


@pytest.mark.parametrize(
    ("parts", "match"),
    [
        (((STRONG_ACID, 1.0), (WATER, 7.0)), "before any water"),
        (((BATTERY_ACID, 1.0), (WATER, 7.0)), "before any water"),
        (((WATER, 0.5), (STRONG_ACID, 1.0), (WATER, 6.5)), "more of the water in first"),
        (((WATER, 1.0), (CARBONATE, 0.5), (STRONG_ACID, 1.0)), "foams over"),
    ],
)
def test_dangerous_orders_are_refused(parts: tuple[tuple[Product, float], ...], match: str) -> None:
    with pytest.raises(SafetyRefusal, match=match):
        refused(*parts)


def test_the_refusal_s_safe_way_out_is_safe() -> None:
    """It says how much more water: with that, the same acid is allowed."""
    with pytest.raises(SafetyRefusal, match="at least 2340 g more"):
        refused((WATER, 0.5), (STRONG_ACID, 1.0))
    refused((WATER, 0.5 + 2.345), (STRONG_ACID, 1.0))


def test_acid_into_hot_water_is_refused() -> None:
    refused((WATER, 7.0), (STRONG_ACID, 1.0), start=305.0)
    with pytest.raises(SafetyRefusal, match="let the water cool"):
        refused((WATER, 7.0), (STRONG_ACID, 1.0), start=323.15)


def test_peroxide_onto_copper_is_refused() -> None:
    with pytest.raises(SafetyRefusal, match="runs away hot"):
        refused((WATER, 2.0), (STRONG_ACID, 0.2), (COPPER, 0.05), (PEROXIDE, 0.2))


def test_strong_peroxide_never_meets_strong_acetic_acid() -> None:
    glacial = product("glacial", Form.LIQUID, {"acetic acid": (0.99, 0.995, 1.0)})
    weak = product("peroxide 3 %", Form.LIQUID, {"hydrogen peroxide": (0.025, 0.03, 0.035)})
    with pytest.raises(SafetyRefusal, match="peracetic acid"):
        refused((WATER, 0.5), (glacial, 0.5), (PEROXIDE, 0.1))
    refused((WATER, 0.5), (glacial, 0.5), (weak, 0.1))
    refused((WATER, 2.5), (glacial, 0.5), (PEROXIDE, 0.1))


@pytest.mark.parametrize(
    ("parts", "match"),
    [
        (((WATER, 5.0), (OXIDE, 0.2)), "only in acid"),
        (((SALT, 1.0), (WATER, 5.0)), "no water to dissolve in"),
    ],
)
def test_orders_that_only_fail_are_impossible_not_dangerous(
    parts: tuple[tuple[Product, float], ...], match: str
) -> None:
    with pytest.raises(Impossible, match=match) as raised:
        refused(*parts)
    assert not isinstance(raised.value, SafetyRefusal)


def test_a_person_s_own_safe_order_is_followed() -> None:
    plan = made_up(request(order=("distilled water", "blue crystals", "fresh battery acid")))
    actions = [step.action for step in plan.steps]
    assert actions.index(Action.DISSOLVE) < actions.index(Action.POUR_ACID)
    ours = made_up(request())
    assert [one.value for one in plan.composition] == [one.value for one in ours.composition]


def test_what_an_order_leaves_out_keeps_its_place() -> None:
    plan = made_up(request(order=("blue crystals", "fresh battery acid")))
    assert plan.steps[1].action is Action.POUR_WATER
