"""What no bottles, tools or water can give is refused, with the numbers and what to do."""

import pytest

from tankside.base.errors import BadInput, Impossible, SafetyRefusal, UnknownName
from tankside.bath.composition import Composition
from tankside.bath.makeup import acid_sulfate_target, made_up
from tests.unit.bath.makeup.shelf import (
    BATTERY_ACID,
    HARD_TAP,
    MURIATIC,
    SALT,
    STRONG_ACID,
    WATER,
    request,
)


@pytest.mark.parametrize(
    ("further", "error", "match"),
    [
        ({"order": ("fresh battery acid", "distilled water")}, SafetyRefusal, "before any water"),
        ({"order": ("battery acid, fresh",)}, UnknownName, "fresh battery acid"),
        ({"litres": 0.018}, BadInput, "did you mean 18 L"),
        ({"litres": 17.9}, Impossible, "do not fit a vessel"),
        ({"tools": ()}, Impossible, "there is no tool"),
    ],
)
def test_what_cannot_be_is_refused(
    further: dict[str, object], error: type[Exception], match: str
) -> None:
    with pytest.raises(error, match=match):
        made_up(request(**further))


def test_hot_water_is_no_place_for_acid() -> None:
    with pytest.raises(SafetyRefusal, match="let the water cool to 35 °C"):
        made_up(request(SALT, STRONG_ACID, MURIATIC, WATER, start=323.15))


def test_a_target_beyond_solubility_is_refused_with_the_numbers() -> None:
    strong = Composition(copper_sulfate_pentahydrate=240.0, sulfuric_acid=150.0, chloride=0.06)
    with pytest.raises(Impossible, match="240 g/L of copper sulfate pentahydrate do not dissolve"):
        made_up(request(target=acid_sulfate_target(strong)))


def test_hard_water_names_itself() -> None:
    with pytest.raises(Impossible, match="'hard tap water' brings 197 mg/L"):
        made_up(request(SALT, BATTERY_ACID, MURIATIC, HARD_TAP))
