"""Use case: one answer of a form while it is typed: how it is understood, or what is wrong with it.

A question's name says what is asked for: a kind of quantity ("mass"); a kind with a spread ("spread
volume"); what is dissolved in a bath ("concentration"); what goes in of a bottle, by weight or by
volume ("amount"); a price ("price of copper"); when something happened ("moment"); a number that
bears on a trouble ("trouble level_drop").
"""

import time
from dataclasses import dataclass

from tankside.app.bath.entries import concentration_range, ranged, sized
from tankside.app.bath.moments import moment
from tankside.app.cost_a_run import PRICES, check_prices
from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.base.units import Kind, quantity

SPREAD, PRICE, TROUBLE = "spread ", "price of ", "trouble "
KINDS = {kind.name.lower().replace("_", " "): kind for kind in Kind}
ZERO = ("temperature", "angle", "time", "energy", "area", "mass")
"""Kinds of which none at all is an answer, too."""
OTHERS = ("concentration", "amount", "moment")
"""What is asked for that is no kind of quantity."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Understood:
    """A quantity as it was read: its kind, and low, best and high [SI]."""

    kind: Kind
    value: Interval


def understood(question: str, text: str) -> Understood | None:
    """How an answer is read; None where there is nothing to say of it: an empty one, a price, a
    moment, a bare ratio.

    UnknownName where there is no such question, BadInput where the answer cannot be read.
    """
    text = text.strip()
    if question.startswith(PRICE) and question.removeprefix(PRICE) in PRICES:
        check_prices({**dict.fromkeys(PRICES, ""), question.removeprefix(PRICE): text})
        return None
    name = question.removeprefix(SPREAD)
    if name not in KINDS and question not in OTHERS and not question.startswith(TROUBLE):
        raise UnknownName("the question", question[:40], (*KINDS, *OTHERS))
    if not text:
        return None
    if question.startswith(TROUBLE):
        return _of_trouble(question.removeprefix(TROUBLE), text)
    if question == "moment":
        moment(text, now=time.time(), where="")
        return None
    if question == "concentration":
        return Understood(kind=Kind.MASS_CONCENTRATION, value=concentration_range(text, where=""))
    if question == "amount":
        return _amount(text)
    return _sized(KINDS[name], text, spread=question.startswith(SPREAD), zero=name in ZERO)


def _of_trouble(name: str, text: str) -> Understood | None:
    from tankside.app.measured_values import measured_value  # reads the atlas's own numbers
    from tankside.diagnosis.numbers_in_words import shown_as

    value = measured_value(name, text)
    kind = shown_as(name).kind
    return None if kind is None else Understood(kind=kind, value=value)


def _amount(text: str) -> Understood:
    """So much of a bottle: a mass, or the volume of a liquid."""
    try:
        return _sized(Kind.MASS, text, spread=True)
    except BadInput:
        return _sized(Kind.VOLUME, text, spread=True)


def _sized(kind: Kind, text: str, *, spread: bool, zero: bool = False) -> Understood:
    found = (
        ranged(text, lambda one: quantity(one, kind, where=""), where="")
        if spread
        else Interval.exact(quantity(text, kind, where=""))
    )
    sized(found.low, text, kind, zero=zero, where="")
    return Understood(kind=kind, value=found)


def fault_of(question: str, text: str) -> str:
    """What is wrong with it, in a sentence; "" where nothing is."""
    try:
        understood(question, text)
    except BadInput as error:
        return error.message
    return ""
