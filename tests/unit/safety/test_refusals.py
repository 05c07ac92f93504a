"""What must not meet, and what must not be used, each with the reason and the way out."""

from itertools import combinations

import pytest

from tankside.base.errors import BadInput, SafetyRefusal, UnknownName
from tankside.safety.incompatible import clashes, refuse_clashes, refuse_water_into_acid
from tankside.safety.rules import Kind, Verdict, found, judged, rules


@pytest.mark.parametrize(
    ("first", "second", "result"),
    [
        ("sulfuric acid", "bleach", "chlorine"),
        ("acetic acid", "pool chlorine", "chlorine"),
        ("hydrochloric acid", "sodium hypochlorite", "chlorine"),
        ("household ammonia", "bleach", "chloramine"),
        ("sulfuric acid", "sodium cyanide", "hydrogen cyanide"),
        ("citric acid", "sodium cyanide", "hydrogen cyanide"),
        ("hydrogen peroxide", "acetone", "explosive"),
        ("hydrogen peroxide", "isopropyl alcohol", "fire"),
        ("nitric acid", "copper", "nitrogen dioxide"),
        ("nitric acid", "acetone", "explosion"),
        ("sulfuric acid", "liver of sulfur", "hydrogen sulfide"),
        ("citric acid", "Potassium  polysulfide", "hydrogen sulfide"),
    ],
)
def test_deadly_pairs_are_refused_either_way_round(first: str, second: str, result: str) -> None:
    for pair in ([first, second], [second, first]):
        with pytest.raises(SafetyRefusal, match=result) as refusal:
            refuse_clashes(["water", *pair])
        assert ";" in refusal.value.message


@pytest.mark.parametrize(
    ("first", "second", "result"),
    [
        ("sulfuric acid", "sodium carbonate", "carbon dioxide"),
        ("acetic acid", "sodium bicarbonate", "carbon dioxide"),
        ("sulfuric acid", "sodium hydroxide", "heat"),
        ("hydrogen peroxide", "copper sulfate pentahydrate", "oxygen"),
        ("acetic acid", "hydrogen peroxide", "peracetic"),
        ("ammonia", "silver nitrate", "explode"),
        ("sulfuric acid", "sodium thiosulfate pentahydrate", "sulfur dioxide"),
    ],
)
def test_touchy_pairs_are_told_and_not_refused(first: str, second: str, result: str) -> None:
    refuse_clashes([first, second])
    (clash,) = [one for one in clashes([first, second]) if result in one.result]
    assert not clash.refuse
    assert clash.first in clash.sentence
    assert clash.sentence.endswith(".")


def test_a_bath_of_the_shelf_clashes_with_nothing() -> None:
    bath = ["copper sulfate pentahydrate", "sulfuric acid", "sodium chloride", "water", "copper"]
    assert clashes(bath) == ()
    assert clashes([]) == ()
    assert clashes(["sulfuric acid", "sulfuric acid"]) == ()


def test_every_pair_of_a_shelf_is_found_once() -> None:
    shelf = ["sulfuric acid", "sodium hypochlorite", "ammonia", "sodium carbonate"]
    whole = clashes(shelf)
    singly = [clash for pair in combinations(shelf, 2) for clash in clashes(pair)]
    assert sorted(one.sentence for one in whole) == sorted(one.sentence for one in singly)
    assert len(whole) == 3


def test_an_unknown_substance_is_asked_about() -> None:
    with pytest.raises(UnknownName, match="did you mean"):
        clashes(["sulfuric acid", "blech"])


def test_water_is_never_poured_into_strong_acid() -> None:
    with pytest.raises(SafetyRefusal, match="pour the acid into it"):
        refuse_water_into_acid("sulfuric acid", "water", 0.96)
    refuse_water_into_acid("water", "sulfuric acid", 0.0)
    refuse_water_into_acid("sulfuric acid", "water", 0.06)
    with pytest.raises(BadInput, match="between 0 and 1"):
        refuse_water_into_acid("sulfuric acid", "water", 96.0)


@pytest.mark.parametrize(
    ("kind", "name", "reason", "way_out"),
    [
        (Kind.ANODE, "stainless steel", r"chromium\(VI\)", "bagged copper"),
        (Kind.ANODE, "Lead", "poisons", "bagged copper"),
        (Kind.ANODE, "brass", "cannot be taken out", "bagged copper"),
        (Kind.ANODE, "mystery metal", "not known to be safe", "phosphorised copper"),
        (Kind.BATH, "cyanide", "kills", "licensed shop"),
        (Kind.BATH, "chromium(VI)", "cancer", "licensed shop"),
        (Kind.BATH, "mystery bath", "not known", "acid sulfate"),
        (Kind.BASE_METAL, "steel", "immersion copper", "nickel-struck"),
        (Kind.BASE_METAL, "zamak", "zinc dissolves", "copper-struck"),
        (Kind.BASE_METAL, "aluminium", "hydrogen", "lacquer"),
        (Kind.HEATER, "aquarium heater", "mains", "water bath"),
        (Kind.HEATER, "kettle element", "mains", "quartz"),
    ],
)
def test_what_is_refused_has_a_reason_and_a_way_out(
    kind: Kind, name: str, reason: str, way_out: str
) -> None:
    with pytest.raises(SafetyRefusal, match=reason) as refusal:
        judged(kind, name, where="[bath]")
    assert way_out in refusal.value.message
    assert refusal.value.where == "[bath]"


@pytest.mark.parametrize(
    ("kind", "name", "verdict"),
    [
        (Kind.ANODE, "Phosphorised  Copper", Verdict.ALLOW),
        (Kind.ANODE, "copper", Verdict.MIND),
        (Kind.BATH, "acid sulfate", Verdict.ALLOW),
        (Kind.BASE_METAL, "silver paint", Verdict.ALLOW),
        (Kind.BASE_METAL, "nickel paint", Verdict.MIND),
        (Kind.HEATER, "water bath", Verdict.ALLOW),
    ],
)
def test_what_may_be_used_is_judged(kind: Kind, name: str, verdict: Verdict) -> None:
    assert judged(kind, name).verdict is verdict


def test_an_unknown_base_metal_is_asked_about_with_close_names() -> None:
    with pytest.raises(UnknownName, match="'brass'"):
        judged(Kind.BASE_METAL, "bras")


def test_a_misspelt_anode_is_refused_with_a_hint() -> None:
    with pytest.raises(SafetyRefusal, match="did you mean 'phosphorised copper'"):
        judged(Kind.ANODE, "phosphorised coper")


def test_each_name_of_a_kind_stands_in_one_rule() -> None:
    for kind in Kind:
        names = [name for rule in rules() if rule.kind is kind for name in rule.names]
        assert len(names) == len(set(names))
        assert any(rule.verdict is Verdict.REFUSE for rule in rules() if rule.kind is kind)
    for rule in rules():
        assert rule.reason
        assert rule.way_out
        assert "drain" not in rule.way_out
    assert found(Kind.ANODE, "nonsense") is None
