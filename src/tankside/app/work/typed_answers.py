"""Use case: one answer of a form while it is typed: how it is understood, or what is wrong with it.

A question's name says what is asked for: a kind of quantity ("mass"); a kind with a spread ("spread
volume"); what is dissolved in a bath ("concentration"); a price ("price of copper").
"""

from dataclasses import dataclass

from tankside.app.bath.entries import concentration_range, ranged, sized
from tankside.app.cost_a_run import PRICES, check_prices
from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.base.units import Kind, quantity

SPREAD, PRICE = "spread ", "price of "
KINDS = {kind.name.lower().replace("_", " "): kind for kind in Kind}
ZERO = ("temperature", "angle", "time", "energy", "area", "mass")
"""Kinds of which none at all is an answer, too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Understood:
    """A quantity as it was read: its kind, and low, best and high [SI]."""

    kind: Kind
    value: Interval


def understood(question: str, text: str) -> Understood | None:
    """How an answer is read; None where there is nothing to say of it: an empty one, or a price.

    UnknownName where there is no such question, BadInput where the answer cannot be read.
    """
    text = text.strip()
    if question.startswith(PRICE) and question.removeprefix(PRICE) in PRICES:
        check_prices({**dict.fromkeys(PRICES, ""), question.removeprefix(PRICE): text})
        return None
    name = question.removeprefix(SPREAD)
    if name not in KINDS and question != "concentration":
        raise UnknownName("the question", question[:40], (*KINDS, "concentration"))
    if not text:
        return None
    if question == "concentration":
        return Understood(kind=Kind.MASS_CONCENTRATION, value=concentration_range(text, where=""))
    kind = KINDS[name]
    found = (
        ranged(text, lambda one: quantity(one, kind, where=""), where="")
        if question.startswith(SPREAD)
        else Interval.exact(quantity(text, kind, where=""))
    )
    sized(found.low, text, kind, zero=name in ZERO, where="")
    return Understood(kind=kind, value=found)


def fault_of(question: str, text: str) -> str:
    """What is wrong with it, in a sentence; "" where nothing is."""
    try:
        understood(question, text)
    except BadInput as error:
        return error.message
    return ""
