"""Why rigs that a search tried cannot be, counted by kind."""

from collections.abc import Sequence

from tankside.plan.rigs.trials import Trial


def refused_of(trials: Sequence[Trial]) -> dict[str, int]:
    """Reasons without their numbers, the most frequent first; a start that fails is one."""
    found: dict[str, int] = {}
    for trial in trials:
        refusal = trial.result.refusal
        if trial.result.figures is not None:
            refusal = trial.result.figures.start.failure
        if refusal:
            reason = _kind(refusal)
            found[reason] = found.get(reason, 0) + 1
    return dict(sorted(found.items(), key=lambda entry: (-entry[1], entry[0])))


def _kind(refusal: str) -> str:
    for word, reason in _REASONS:
        if word in refusal:
            return reason
    return "another reason"


_REASONS = (
    ("of the coat", "copper does not cover the coat in time"),
    ("collar burns", "a collar burns while it starts"),
    ("float", "would float"),
    ("trap", "traps air"),
    ("overlaps", "two things in one place"),
    ("touches", "two things touch"),
    ("stands only", "two things touch"),
    ("liquid", "leaves the liquid"),
    ("wall", "leaves the tank"),
    ("floor", "leaves the tank"),
    ("wire", "a wire finds no way"),
    ("contact", "a wire finds no way"),
    ("A ", "beyond the supply"),
)
