"""Laws of diagnosis: exact inference, evidence that adds up, and what drawn cases show of it."""

from dataclasses import replace
from itertools import permutations
from math import log

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankside.base.arrays import Floats
from tankside.base.intervals import Interval
from tankside.diagnosis.evidence import observed_in
from tankside.diagnosis.inference import Observed, beliefs, beliefs_without, unexplained
from tankside.diagnosis.loading import atlas
from tankside.diagnosis.network import Network, network_of
from tankside.diagnosis.readings import odds_factor
from tankside.diagnosis.shop import Counts, learned_prior
from tests.unit.diagnosis import simulation
from tests.unit.diagnosis.small_networks import enumerated, random_evidence, random_network

ATLAS = atlas()
NETWORK = network_of(ATLAS)

steady = settings(deadline=None, max_examples=80)
seeds = st.integers(0, 2**32 - 1)
sizes = st.integers(1, 7)


def small(seed: int, causes: int, findings: int) -> tuple[Network, Observed]:
    generator = np.random.default_rng(seed)
    network = random_network(generator, causes, findings)
    return network, random_evidence(generator, network)


@steady
@given(seed=seeds, causes=sizes, findings=sizes)
def test_inference_is_what_walking_every_combination_gives(
    seed: int, causes: int, findings: int
) -> None:
    network, observed = small(seed, causes, findings)
    found, walked = beliefs((network,), observed), enumerated(network, observed)
    assert found.present[0] == pytest.approx(walked.present, rel=1e-9, abs=1e-13)
    assert found.to_blame[0] == pytest.approx(walked.to_blame, rel=1e-9, abs=1e-13)
    assert found.log_evidence[0] == pytest.approx(walked.log_evidence, abs=1e-10)
    assert unexplained(network, observed) == pytest.approx(walked.unexplained, rel=1e-9)


@pytest.mark.parametrize("seed", range(6))
def test_inference_is_what_a_general_library_gives(seed: int) -> None:
    """The same posterior from junction trees over the same network, built anew there."""
    pyagrum = pytest.importorskip("pyagrum")
    generator = np.random.default_rng(seed)
    network = random_network(generator, 14, 9)
    observed = Observed(
        positive=(0, 3, 4, 7),
        slack=(0.0,) * 4,
        complaints=(True,) * 4,
        negative=(1, 8),
        odds=np.ones(14),
    )
    net = pyagrum.BayesNet()
    for name, prior in zip(network.causes, network.priors, strict=True):
        net.add(pyagrum.LabelizedVariable(name, name, 2))
        net.cpt(name).fillWith([1.0 - prior, prior])
    for k, name in enumerate(network.findings):
        net.addNoisyORNet(pyagrum.LabelizedVariable(name, name, 2), float(network.leaks[k]))
        for j in np.flatnonzero(network.links[:, k]):
            net.addWeightedArc(network.causes[j], name, float(network.links[j, k]))
    tree = pyagrum.LazyPropagation(net)
    seen = {network.findings[k]: 1 for k in observed.positive}
    tree.setEvidence(seen | {network.findings[k]: 0 for k in observed.negative})
    tree.makeInference()
    theirs = [tree.posterior(name)[1] for name in network.causes]
    ours = beliefs((network,), observed)
    assert ours.present[0] == pytest.approx(theirs, rel=1e-9)
    assert np.exp(ours.log_evidence[0]) == pytest.approx(tree.evidenceProbability(), rel=1e-9)


@steady
@given(seed=seeds, causes=sizes, findings=st.integers(2, 7))
def test_both_answers_to_a_question_average_to_what_was_believed(
    seed: int, causes: int, findings: int
) -> None:
    """The law behind expected information: no and yes, weighed, give today's chances back."""
    network, observed = small(seed, causes, findings)
    told = {*observed.positive, *observed.negative, *observed.silent}
    asked = next((k for k in range(findings) if k not in told), None)
    if asked is None:
        return
    now = beliefs((network,), observed)
    refused = beliefs_without(network, observed, (asked,))
    said_no = replace(observed, negative=(*observed.negative, asked))
    again = beliefs((network,), said_no)
    assert refused.to_blame[0] == pytest.approx(again.to_blame[0], abs=1e-12)
    assert refused.log_evidence[0] == pytest.approx(again.log_evidence[0], abs=1e-10)
    said_yes = replace(
        observed,
        positive=(*observed.positive, asked),
        slack=(*observed.slack, 0.0),
        complaints=(*observed.complaints, False),
    )
    yes = beliefs((network,), said_yes)
    no_chance = np.exp(refused.log_evidence[0] - now.log_evidence[0])
    yes_chance = np.exp(yes.log_evidence[0] - now.log_evidence[0])
    assert no_chance + yes_chance == pytest.approx(1.0, abs=1e-10)
    averaged = no_chance * refused.to_blame[0] + yes_chance * yes.to_blame[0]
    assert averaged == pytest.approx(now.to_blame[0], abs=1e-10)


@steady
@given(seed=seeds, causes=sizes, findings=st.integers(3, 7))
def test_the_order_in_which_things_are_told_does_not_matter(
    seed: int, causes: int, findings: int
) -> None:
    network, observed = small(seed, causes, findings)
    first = beliefs((network,), observed).to_blame
    for order in list(permutations(range(len(observed.positive))))[:6]:
        shuffled = replace(
            observed,
            positive=tuple(observed.positive[k] for k in order),
            slack=tuple(observed.slack[k] for k in order),
            complaints=tuple(observed.complaints[k] for k in order),
        )
        assert beliefs((network,), shuffled).to_blame == pytest.approx(first, abs=1e-12)


@steady
@given(seed=seeds, causes=sizes, findings=sizes)
def test_to_blame_is_never_more_than_present(seed: int, causes: int, findings: int) -> None:
    network, observed = small(seed, causes, findings)
    found = beliefs((network,), observed)
    assert (found.to_blame >= 0.0).all()
    assert (found.to_blame <= found.present + 1e-12).all()
    assert (found.present <= 1.0 + 1e-12).all()


@steady
@given(
    number=st.integers(0, len(ATLAS.rules) - 1),
    step=st.floats(-6.0, 6.0),
    width=st.floats(0.0, 3.0),
)
def test_a_number_speaks_smoothly_both_ways_and_less_when_vague(
    number: int, step: float, width: float
) -> None:
    rule = ATLAS.rules[number]
    window = (2.0, 7.0)
    middle = rule.middle if rule.middle is not None else window[1 if rule.above else 0]

    def factor(distance: float, own: float = 0.0) -> float:
        """At this many spreads from the middle, with a vagueness of that many spreads."""
        ends = [distance - own, distance, distance + own]
        if rule.logarithmic:
            low, best, high = (middle * np.exp(rule.spread * end) for end in ends)
        else:
            low, best, high = (middle + rule.spread * end for end in ends)
        return odds_factor(rule, Interval(float(low), float(best), float(high)), window)

    strength = rule.strength.value.best
    assert factor(0.0) == pytest.approx(1.0)
    assert 1.0 / strength <= factor(step) <= strength
    assert log(factor(step)) == pytest.approx(-log(factor(-step)), abs=1e-6)
    assert abs(log(factor(step, width))) <= abs(log(factor(step))) + 1e-9
    towards = step if rule.above else -step
    assert factor(step) >= 1.0 - 1e-9 if towards >= 0.0 else factor(step) <= 1.0 + 1e-9


@steady
@given(
    cause=st.sampled_from(sorted(ATLAS.causes)),
    found=st.integers(0, 30),
    ruled_out=st.integers(0, 300),
)
def test_audits_move_a_prior_towards_what_they_found(
    cause: str, found: int, ruled_out: int
) -> None:
    def learned(yes: int, no: int) -> Interval:
        return learned_prior(Counts(found={cause: yes}, ruled_out={cause: no}), ATLAS, cause)

    here = learned(found, ruled_out)
    assert 0.0 <= here.low <= here.best <= here.high <= 1.0
    assert learned(found + 1, ruled_out).best > here.best > learned(found, ruled_out + 1).best
    assert learned(0, 0).best == pytest.approx(ATLAS.causes[cause].prior.value.best)


@pytest.fixture(scope="module")
def drawn() -> tuple[Floats, Floats, float, float]:
    """Of 1,000 drawn cases with missing answers: chances and truths of all causes, the share of
    cases with a true cause among the first three, and that for the cause behind most of it."""
    generator = np.random.default_rng(1)
    chances, truths, hits, chief = [], [], [], []
    for trouble in simulation.troubles(ATLAS, 1300, seed=7):
        case = simulation.told_in_part(trouble, NETWORK, ATLAS, generator, looked=0.5, checked=0.3)
        if case is None or len(chances) == 1000:
            continue
        observed = observed_in(case, ATLAS, NETWORK)
        found = beliefs((NETWORK,), observed).to_blame[0]
        complaints = tuple(
            k for k, one in zip(observed.positive, observed.complaints, strict=True) if one
        )
        true = trouble.to_blame(complaints)
        chances.append(found)
        truths.append(true)
        if true.any():
            first = np.argsort(-found)[:3]
            share = trouble.brought[:, list(complaints)].sum(axis=1)
            hits.append(true[first].any())
            chief.append((share[first] == share.max()).any())
    assert len(chances) == 1000
    return np.concatenate(chances), np.concatenate(truths), np.mean(hits), np.mean(chief)


def test_the_true_cause_is_among_the_first_three(
    drawn: tuple[Floats, Floats, float, float],
) -> None:
    _, _, hits, chief = drawn
    assert hits >= 0.85
    assert chief >= 0.85


def test_chances_mean_what_they_say(drawn: tuple[Floats, Floats, float, float]) -> None:
    """Reliability: in each tenth with enough cases the share that was true lies within 0.05 of the
    mean chance given. Enough: twice the standard error is below 0.05."""
    chances, truths, _, _ = drawn
    judged = 0
    for low in np.arange(0.0, 1.0, 0.1):
        here = (chances >= low) & (chances < low + 0.1)
        if not here.any():
            continue
        mean = chances[here].mean()
        if 2.0 * np.sqrt(mean * (1.0 - mean) / here.sum()) <= 0.05:
            judged += 1
            assert truths[here].mean() == pytest.approx(mean, abs=0.05)
    assert judged >= 4


def test_the_proposed_order_saves_a_third_of_the_minutes() -> None:
    """Against two checklists, both held to what bears on the complaint; docs/theory/diagnosis.md
    has the run of 1,000."""
    courses = simulation.compared(100, seed=11)
    for other in ("cheapest first", "as listed"):
        assert simulation.saved(courses, other) >= 0.30
        reached = [sum(one.reached for one in courses[name]) for name in ("proposed", other)]
        assert reached[0] >= reached[1] - 2
    right = [one.right for one in courses["proposed"] if one.reached]
    believed = [one.believed for one in courses["proposed"] if one.reached]
    assert np.mean(right) == pytest.approx(np.mean(believed), abs=0.1)
