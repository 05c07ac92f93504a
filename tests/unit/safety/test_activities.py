"""Cautions follow from what is done with what."""

from collections import Counter

import pytest

from tankside.base.errors import BadInput, UnknownName
from tankside.base.provenance import sources
from tankside.safety.activities import (
    FURTHER_CONDITIONS,
    Activity,
    Coat,
    Doing,
    cautions_while,
)
from tankside.safety.cautions import ALL, CONDITIONS, all_cautions
from tests.unit.safety.test_safety import GENTLE, ids


def while_(activity: Activity, **more: object) -> set[str]:
    return {one.id for one in cautions_while(Doing(activity=activity, **more))}  # type: ignore[arg-type]


@pytest.mark.parametrize("activity", list(Activity))
def test_local_rules_are_named_whatever_is_done(activity: Activity) -> None:
    assert "local-rules" in while_(activity)


@pytest.mark.parametrize(
    "activity",
    [Activity.PLATING, Activity.MIXING, Activity.TITRATING, Activity.NEUTRALISING],
)
def test_wet_work_always_covers_eyes_and_waste(activity: Activity) -> None:
    assert {"eyes-and-hands", "waste"} <= while_(activity)


@pytest.mark.parametrize(
    ("activity", "more", "expected"),
    [
        (Activity.MIXING, {"handled": {"sulfuric acid": 0.35}}, {"strong-acid", "heat-of-mixing"}),
        (Activity.MIXING, {"handled": {"sulfuric acid": 0.10}}, {"acid-order"}),
        (Activity.MIXING, {"handled": {"muriatic acid": 0.32}}, {"hydrochloric-fumes"}),
        (Activity.MIXING, {"handled": {"hydrogen peroxide": 0.12}}, {"peroxide"}),
        (
            Activity.MIXING,
            {"handled": {"hydrogen peroxide": 0.03, "copper": 1.0}},
            {"peroxide-copper"},
        ),
        (
            Activity.MIXING,
            {"handled": {"hydrogen peroxide": 0.03, "acetic acid": 0.05}},
            {"organic-acid-peroxide"},
        ),
        (Activity.MIXING, {"handled": {"basic copper carbonate": 1.0}}, {"foam"}),
        (Activity.TITRATING, {"handled": {"ammonia": 0.1}}, {"ammonia"}),
        (Activity.TITRATING, {"handled": {"silver nitrate": 0.002}}, {"silver"}),
        (Activity.TITRATING, {"handled": {"potassium iodide": 1.0}}, {"iodine"}),
        (Activity.TITRATING, {"handled": {"sodium thiosulfate": 0.02}}, {"thiosulfate-acid"}),
        (Activity.TITRATING, {"handled": {"sodium hydroxide": 0.04}}, {"hydroxide"}),
        (Activity.NEUTRALISING, {"handled": {"sodium carbonate": 1.0}}, {"foam"}),
        (
            Activity.NEUTRALISING,
            {"handled": {"calcium hydroxide": 1.0}},
            {"lime-dust", "neutral-heat", "sludge"},
        ),
        (Activity.PAINTING, {"coats": (Coat.NICKEL,)}, {"nickel-paint", "metal-dust"}),
        (Activity.PAINTING, {"with_solvent": True}, {"solvent", "dry-before-bath"}),
        (Activity.PAINTING, {"sprayed": True}, {"spray"}),
        (Activity.SEALING, {"coats": (Coat.RESIN,)}, {"epoxy"}),
        (Activity.STORING, {"handled": {"copper sulfate pentahydrate": 0.18}}, {"frost"}),
        (Activity.PLATING, {"air_agitation": True}, {"mist"}),
        (Activity.PLATING, {"temperature": 320.0}, {"warm-bath"}),
    ],
)
def test_each_danger_raises_its_caution(
    activity: Activity, more: dict[str, object], expected: set[str]
) -> None:
    assert not expected & while_(activity) - {"sludge"}
    assert expected <= while_(activity, **more)


def test_every_row_can_be_raised() -> None:
    """Each condition that rows name is one that some plating or some activity raises."""
    named = {caution.when for caution in all_cautions()}
    assert named == CONDITIONS | FURTHER_CONDITIONS


def test_painting_does_not_speak_of_the_tanks_wires() -> None:
    assert "mains" not in while_(Activity.PAINTING, with_solvent=True)
    assert "nickel-paint" not in ids(GENTLE)


def test_ids_are_single_and_texts_are_sentences_with_known_sources() -> None:
    counted = Counter(caution.id for caution in all_cautions())
    assert max(counted.values()) == 1
    for caution in all_cautions():
        assert caution.text.endswith(".")
        assert caution.source in {"", *sources()}
        assert caution.activities
        assert ALL not in caution.activities or len(caution.activities) == 1


def test_impossible_doings_are_refused() -> None:
    with pytest.raises(BadInput, match="between 0 and 1"):
        Doing(activity=Activity.MIXING, handled={"sulfuric acid": 96.0})
    with pytest.raises(UnknownName, match="sulfuric acid"):
        Doing(activity=Activity.MIXING, handled={"sulfuric acd": 0.3})
