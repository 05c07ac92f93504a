"""Answers as typed, checked field by field; and errors of the use cases, told at their fields."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass

from tankside.app.bath.questions.all import QUESTIONS
from tankside.app.bath.questions.field import Question
from tankside.app.work.plan_form import FormFault
from tankside.base.errors import BadInput, UnknownName
from tankside.base.units import UnitSystem, told
from tankside.base.wording import quoting


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """One answer: what is wrong with it in a sentence, or how it was read; both may be ""."""

    fault: str = ""
    read: str = ""


def question_of(name: str) -> Question:
    """The question of this name."""
    if name not in QUESTIONS:
        raise UnknownName("the question", name[:40], QUESTIONS)
    return QUESTIONS[name]


def checked(name: str, key: str, text: str, units: UnitSystem = UnitSystem.METRIC) -> Checked:
    """One answer while it is typed."""
    field = question_of(name).by_key.get(key)
    if field is None:
        return Checked(fault=quoting("this form has no field {key!r}", key=key[:40]))
    try:
        found = field.checked(text)
    except BadInput as error:
        return Checked(fault=error.message)
    if found is None or not text.strip():
        return Checked()
    value, kind = found
    words = told(value.best, kind, units)
    if value.high > value.low:
        words += f" ({told(value.low, kind, units)} to {told(value.high, kind, units)})"
    return Checked(read=words)


def answers_of(question: Question, typed: Mapping[str, str]) -> dict[str, str]:
    """Every answer, stripped, the usual one where none was typed; FormFault with a sentence for
    each that cannot be."""
    strange = [key for key in typed if key not in question.by_key]
    faults = {key[:40]: quoting("this form has no field {key!r}", key=key[:40]) for key in strange}
    found = {}
    for key, field in question.by_key.items():
        text = typed.get(key, "").strip()
        try:
            field.checked(text)
        except BadInput as error:
            faults[key] = error.message
        found[key] = text or field.usual
    if faults:
        raise FormFault(faults)
    return found


@contextmanager
def told_at_fields(question: Question) -> Iterator[None]:
    """What a use case refuses within stands at the field that it is about."""
    try:
        yield
    except FormFault:
        raise
    except BadInput as error:
        raise FormFault({question.key_of(error.where): error.message}) from error
