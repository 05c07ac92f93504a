"""Every row of the atlas: it hangs together, says where it comes from, and harms nobody."""

import re
from collections import Counter
from dataclasses import replace

import pytest

from tankside.base.errors import MissingData, SafetyRefusal, UnknownName
from tankside.base.provenance import NEEDS_NO_SOURCE, Evidence
from tankside.diagnosis.atlas import Cause, Check, Fault, Likelihood, Remedy
from tankside.diagnosis.gates import ADDITIONS, FORBIDDEN, refuse_harm, refuse_harmful_check
from tankside.diagnosis.known_numbers import BathNumbers, RunNumbers
from tankside.diagnosis.loading import atlas, refuse_loose_ends
from tankside.diagnosis.numbers_in_words import BATH, NUMBERS, RUN

ATLAS = atlas()
ROWS = [*ATLAS.faults.values(), *ATLAS.causes.values(), *ATLAS.checks.values(), *ATLAS.remedies]


def test_the_atlas_is_as_large_as_it_must_be() -> None:
    assert len(ATLAS.faults) >= 45
    assert len(ATLAS.causes) >= 60
    kinds = {cause.kind for cause in ATLAS.causes.values()}
    assert kinds == {
        "chemistry", "additive", "temperature", "agitation", "current", "geometry", "contact",
        "seed coat", "substrate", "anode", "contamination", "rinsing and sealing", "supply",
    }  # fmt: skip


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{type(row).__name__}-{row.id}")
def test_a_row_has_a_source_or_an_honest_label(row: Fault | Cause | Check | Remedy) -> None:
    mark = row.provenance
    assert bool(mark.source) == bool(mark.locator)
    assert mark.source or mark.evidence in NEEDS_NO_SOURCE
    assert re.fullmatch(r"[a-z0-9-]+", row.id)


def test_links_rules_and_levels_have_a_source_or_an_honest_label() -> None:
    for row in (*ATLAS.links, *ATLAS.rules, *ATLAS.levels):
        assert row.provenance.source or row.provenance.evidence in NEEDS_NO_SOURCE


def test_most_is_practice_and_says_so_and_the_handbook_is_where_it_can_be() -> None:
    """No borrowed keys: what was read is a minority, and is named with its place."""
    kinds = Counter(link.provenance.evidence for link in ATLAS.links)
    assert kinds[Evidence.PRACTICE] > kinds[Evidence.REVIEWED] >= 25
    assert all(level.provenance.evidence is Evidence.GUESS for level in ATLAS.levels)


@pytest.mark.parametrize("cause", ATLAS.causes)
def test_a_cause_can_be_seen_checked_and_mended(cause: str) -> None:
    findings = {link.finding for link in ATLAS.links if link.cause == cause}
    assert findings & ATLAS.faults.keys()
    assert findings & ATLAS.checks.keys()
    assert ATLAS.remedies_for(cause)


@pytest.mark.parametrize("fault", ATLAS.faults.values(), ids=lambda fault: fault.id)
def test_a_fault_says_look_place_time_and_how_people_put_it(fault: Fault) -> None:
    assert all(text.strip() for text in (fault.name, fault.look, fault.where, fault.when))
    assert len(fault.said) >= 3
    groups = {rule.group for rule in ATLAS.rules} | {"none"}
    assert fault.field in groups


@pytest.mark.parametrize("check", ATLAS.checks.values(), ids=lambda check: check.id)
def test_a_check_says_what_it_takes_and_what_it_tells(check: Check) -> None:
    assert 30.0 <= check.effort <= 2 * 3600.0
    assert all(text.strip() for text in (check.do, check.yes, check.no, check.materials))
    strongest = max(link.level.value.best for link in ATLAS.links if link.finding == check.id)
    assert strongest > 2 * check.otherwise.value.best, "a check that hardly tells anything"


def test_checks_of_one_work_take_alike_so_that_sharing_is_fair() -> None:
    for check in ATLAS.checks.values():
        assert check.work, check.id


def test_levels_keep_their_order_and_their_ranges() -> None:
    for kind in Likelihood:
        levels = [level for level in ATLAS.levels if level.kind is kind]
        assert levels
        if kind is not Likelihood.ANSWER:
            best = [level.value.best for level in levels]
            assert best == sorted(best, reverse=True)
        for level in levels:
            assert level.value.low < level.value.best < level.value.high
            if kind is not Likelihood.STRENGTH:
                assert level.value.high < 1.0
                a, b = level.beta
                assert a / (a + b) == pytest.approx(level.value.best)


def test_every_quantity_of_a_rule_can_be_told_and_given() -> None:
    quantities = {rule.quantity for rule in ATLAS.rules}
    assert quantities == set(NUMBERS)
    assert set(BATH) == set(BathNumbers.__dataclass_fields__)
    assert set(RUN) == set(RunNumbers.__dataclass_fields__)


@pytest.mark.parametrize("remedy", ATLAS.remedies, ids=lambda remedy: f"{remedy.cause}-{remedy.id}")
def test_no_remedy_harms(remedy: Remedy) -> None:
    """An independent look, in other words than the gate's own."""
    refuse_harm(remedy, ATLAS.checks)
    text = f"{remedy.first} {remedy.then} {remedy.side_effect}".lower()
    assert not re.search(r"drain(?! hole)", text.replace("a drain.", "a drain hole."))
    assert not re.search(r"hypochlorite|bleach|cyanide|chrom(ic|ate)|nitric|peroxide", text)
    assert not re.search(r"stainless|lead anode|unknown anode|platin(i[sz]ed|um)|titanium", text)
    if "chloride" in text and remedy.adds == "chloride":
        assert "measured" in text
        assert remedy.needs == ("chloride-below",)
    if remedy.adds == "sulfuric acid":
        assert "never water into acid" in text
    if re.search(r"\b(add|pour|dose)\b.*\bacid\b", text):
        assert remedy.adds == "sulfuric acid"
    assert remedy.first.strip()
    assert remedy.side_effect.strip()


def acid_remedy() -> Remedy:
    return next(one for one in ATLAS.remedies if one.id == "acid-to-window")


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"then": "Pour the water into the acid and stir."}, "must say"),
        ({"needs": ()}, "only after a check"),
        ({"needs": ("bath-cold",)}, "only after the check acid-below"),
        ({"adds": "bleach"}, "nothing that a remedy may add"),
        ({"first": ""}, "without a beaker"),
        ({"side_effect": "Rinse it down the drain."}, "copper poisons"),
        ({"side_effect": "Then add water to acid."}, "boil and spit"),
        ({"side_effect": "Use a stainless anode for a while."}, "insoluble and unknown anodes"),
        ({"side_effect": "A little hypochlorite clears it."}, "chlorine gas"),
        ({"side_effect": "More salt by feel."}, "is measured"),
        ({"side_effect": "Add a pinch of salt."}, "is measured"),
        ({"side_effect": "Hold it over a flame."}, "catch fire"),
        ({"side_effect": "Precipitate with silver nitrate."}, "small bench"),
        ({"needs": ("acid-below", "tea-leaves")}, "do not exist"),
    ],
)
def test_a_harmful_remedy_is_refused(change: dict[str, object], reason: str) -> None:
    refuse_harm(acid_remedy(), ATLAS.checks)
    with pytest.raises(SafetyRefusal, match=reason):
        refuse_harm(replace(acid_remedy(), **change), ATLAS.checks)


@pytest.mark.parametrize("check", ATLAS.checks.values(), ids=lambda check: check.id)
def test_no_check_harms(check: Check) -> None:
    refuse_harmful_check(check)
    text = f"{check.do} {check.materials}".lower()
    if "acid" in check.materials or "titrant" in check.materials or "nitrate" in text:
        assert "goggles" in check.materials
    if re.search(r"feel the wire|in line|supply off", text):
        assert "off" in text
    with pytest.raises(SafetyRefusal, match=check.id):
        refuse_harmful_check(replace(check, do=f"{check.do} Rinse it down the drain."))


def test_chloride_without_its_measurement_is_refused() -> None:
    chloride = next(one for one in ATLAS.remedies if one.adds == "chloride")
    with pytest.raises(SafetyRefusal, match="chloride-below"):
        refuse_harm(replace(chloride, needs=("panel-chloride",)), ATLAS.checks)


def test_every_forbidden_pattern_can_be_met_and_every_addition_is_used() -> None:
    assert len({pattern for pattern, _ in FORBIDDEN}) == len(FORBIDDEN)
    assert {remedy.adds for remedy in ATLAS.remedies} == set(ADDITIONS)


def test_loose_ends_are_refused() -> None:
    without_cause = dict(ATLAS.causes)
    without_cause.pop("too-cold")
    with pytest.raises(MissingData, match="too-cold"):
        refuse_loose_ends(replace(ATLAS, causes=without_cause))
    with pytest.raises(MissingData, match="has no remedy"):
        refuse_loose_ends(replace(ATLAS, remedies=ATLAS.remedies[1:]))
    with pytest.raises(MissingData, match="twice"):
        refuse_loose_ends(replace(ATLAS, links=(*ATLAS.links, ATLAS.links[0])))
    kept = tuple(
        one for one in ATLAS.links if not (one.cause == "too-cold" and one.finding in ATLAS.checks)
    )
    with pytest.raises(MissingData, match="no fault or no check"):
        refuse_loose_ends(replace(ATLAS, links=kept))


def test_unknown_names_offer_close_ones() -> None:
    with pytest.raises(UnknownName, match="burnt-edges"):
        ATLAS.fault("burnt-edge")
    with pytest.raises(UnknownName, match="too-cold"):
        ATLAS.cause("to-cold")
    with pytest.raises(UnknownName, match="shake"):
        ATLAS.check("shak")
