"""A sentence that keeps the words and the values it was made from.

`Said` is the text; who knows its reader puts it together anew from its parts (messages.py). Here
are also the sentences of errors, which quote what was given as an f-string would: `quoting`.
"""

from collections.abc import Iterable, Mapping
from functools import reduce
from string import Formatter
from typing import Any

Words = str | tuple[str, str]
"""English with names in braces; or one such for one and one for many, by the value `count`."""


class Said(str):
    """A sentence of the core. `words` it was made from, `values` by name."""

    words: Words
    values: Mapping[str, Any]

    def __new__(cls, text: str, words: Words, values: Mapping[str, Any]) -> "Said":
        """From its text and its parts."""
        made = super().__new__(cls, text)
        made.words, made.values = words, values
        return made

    def __getnewargs__(self) -> tuple[str, Words, Mapping[str, Any]]:  # type: ignore[override]
        """For copies, and for worker processes."""
        return str(self), self.words, self.values


class Amount:
    """What is told in the reader's units: messages.Quantity."""

    __slots__ = ()


def quoting(words: str, /, **values: object) -> str:
    """A sentence from English words, with {names} where the values go, each written as Python
    writes it: `{file!r}` in quotes, `{share:.0f}` rounded, a whole number without thousands' marks.

    Sentences and quantities among the values keep their parts; several in a tuple are joined by
    "and". Without values the words are the sentence, whatever braces they hold.
    """
    if not values:
        return words
    formats = {name: (kind, spec) for _, name, spec, kind in Formatter().parse(words) if name}
    held = {name: _held(value, *formats.get(name, (None, ""))) for name, value in values.items()}
    return Said(words.format_map(held_as_written(held)), words, held)


def term(words: str) -> str:
    """Words that the catalogue holds by themselves, such as those of a kind of quantity."""
    return words if isinstance(words, Said) else Said(words, words, {})


def restated(sentence: str, /, **values: str) -> str:
    """The sentence with other texts for those of its values that it has, also deep inside."""
    if not isinstance(sentence, Said) or not isinstance(sentence.words, str):
        return sentence
    held = {
        name: values.get(name, restated(value, **values) if isinstance(value, Said) else value)
        for name, value in sentence.values.items()
    }
    return Said(sentence.words.format_map(held_as_written(held)), sentence.words, held)


def strung(sentences: Iterable[str]) -> str:
    """Sentences one after another, with semicolons between them."""
    return reduce(
        lambda first, second: quoting("{first}; {second}", first=first, second=second), sentences
    )


def either(names: Iterable[str]) -> str:
    """Several, of which one: "a or b"."""
    return reduce(
        lambda first, other: quoting("{first} or {other}", first=first, other=other), names
    )


def both(names: Iterable[str]) -> str:
    """Several together: "a and b"."""
    return reduce(
        lambda first, other: quoting("{first} and {other}", first=first, other=other), names
    )


def in_a_row(names: Iterable[str]) -> str:
    """Several in a list: "a, b"."""
    return reduce(lambda first, other: quoting("{first}, {other}", first=first, other=other), names)


def held_as_written(values: Mapping[str, object]) -> dict[str, object]:
    """Values for `format_map`: each is written already, so that no format of the words is done
    again."""
    return {name: _AsWritten(_joined(value)) for name, value in values.items()}


class _AsWritten(str):
    """Text to which no format is done."""

    __slots__ = ()

    def __repr__(self) -> str:
        return str(self)

    def __format__(self, spec: str) -> str:
        return str(self)


def _held(value: object, kind: str | None, spec: str | None) -> object:
    if isinstance(value, Amount) or (isinstance(value, tuple) and not (kind or spec)):
        return value
    if isinstance(value, Exception) and kind != "r":
        value = str(value)  # one of ours keeps its parts
    if isinstance(value, Said):
        return _in_quotes(value) if kind == "r" else value
    return repr(value) if kind == "r" else format(value, spec or "")


def _in_quotes(sentence: Said) -> Said:
    text = repr(sentence)
    return Said(text, f"{text[0]}{{quoted}}{text[-1]}", {"quoted": sentence})


def _joined(value: object) -> str:
    if not isinstance(value, tuple):
        return str(value)
    first, last = [str(one) for one in value[:-1]], str(value[-1])
    return f"{', '.join(first)} and {last}" if first else last
