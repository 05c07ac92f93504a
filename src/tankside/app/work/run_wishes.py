"""What a person may wish of a run, by its word, and at which stages: for runs on a supply, for runs
by hand, and for what needs no supply at all."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tankside.base.errors import BadInput, UnknownName
from tankside.base.messages import said

if TYPE_CHECKING:
    from tankside.app.carry_out_a_run import LiveRun
    from tankside.app.run_by_hand import HandRun
    from tankside.runs.states import RunState

PAUSED, GIVEN_UP = said("the person paused it"), said("the person gave it up")


@dataclass(frozen=True, slots=True)
class Act:
    """What is done on a supply and by hand, and at which stages alone; at all of them where none is
    named: off is always allowed. `dry` where no supply is needed for it."""

    on_supply: "Callable[[LiveRun], None]"
    by_hand: "Callable[[HandRun, float], object]"
    stages: tuple[str, ...] = ()
    dry: bool = False


ACTS: Mapping[str, Act] = {
    "begin": Act(lambda live: live.begin(), lambda hand, at: hand.switched_on(at), ("planned",)),
    "immersed": Act(
        lambda live: live.immersed(), lambda hand, at: hand.immersed(at), ("entry", "paused")
    ),
    "pause": Act(lambda live: live.pause(PAUSED), lambda hand, at: hand.paused(at, PAUSED)),
    "resume": Act(
        lambda live: live.resume(),
        lambda hand, at: hand.resumed(at),
        ("entry", "paused"),
    ),
    "lifted": Act(
        lambda live: live.lifted(),
        lambda hand, at: hand.lifted(at),
        ("entry", "paused", "ended", "aborted"),
        dry=True,
    ),
    "answered": Act(lambda live: live.answered(), lambda hand, at: hand.answered(at), dry=True),
    "abort": Act(lambda live: live.abort(GIVEN_UP), lambda hand, at: hand.aborted(at, GIVEN_UP)),
    "end": Act(
        lambda live: _by_itself(), lambda hand, at: hand.ended(at), ("ramp", "plating", "paused")
    ),
}
"""By the word of the wish. What switches the output on is held to its stages before anything is
sent to the supply."""


def act_of(word: str) -> Act:
    """By its word; UnknownName where there is none."""
    if word not in ACTS:
        raise UnknownName("the wish", word[:40], ACTS)
    return ACTS[word]


def check_stage(word: str, state: "RunState") -> None:
    """BadInput where the run cannot take this now."""
    from tankside.runs.words import STAGES

    stage, stages = state.stage.value, act_of(word).stages
    if stages and stage not in stages:
        raise BadInput("a run that is {stage} cannot take {word!r}", stage=STAGES[stage], word=word)


def _by_itself() -> None:
    raise BadInput("a run on a supply ends by itself; give it up to end it before")
