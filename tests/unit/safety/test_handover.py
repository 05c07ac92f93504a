"""The words with which a retired bath is handed over."""

import pytest

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.bath.retirement import holding
from tankside.safety.handover import (
    background_limits,
    background_sentence,
    hand_over,
    standing,
)

BATH = holding(
    Interval(14e-3, 15e-3, 16e-3),
    copper=Interval(45.0, 50.0, 55.0),
    sulfuric_acid=Interval.exact(60.0),
    density=Interval.exact(1158.0),
    complexed=True,
)


def test_the_hand_over_tells_what_how_much_and_who_decides() -> None:
    said = hand_over(BATH, name="Lantern bath", neutralised=False, containers=2)
    assert said[0].startswith("Lantern bath: 14 to 16 L")
    assert "2 closed containers" in said[0]
    assert "630 to 880 g of copper" in said[1]
    assert "burns skin and eyes" in said[2]
    assert "citrate" in said[3]
    text = " ".join(said)
    assert "local authority" in text
    assert "licensed waste firm" in text
    assert "gives no permission" in text


def test_a_neutralised_bath_is_told_as_such() -> None:
    said = hand_over(BATH, name="Lantern bath", neutralised=True, containers=1)
    assert "1 closed container." in said[0]
    assert "sludge" in said[0]
    assert "Before neutralising" in said[2]
    with pytest.raises(BadInput, match="at least one"):
        hand_over(BATH, name="x", neutralised=True, containers=0)


def test_the_drain_is_forbidden_and_never_advised() -> None:
    for sentence in standing():
        if "drain" in sentence:
            assert sentence.startswith("Never pour")
    assert any("drain" in sentence for sentence in standing())


def test_limits_are_background_with_the_sentence_that_local_rules_decide() -> None:
    assert [one.value for one in background_limits()] == pytest.approx([3.38e-3, 2.07e-3])
    assert {one.source for one in background_limits()} == {"cfr433"}
    assert "your local rules decide" in background_sentence()
