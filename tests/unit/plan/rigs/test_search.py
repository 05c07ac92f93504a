"""The search keeps its promises, tried on made-up answers that cost nothing."""

from collections.abc import Callable
from math import exp, inf, isfinite

import numpy as np
import pytest

from tankside.base.arrays import Floats
from tankside.plan.rigs.figures import RigResult
from tankside.plan.rigs.goals import RigGoal, RigWish
from tankside.plan.rigs.search import TROUBLE, searched
from tankside.plan.rigs.space import Freedoms, design_space
from tankside.plan.rigs.trials import Answers, Effort, Trial
from tests.unit.plan.rigs.conftest import cup, hung
from tests.unit.plan.rigs.test_goals import FIGURES

RIG = hung(cup(), (0.0175, 0.0, 0.09))
SPACE = design_space(RIG, Freedoms(), 1.0)
WISH = RigWish(goal=RigGoal.THINNEST, thickness=1e-4)
TURN = [freedom.name for freedom in SPACE.freedoms].index("a turn part-way")
POSE = 0
Law = Callable[[Floats], float]


def score(result: RigResult) -> float:
    return inf if result.figures is None else WISH.score(result.figures)


def answered(law: Law, effort: Effort, enough_after: int = 10**9) -> tuple[Trial, ...]:
    """The trials of a search in which a design's gain is exp(law)."""
    asking = searched(SPACE, score, effort)
    asked, count = next(asking), 0
    while True:
        count += len(asked)
        results = tuple(_result(law(design)) for design in asked)
        try:
            asked = asking.send(Answers(results=results, enough=count >= enough_after))
        except StopIteration as over:
            return tuple(over.value)


def _result(gain: float) -> RigResult:
    if not isfinite(gain):
        return RigResult(refusal="cannot be")
    from dataclasses import replace

    return RigResult(figures=replace(FIGURES, thinnest_rate=1e-9 * exp(gain)))


def bowl(design: Floats) -> float:
    """Best where the pose's shares are all at 0.7; a turn costs a little; some cannot be."""
    pose = design[SPACE.places[POSE]]
    turned = design[SPACE.places[TURN].start] >= 0.5
    if pose[4] > 0.95:
        return -inf
    return 1.0 - float(((pose - 0.7) ** 2).sum()) - 0.05 * turned


def test_the_own_rig_is_tried_first_and_never_more_than_the_effort() -> None:
    trials = answered(bowl, Effort(evaluations=100))
    assert np.array_equal(trials[0].design, SPACE.own)
    assert len(trials) == 100


def test_the_same_seed_asks_the_same_and_another_does_not() -> None:
    one, again = (answered(bowl, Effort(evaluations=120, seed=4)) for _ in range(2))
    assert all(np.array_equal(a.design, b.design) for a, b in zip(one, again, strict=True))
    other = answered(bowl, Effort(evaluations=120, seed=5))
    assert not all(np.array_equal(a.design, b.design) for a, b in zip(one, other, strict=True))


def test_more_effort_only_goes_on() -> None:
    short, long = (answered(bowl, Effort(evaluations=n)) for n in (90, 150))
    for a, b in zip(short[:80], long, strict=False):
        assert np.array_equal(a.design, b.design)


def test_it_nears_the_best_of_six_shares() -> None:
    trials = answered(bowl, Effort(evaluations=250))
    best = min(trials, key=lambda trial: trial.score)
    first = trials[0]
    most = 1.0 - bowl(SPACE.own) - TROUBLE
    assert first.score - best.score > 0.93 * most


def test_what_does_not_earn_its_trouble_is_left_out() -> None:
    trials = answered(bowl, Effort(evaluations=250))
    best = min(trials, key=lambda trial: trial.score)
    assert SPACE.changed(best.design) == (POSE,)


def test_a_rig_that_cannot_be_never_is_the_best() -> None:
    trials = answered(
        lambda design: -inf if design[0] != SPACE.own[0] else bowl(design), Effort(evaluations=150)
    )
    assert isfinite(min(trials, key=lambda trial: trial.score).score)
    assert any(not isfinite(trial.score) for trial in trials)


def test_where_nothing_can_be_the_own_rig_stays() -> None:
    trials = answered(
        lambda design: 0.0 if np.array_equal(design, SPACE.own) else -inf, Effort(evaluations=130)
    )
    assert min(trials, key=lambda trial: trial.score) is trials[0]


def test_enough_is_enough() -> None:
    trials = answered(bowl, Effort(evaluations=1000), enough_after=60)
    assert 60 <= len(trials) <= 80


def test_different_starts_are_taken() -> None:
    """Two hills as high as each other, in two corners of the room: both are climbed."""
    room = slice(SPACE.places[POSE].start + 3, SPACE.places[POSE].stop)

    def hills(design: Floats) -> float:
        place = design[room]
        return 1.0 - 2 * float(min(((place - 0.1) ** 2).sum(), ((place - 0.9) ** 2).sum()))

    trials = answered(hills, Effort(evaluations=250))
    for corner in (0.1, 0.9):
        near = [t.score for t in trials if np.linalg.norm(t.design[room] - corner) < 0.5]
        assert min(near) == pytest.approx(trials[0].score - 0.95, abs=0.08)
