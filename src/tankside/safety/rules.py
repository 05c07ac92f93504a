"""What may be used at the bench: anodes, base metals, baths, heaters.

Rows of data/rules.toml say allow, mind (with a reason to read) or refuse (with the reason and the
safe way out). What no row names is not guessed at: an anode, bath or heater that is not known is
refused, and an unknown base metal is asked about.
"""

import difflib
import tomllib
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib import resources

from tankside.base.errors import SafetyRefusal, UnknownName
from tankside.base.messages import said
from tankside.base.wording import either, quoting, term


class Kind(StrEnum):
    """What is judged."""

    ANODE = "anode"
    BASE_METAL = "base metal"
    BATH = "bath"
    HEATER = "heater"


class Verdict(StrEnum):
    """What comes of it."""

    ALLOW = "allow"
    MIND = "mind"
    REFUSE = "refuse"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A judgement, its reason and the way out."""

    kind: Kind
    names: tuple[str, ...]
    verdict: Verdict
    reason: str
    way_out: str


def judged(kind: Kind, name: str, *, where: str = "") -> Rule:
    """The rule for a thing that may be used; SafetyRefusal where it must not be.

    Unknown anodes, baths and heaters are refused; an unknown base metal is UnknownName.
    """
    rule = found(kind, name)
    if rule is None:
        raise _unknown(kind, name, where)
    if rule.verdict is Verdict.REFUSE:
        raise SafetyRefusal(
            "{name} must not be used as {use}: {reason}; {way_out}",
            name=term(name),
            use=_AS[kind],
            reason=rule.reason,
            way_out=rule.way_out,
            where=where,
        )
    return rule


def found(kind: Kind, name: str) -> Rule | None:
    """The rule that names a thing, None where there is none."""
    plain = _plain(name)
    for rule in rules():
        if rule.kind is kind and plain in rule.names:
            return rule
    return None


@cache
def rules() -> tuple[Rule, ...]:
    """All rules, in the order of the file."""
    text = resources.files("tankside.safety").joinpath("data/rules.toml").read_text("utf-8")
    return tuple(
        Rule(
            kind=Kind(row["kind"]),
            names=tuple(_plain(name) for name in row["names"]),
            verdict=Verdict(row["verdict"]),
            reason=term(row["reason"]),
            way_out=term(row["way_out"]),
        )
        for row in tomllib.loads(text)["rule"]
    )


_AS = {
    Kind.ANODE: said("an anode"),
    Kind.BASE_METAL: said("the metal under acid copper"),
    Kind.BATH: said("a bath at a bench"),
    Kind.HEATER: said("a heater in acid"),
}


def _unknown(kind: Kind, name: str, where: str) -> SafetyRefusal | UnknownName:
    known = [other for rule in rules() if rule.kind is kind for other in rule.names]
    if kind is Kind.BASE_METAL:
        return UnknownName("base metal", name, known, where=where)
    allowed = [
        other
        for rule in rules()
        if rule.kind is kind and rule.verdict is not Verdict.REFUSE
        for other in rule.names
    ]
    close = difflib.get_close_matches(_plain(name), known, n=2, cutoff=0.6)
    asked = quoting("{name!r} is not known to be safe as {use}", name=name, use=_AS[kind])
    if close:
        asked = quoting("{asked} (did you mean {close}?)", asked=asked, close=_quoted(close))
    return SafetyRefusal(
        "{asked}; what is not known is not put into acid under current: use one of {allowed}",
        asked=asked,
        allowed=", ".join(repr(one) for one in allowed[:4]),
        where=where,
    )


def _quoted(names: list[str]) -> str:
    return either(quoting("{name!r}", name=name) for name in names)


def _plain(name: str) -> str:
    return " ".join(name.strip().lower().replace("_", " ").split())
