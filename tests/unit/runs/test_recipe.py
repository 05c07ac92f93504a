"""Recipes: how long, how much, which setting is in force when."""

from math import inf

import pytest

from tankside.base.errors import BadInput
from tankside.runs.recipe import Recipe, Setting

RECIPE = Recipe(
    settings=(
        Setting(current=0.2, voltage_limit=3.0, duration=600.0, words="copper creeps"),
        Setting(current=0.5, voltage_limit=3.0, charge=300.0),
        Setting(current=2.0, voltage_limit=4.0, duration=3600.0, charge=1e9),
    )
)


def test_totals() -> None:
    assert RECIPE.expected_duration == pytest.approx(600 + 600 + 3600)
    assert RECIPE.expected_charge == pytest.approx(120 + 300 + 7200)
    assert (RECIPE.highest_current, RECIPE.highest_voltage) == (2.0, 4.0)


@pytest.mark.parametrize(
    ("plated", "charge", "over", "to_go"),
    [(0.0, 0.0, False, 50.0), (30.0, 20.0, False, 30.0), (10.0, 80.0, False, 10.0),
     (59.0, 100.0, True, 0.0), (60.0, 1.0, True, 0.0)],
)  # fmt: skip
def test_a_setting_ends_by_what_is_reached_first(
    plated: float, charge: float, over: bool, to_go: float
) -> None:
    setting = Setting(current=2.0, voltage_limit=4.0, duration=60.0, charge=100.0)
    assert setting.over(plated, charge) is over
    assert setting.to_go(plated, charge) == pytest.approx(to_go)


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"current": 0.0}, "current must be above zero"),
        ({"current": inf}, "current must be above zero"),
        ({"voltage_limit": -1.0}, "voltage limit must be above zero"),
        ({"duration": 0.0}, "duration must be above zero"),
        ({"duration": inf}, "would never end"),
    ],
)
def test_refuses(changes: dict[str, float], told: str) -> None:
    given = {"current": 1.0, "voltage_limit": 3.0, "duration": 60.0} | changes
    with pytest.raises(BadInput, match=told):
        Setting(**given)  # type: ignore[arg-type]


def test_an_empty_recipe_is_none() -> None:
    with pytest.raises(BadInput, match="at least one setting"):
        Recipe(settings=())
