"""From a case to an answer: what stands first, what speaks for it, when it does not know."""

import numpy as np
import pytest

from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.bath.families import family
from tankside.diagnosis.advice import advice_for
from tankside.diagnosis.diagnosis import Diagnosis, Spread, Verdict, diagnosed
from tankside.diagnosis.evidence import Case, Measured, Said, Told, observed_in
from tankside.diagnosis.inference import MOST_POSITIVE, beliefs
from tankside.diagnosis.known_numbers import BathNumbers, RunNumbers, of_bath, of_run
from tankside.diagnosis.loading import atlas
from tankside.diagnosis.network import network_of
from tankside.diagnosis.next_check import AGAIN_SECONDS, effort_of, proposals, works_done
from tankside.diagnosis.shop import Audit, Counts, counted, learned_priors

ATLAS = atlas()
NETWORK = network_of(ATLAS)
FEW = Spread(draws=20)


def case(*seen: str, measured: tuple[Measured, ...] = (), **answers: Said) -> Case:
    told = [Told(finding=name) for name in seen]
    told += [Told(finding=name.replace("_", "-"), said=said) for name, said in answers.items()]
    return Case(told=tuple(told), measured=measured)


def answer(one: Case) -> Diagnosis:
    return diagnosed(one, ATLAS, spread=FEW)


def chance(one: Case, cause: str) -> float:
    found = {
        suspect.cause: suspect for suspect in diagnosed(one, ATLAS, spread=FEW, most=80).suspects
    }
    return found[cause].to_blame.best


def test_a_plain_case_gets_an_answer() -> None:
    found = answer(case("bare-pocket", tilt=Said.YES))
    assert found.suspects[0].cause == "air-pocket"
    assert found.verdict is Verdict.ANSWER
    assert "Air is trapped" in found.sentence


def test_one_vague_look_is_not_enough() -> None:
    found = answer(case("pits"))
    assert found.verdict is Verdict.UNKNOWN
    assert found.sentence.startswith("I do not know yet")


def test_what_the_list_cannot_explain_is_said() -> None:
    """Pits, with every cause of pits that a check can settle ruled out."""
    causes = {link.cause for link in ATLAS.links if link.finding == "pits"}
    checks = {
        link.finding
        for link in ATLAS.links
        if link.cause in causes and link.finding in ATLAS.checks
    }
    answers = {name.replace("-", "_"): Said.NO for name in checks}
    found = answer(case("pits", **answers))
    assert found.verdict is Verdict.UNKNOWN
    assert "not in my list" in found.sentence
    assert found.unexplained[0].share > 0.5


def test_two_troubles_at_once_are_both_found() -> None:
    """Several causes: neither explains the other's fault away."""
    found = answer(case("bare-pocket", "current-flickers", tilt=Said.YES, wiggle=Said.YES))
    first = {suspect.cause for suspect in found.suspects[:2]}
    assert first == {"air-pocket", "contact-loose"}
    assert all(suspect.to_blame.best > 0.8 for suspect in found.suspects[:2])


def test_one_cause_explains_another_away() -> None:
    both = case("current-flickers", lead_millivolts=Said.YES)
    assert chance(both, "contact-loose") < chance(case("current-flickers"), "contact-loose")


def test_a_state_that_is_known_but_beside_the_point_is_not_blamed() -> None:
    cold = Measured(quantity="temperature", value=Interval.exact(283.0), origin="a thermometer")
    seen = case("lifts-with-coat", measured=(cold,))
    present = beliefs((NETWORK,), observed_in(seen, ATLAS, NETWORK)).present[0]
    row = NETWORK.row("too-cold")
    assert present[row] > 10 * NETWORK.priors[row]
    found = diagnosed(seen, ATLAS, spread=FEW, most=80)
    assert "too-cold" not in {one.cause for one in found.suspects}
    assert found.suspects[0].cause == "no-key"


def test_slight_weighs_between_nothing_and_yes() -> None:
    seen = Case(told=(Told(finding="burnt-edges"),))
    chances = [
        chance(seen.added(Told(finding="gassing", said=said)), "current-too-high")
        for said in (Said.NO, Said.UNSURE, Said.SLIGHT, Said.YES)
    ]
    assert chances == sorted(chances)
    assert chances[1] < chances[2] < chances[3]


def test_unsure_says_nothing() -> None:
    plain = chance(case("burnt-edges"), "current-too-high")
    unsure = chance(case("burnt-edges", gassing=Said.UNSURE), "current-too-high")
    assert unsure == pytest.approx(plain, abs=1e-12)


def test_what_was_not_named_unasked_counts_a_little_as_absent() -> None:
    """Plain anodes also leave sludge and a bright anode; a scratchy print leaves nothing else."""
    looked_for = case("sandpaper")
    unasked = Case(told=looked_for.told, unasked=True)
    assert chance(unasked, "anode-plain") < chance(looked_for, "anode-plain")
    named = unasked.added(Told(finding="anode-bright"))
    assert chance(named, "anode-plain") > chance(looked_for, "anode-plain")


def test_contributions_are_what_leaving_out_changes() -> None:
    whole = case("burnt-edges", "gassing", bath_cold=Said.NO)
    found = answer(whole)
    first = found.suspects[0]
    for one in first.contributions:
        left = Case(told=tuple(told for told in whole.told if told is not one.item))
        present = {
            suspect.cause: suspect.present
            for suspect in diagnosed(left, ATLAS, spread=FEW, most=80).suspects
        }[first.cause]
        assert one.log_odds == pytest.approx(_logit(first.present) - _logit(present), abs=1e-9)
    assert {one.item.finding for one in first.contributions} >= {"burnt-edges", "gassing"}


def _logit(chance: float) -> float:
    return float(np.log(chance / (1.0 - chance)))


def test_the_range_widens_with_the_words_and_is_the_same_each_time() -> None:
    one, again = answer(case("burnt-edges")), answer(case("burnt-edges"))
    assert [s.to_blame for s in one.suspects] == [s.to_blame for s in again.suspects]
    first = one.suspects[0].to_blame
    assert first.low < first.best < first.high


def test_the_bath_s_estimate_names_the_cause() -> None:
    numbers = BathNumbers(
        copper_sulfate_pentahydrate=Interval(205.0, 215.0, 225.0),
        chloride=Interval(0.010, 0.015, 0.020),
    )
    measured = of_bath(numbers, family("conventional"))
    found = answer(case("dull-all-over", measured=measured))
    assert found.suspects[0].cause == "chloride-low"
    assert chance(case("dull-all-over", measured=measured), "copper-low") < chance(
        case("dull-all-over"), "copper-low"
    )


def test_a_vague_estimate_says_little() -> None:
    sharp = of_bath(BathNumbers(chloride=Interval(0.018, 0.020, 0.022)), family("conventional"))
    vague = of_bath(BathNumbers(chloride=Interval(0.002, 0.020, 0.200)), family("conventional"))
    plain = chance(case("dull-all-over"), "chloride-low")
    assert (
        plain
        < chance(case("dull-all-over", measured=vague), "chloride-low")
        < chance(case("dull-all-over", measured=sharp), "chloride-low")
    )


def test_the_log_names_the_cause() -> None:
    log = of_run(RunNumbers(unpowered_in_run=Interval(3000.0, 3600.0, 4200.0)))
    assert answer(case("layers-separate", measured=log)).suspects[0].cause == "interrupted"
    quiet = of_run(RunNumbers(unpowered_in_run=Interval.exact(0.0)))
    assert answer(case("layers-separate", measured=quiet)).suspects[0].cause == "dirty-restart"


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        (Case(), "no fault is named"),
        (case(wiggle=Said.YES), "no fault is named"),
        (Case(told=(Told(finding="pits"), Told(finding="pits", said=Said.NO))), "twice"),
        (
            case(
                "pits", measured=(Measured(quantity="luck", value=Interval.exact(1.0), origin=""),)
            ),
            "no rule reads 'luck'",
        ),
        (case(*list(ATLAS.faults)[: MOST_POSITIVE + 1]), "name the faults that trouble you most"),
    ],
)
def test_bad_cases_are_refused_in_one_sentence(wrong: Case, message: str) -> None:
    with pytest.raises(BadInput, match=message):
        answer(wrong)


def test_an_unknown_finding_offers_close_ones() -> None:
    with pytest.raises(UnknownName, match="pits"):
        answer(case("pit"))


def test_a_further_panel_still_takes_its_own_work() -> None:
    held = atlas()
    fresh, again = frozenset[str](), frozenset({"panel"})
    panels = [check for check in held.checks.values() if check.work == "panel"]
    quickest = min(check.effort for check in panels)
    for check in panels:
        assert effort_of(check.id, held, fresh) == check.effort
        took = effort_of(check.id, held, again)
        assert took == pytest.approx(check.effort - quickest + AGAIN_SECONDS)
    assert effort_of("panel-dull", held, again) == AGAIN_SECONDS
    assert effort_of("panel-half", held, again) > 5 * AGAIN_SECONDS


def test_the_next_check_is_worth_its_minutes() -> None:
    found = proposals(case("one-side-thin"), ATLAS, NETWORK)
    rates = [one.rate for one in found]
    assert rates == sorted(rates, reverse=True)
    assert all(one.information >= 0.0 and 0.0 <= one.yes_chance <= 1.0 for one in found)
    checks = [one.finding for one in found if one.finding in ATLAS.checks]
    assert checks[0] in {"gaps-differ", "anode-shares", "in-the-way"}
    assert not {"one-side-thin"} & {one.finding for one in found}


def test_information_is_the_mean_fall_of_uncertainty_by_its_definition() -> None:
    now = case("amps-fall")
    proposal = next(one for one in proposals(now, ATLAS, NETWORK) if one.finding == "anode-probe")
    no = _uncertainty(now.added(Told(finding="anode-probe", said=Said.NO)))
    yes = _uncertainty(now.added(Told(finding="anode-probe", said=Said.YES)))
    after = proposal.yes_chance * yes + (1.0 - proposal.yes_chance) * no
    assert proposal.information == pytest.approx(_uncertainty(now) - after, abs=1e-9)


def _uncertainty(one: Case) -> float:
    found = diagnosed(one, ATLAS, spread=Spread(draws=1), most=80)
    p = np.clip([suspect.to_blame.best for suspect in found.suspects], 1e-15, 1 - 1e-15)
    return float(-(p * np.log2(p) + (1 - p) * np.log2(1 - p)).sum())


def test_a_check_that_cannot_tell_is_worth_nothing() -> None:
    found = {one.finding: one for one in proposals(case("bare-pocket"), ATLAS, NETWORK)}
    assert found["finish-weight"].information == pytest.approx(0.0, abs=1e-9)


def test_work_made_ready_is_shared() -> None:
    before = case("dull-all-over")
    after = before.added(Told(finding="chloride-below", said=Said.NO))
    assert effort_of("chloride-above", ATLAS, works_done(before, ATLAS)) == 20 * 60.0
    assert effort_of("chloride-above", ATLAS, works_done(after, ATLAS)) == AGAIN_SECONDS


def test_advice_waits_for_its_check_and_then_comes() -> None:
    waiting = advice_for(answer(case("white-film", water_used=Said.NO)), ATLAS)
    thinned = next(one for one in waiting if one.remedy == "chloride-thinned")
    assert thinned.then == ""
    assert thinned.checks_first == ("chloride-above",)
    shown = case("white-film", water_used=Said.NO, chloride_above=Said.YES)
    ready = advice_for(answer(shown), ATLAS)
    assert next(one for one in ready if one.remedy == "chloride-thinned").then


def test_advice_comes_when_the_bath_s_number_shows_the_same() -> None:
    high = of_bath(BathNumbers(chloride=Interval(0.25, 0.30, 0.35)), family("conventional"))
    ready = advice_for(answer(case("white-film", measured=high)), ATLAS)
    assert next(one for one in ready if one.remedy == "chloride-thinned").then
    inside = of_bath(BathNumbers(chloride=Interval(0.115, 0.12, 0.125)), family("conventional"))
    waiting = advice_for(answer(case("white-film", measured=inside)), ATLAS)
    assert all(not one.then for one in waiting if one.remedy == "chloride-thinned")


def test_a_shop_s_audits_change_what_comes_first() -> None:
    audits = [Audit(found=frozenset({"bag-torn"}), ruled_out=frozenset({"anode-plain"}))] * 12
    priors = learned_priors(counted(Counts(), audits, ATLAS), ATLAS)
    assert priors["bag-torn"] > 0.015 > priors["anode-plain"] * 0.1
    before = answer(case("sandpaper")).suspects[0].cause
    after = diagnosed(case("sandpaper"), ATLAS, priors=priors, spread=FEW).suspects[0].cause
    assert (before, after) == ("anode-plain", "bag-torn")


def test_audits_are_counted_and_contradictions_refused() -> None:
    counts = counted(Counts(), [Audit(found=frozenset({"too-cold"}))] * 2, ATLAS)
    assert counted(counts, [], ATLAS) == counts
    assert counts.found == {"too-cold": 2}
    with pytest.raises(BadInput, match="both found and ruled out"):
        Audit(found=frozenset({"too-cold"}), ruled_out=frozenset({"too-cold"}))
    with pytest.raises(UnknownName, match="too-cold"):
        counted(Counts(), [Audit(found=frozenset({"too-clod"}))], ATLAS)
