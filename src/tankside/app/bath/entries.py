"""A table of texts as a person typed them, read key by key.

What lacks, is strange, or cannot be read gets one sentence that says in which file, table and key.
Values are texts with units; a number without quotes is refused, because its unit is not said.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.base.units import Kind, bath_concentration, quantity, spread
from tankside.base.wording import term


@dataclass(frozen=True, slots=True, kw_only=True)
class Entries:
    """A table as typed, and where it stands, for the error's sentence."""

    table: Mapping[str, object]
    where: str

    def only(self, *keys: str, what: str = "key") -> "Entries":
        """These entries; UnknownName for a key that is none of `keys`."""
        for key in self.table:
            if key not in keys:
                raise UnknownName(what, key, keys, where=self.where)
        return self

    def __contains__(self, key: str) -> bool:
        return key in self.table

    def place(self, key: str) -> str:
        """Where a key stands, in words."""
        return f"{self.where} {key}".strip()

    def text(self, key: str, default: str | None = None) -> str:
        """A text; BadInput where it lacks without a `default`, or is none."""
        if key not in self.table:
            if default is None:
                raise BadInput("{key!r} is missing; add it", key=key, where=self.where)
            return default
        given = self.table[key]
        if not isinstance(given, str):
            raise BadInput(
                "write a text in quotes, not {given!r}", given=given, where=self.place(key)
            )
        return given

    def texts(self, key: str) -> tuple[str, ...]:
        """One text or a list of them; none where the key lacks."""
        given = self.table.get(key, ())
        many = [given] if isinstance(given, str) else given
        if not isinstance(many, list | tuple) or not all(isinstance(one, str) for one in many):
            raise BadInput(
                "write texts in quotes, not {given!r}", given=given, where=self.place(key)
            )
        return tuple(many)

    def switch(self, key: str, default: bool = False) -> bool:
        """True or false, also as yes and no."""
        given = self.table.get(key, default)
        if isinstance(given, bool):
            return given
        if isinstance(given, str) and given.strip().lower() in ("yes", "true", "no", "false"):
            return given.strip().lower() in ("yes", "true")
        raise BadInput("say yes or no, not {given!r}", given=given, where=self.place(key))

    def quantity(
        self, key: str, kind: Kind, default: str | None = None, *, zero: bool = False
    ) -> float:
        """A quantity of a kind [SI]: above zero, or with `zero` from zero up (a temperature may be
        whatever it is)."""
        given = self.table.get(key, default)
        if given is None:
            raise BadInput(
                "{key!r} is missing; write for example {example!r}",
                key=key,
                example=kind.example,
                where=self.where,
            )
        return sized(quantity(given, kind, where=self.place(key)), given, kind, zero=zero,
                     where=self.place(key))  # fmt: skip

    def maybe(self, key: str, kind: Kind, *, zero: bool = False) -> float | None:
        """The same, None where the key lacks."""
        return self.quantity(key, kind, zero=zero) if key in self.table else None

    def range(self, key: str, kind: Kind) -> Interval:
        """A quantity with its spread, as "8 ± 0.2 L" or "7.8-8.2 L"; exact where none is typed."""
        return ranged(
            self.text(key), lambda one: quantity(one, kind, where=self.place(key)),
            where=self.place(key),
        )  # fmt: skip

    def concentration(self, key: str, molar_mass: float | None = None) -> Interval:
        """What is dissolved in a bath [kg m⁻³], likewise."""
        return concentration_range(self.text(key), where=self.place(key), molar_mass=molar_mass)


def sized(value: float, given: object, kind: Kind, *, zero: bool, where: str) -> float:
    """The value; BadInput where it is below zero, or zero where that is nothing."""
    if kind is Kind.TEMPERATURE:
        if value < 0.0:
            raise BadInput("{given!r} is colder than anything can be", given=given, where=where)
        return value
    if value < 0.0 or (value == 0.0 and not zero):
        need = term("zero or more" if zero else "above zero")
        raise BadInput(
            "{given!r}: {kind} here is {need}",
            given=given,
            kind=term(kind.words),
            need=need,
            where=where,
        )
    return value


def ranged(text: str, read: Callable[[str], float], *, where: str) -> Interval:
    """A text with or without a spread, each end read by `read`; exact where no spread is typed."""
    written = spread(text, where=where)
    if not written.stated:
        return Interval.exact(read(text))
    if written.least or written.most:
        raise BadInput(
            "{text!r} has one end; write both, such as '50-60 {unit}'",
            text=text,
            unit=written.unit,
            where=where,
        )
    ends = (written.value.low, written.value.best, written.value.high)
    return Interval(*(read(f"{end!r} {written.unit}") for end in ends))


def concentration_range(text: str, *, where: str, molar_mass: float | None = None) -> Interval:
    """What is dissolved in a bath [kg m⁻³] with its spread; BadInput below zero."""
    found = ranged(
        text,
        lambda one: bath_concentration(one, where=where, molar_mass=molar_mass),
        where=where,
    )
    if found.low < 0.0:
        raise BadInput("{text!r}: a bath cannot hold less than nothing", text=text, where=where)
    return found


def pairs(texts: Sequence[str], *, where: str) -> dict[str, str]:
    """Entries as typed on a command line, KEY=VALUE each; BadInput for others and for doubles."""
    found: dict[str, str] = {}
    for text in texts:
        key, equals, value = text.partition("=")
        key = key.strip()
        if not (equals and key and value.strip()):
            raise BadInput(
                '{text!r} is no KEY=VALUE; write for example volume="500 mL"',
                text=text,
                where=where,
            )
        if key in found:
            raise BadInput("{key!r} is given twice", key=key, where=where)
        found[key] = value.strip()
    return found
