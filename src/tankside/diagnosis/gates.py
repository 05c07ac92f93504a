"""No remedy that harms comes out, and no check.

Two walls. First, what a remedy adds decides what must have been measured before, and what its words
must say: chloride and acid only by measurement, acid into the bath and never the other way round.
Second, words that no remedy may hold at all, whatever it is for, nor any check. One that breaks a
wall is refused when the atlas is read, and a remedy again before it is offered.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from tankside.base.errors import SafetyRefusal
from tankside.diagnosis.atlas import Check, Remedy


@dataclass(frozen=True, slots=True, kw_only=True)
class Addition:
    """What must hold before a substance goes into the tank: one of these checks has said yes (any
    check where the set is empty but `measured`), and the second step holds all these words."""

    measured: bool
    checks: frozenset[str] = frozenset()
    words: tuple[str, ...] = ()


ADDITIONS: Mapping[str, Addition] = {
    "": Addition(measured=False),
    "water": Addition(measured=True, words=("distilled",)),
    "copper sulfate": Addition(measured=True, checks=frozenset({"copper-below"})),
    "sulfuric acid": Addition(
        measured=True,
        checks=frozenset({"acid-below"}),
        words=("goggles", "gloves", "to the moving bath", "portions", "never water into acid"),
    ),
    "chloride": Addition(
        measured=True,
        checks=frozenset({"chloride-below"}),
        words=("measured chloride", "measure again"),
    ),
    "brightener": Addition(
        measured=True, checks=frozenset({"panel-brightener"}), words=("half", "panel")
    ),
    "suppressor": Addition(
        measured=True, checks=frozenset({"panel-suppressor"}), words=("half", "panel")
    ),
    "activated carbon": Addition(measured=True),
}
"""All that a remedy may add; anything else is refused."""

FORBIDDEN: tuple[tuple[str, str], ...] = (
    (r"(?<!never )water (in)?to (the |strong |concentrated )?acid", "it can boil and spit"),
    (r"\bpour\b[^.]*\bacid\b", "acid is added in a thin stream, in portions, to the moving bath"),
    (r"\b(bleach|hypochlorite|chlorine)\b", "with acid it gives chlorine gas"),
    (r"\b(cyanide|chromic|chromate|hydrofluoric|fluoborate)\b", "this is for licensed platers"),
    (r"\b(nitric|peroxide|permanganate)\b", "it makes toxic fumes or runs away with organics"),
    (r"\b(stainless|lead anode|lead strip|graphite anode|inert anode|platini[sz]ed|titanium)\b",
     "insoluble and unknown anodes make mist, gas or poison the bath"),
    (r"\b(sink|toilet|sewer|gutter|flush|down the drain|on the ground|into the drain)\b",
     "copper poisons water life"),
    (r"\bby (feel|eye|guess|taste)\b", "what goes into the bath is measured"),
    (r"\ba (pinch|splash|dash|glug) of\b", "what goes into the bath is measured"),
    (r"\bbare hands?\b(?! is)", "bath and acid hurt skin"),
    (r"(?<!away from )(?<!no )\bflames?\b", "solvents catch fire"),
)  # fmt: skip
"""Patterns that no remedy and no check may hold, each with its reason."""

FORBIDDEN_IN_REMEDIES = (
    (r"\bsilver (sulfate|nitrate)\b", "costly, toxic, and no work for a small bench"),
)
"""And those that may stand in a check of a few drops, but never go into a bath."""


def refuse_harm(remedy: Remedy, checks: Mapping[str, Check]) -> None:
    """SafetyRefusal where a remedy could do harm; says which wall it met and why."""
    addition = ADDITIONS.get(remedy.adds)
    if addition is None:
        raise _refusal(remedy, f"{remedy.adds!r} is nothing that a remedy may add to a bath")
    if addition.measured and not remedy.needs:
        raise _refusal(remedy, f"{remedy.adds} is added only after a check has shown the need")
    if addition.checks and not addition.checks & set(remedy.needs):
        wanted = " or ".join(sorted(addition.checks))
        raise _refusal(remedy, f"{remedy.adds} is added only after the check {wanted}")
    if unknown := set(remedy.needs) - checks.keys():
        raise _refusal(remedy, f"it leans on checks that do not exist: {sorted(unknown)}")
    for words in addition.words:
        if words not in remedy.then.lower():
            raise _refusal(remedy, f"the step on the tank must say {words!r}")
    if not remedy.first.strip():
        raise _refusal(remedy, "it goes to the tank without a beaker or coupon first")
    text = f"{remedy.first} {remedy.then} {remedy.side_effect}"
    if why := _harm_in(text, FORBIDDEN + FORBIDDEN_IN_REMEDIES):
        raise _refusal(remedy, why)


def refuse_harmful_check(check: Check) -> None:
    """SafetyRefusal where what a check asks for could do harm."""
    if why := _harm_in(f"{check.do} {check.materials}", FORBIDDEN):
        raise SafetyRefusal("check {check!r} is not asked for: {why}", check=check.id, why=why)


def _harm_in(text: str, patterns: tuple[tuple[str, str], ...]) -> str:
    for pattern, reason in patterns:
        if found := re.search(pattern, text.lower()):
            return f"it says {found.group(0)!r}: {reason}"
    return ""


def _refusal(remedy: Remedy, why: str) -> SafetyRefusal:
    return SafetyRefusal("remedy {remedy!r} is not offered: {why}", remedy=remedy.id, why=why)
