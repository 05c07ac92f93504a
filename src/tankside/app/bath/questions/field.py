"""A question about a bath as a form asks it: its fields, each with its words, its reason, and how
an answer is read while it is typed.

Keys are those of the API, too. `option` is what the use cases behind call the same thing, so that
their sentence about it stands at the field.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from tankside.app.bath.entries import concentration_range, ranged, sized
from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.base.units import Kind, quantity
from tankside.base.wording import restated, term
from tankside.substances import molar_mass

Read = tuple[Interval, Kind] | None
"""A value with its ends [SI] and its kind; None where there is nothing to read back."""

Reader = Callable[[str], Read]
Choices = tuple[tuple[str, str], ...]

LONGEST = 4000
"""Characters of an answer beyond which nobody typed it."""


def no_reading(text: str) -> Read:
    """Any text."""
    return None


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One field.

    example    how an answer is written
    usual      the answer that stands where none is given
    option     what the use case calls it, as its errors say
    read       raises BadInput for what cannot be
    choices    answers to choose from, each with its words
    printed    True where the choices stand so on the glass or bottle, whatever the reader's units
    listed     "products" or "substances" where names are offered while typing
    needed     False where it may be left empty
    lines      True for several lines
    tick       True for a box to tick; the answer is then "yes" or ""
    """

    key: str
    words: str
    help: str = ""
    example: str = ""
    usual: str = ""
    option: str = ""
    read: Reader = no_reading
    choices: Choices = ()
    printed: bool = False
    listed: str = ""
    needed: bool = False
    lines: bool = False
    tick: bool = False

    def checked(self, text: str) -> Read:
        """What an answer reads as; BadInput in a sentence without its place."""
        text = text.strip() or self.usual
        if len(text) > LONGEST:
            raise BadInput("that is longer than anybody types; shorten it")
        if not text:
            if self.needed:
                words = term(self.words)
                if not self.example:
                    raise BadInput("{words}: fill this in", words=words)
                raise BadInput(
                    "{words}: fill this in, such as {example!r}", words=words, example=self.example
                )
            return None
        if self.tick:
            return None
        if self.choices:
            known = [value for value, _ in self.choices]
            if text not in known:
                raise UnknownName("the answer", text[:60], [one for one in known if one])
            return None
        try:
            return self.read(text)
        except BadInput as error:
            raise BadInput(self._with_own_example(error.message)) from error

    def _with_own_example(self, said: str) -> str:
        """A sentence whose general example ("18 L") gives way to the field's ("17.35 mL")."""
        return restated(said, example=self.example) if self.example else said


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Fields that stand together; `words` "" without a heading, `more` where they stand folded."""

    fields: tuple[Asked, ...]
    words: str = ""
    more: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """A form: its groups, and its fields by key."""

    name: str
    words: str
    groups: tuple[Group, ...]
    by_key: dict[str, Asked] = field(init=False)

    def __post_init__(self) -> None:
        found = {one.key: one for group in self.groups for one in group.fields}
        object.__setattr__(self, "by_key", found)

    def key_of(self, option: str) -> str:
        """The key of the field that a use case calls so; "" where it is none."""
        return next(
            (one.key for one in self.by_key.values() if option and option == one.option), ""
        )


def size(kind: Kind, *, zero: bool = False) -> Reader:
    """Reads a quantity without a spread."""

    def read(text: str) -> Read:
        value = sized(quantity(text, kind, where=""), text, kind, zero=zero, where="")
        return Interval.exact(value), kind

    return read


def spread_size(kind: Kind) -> Reader:
    """Reads a quantity with or without a spread."""

    def read(text: str) -> Read:
        return ranged(text, lambda one: quantity(one, kind, where=""), where=""), kind

    return read


def dissolved(formula: str, *, sure: bool = False) -> Reader:
    """Reads what a bath holds of a substance; with `sure` its spread must be said."""

    def read(text: str) -> Read:
        value = concentration_range(text, where="", molar_mass=molar_mass(formula))
        if sure and not value.high > value.low:
            raise BadInput("say how sure {text!r} is, such as '52 ± 2 g/L'", text=text)
        return value, Kind.MASS_CONCENTRATION

    return read


def share(text: str) -> Read:
    """Reads a share from 0 to 100 %."""
    value = quantity(text, Kind.FRACTION, where="")
    if not 0.0 <= value <= 1.0:
        raise BadInput("{text!r} is not between 0 and 100 %", text=text)
    return Interval.exact(value), Kind.FRACTION


def whole(low: int, high: int) -> Reader:
    """Reads a whole number."""

    def read(text: str) -> Read:
        if not text.isascii() or not text.isdecimal() or not low <= int(text) <= high:
            raise BadInput(
                "{text!r} is no whole number from {low} to {high}", text=text, low=low, high=high
            )
        return None

    return read


def named(values: Sequence[str], words: Callable[[str], str] = lambda name: name) -> Choices:
    """Choices from names."""
    return tuple((one, words(one)) for one in values)
