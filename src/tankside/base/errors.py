"""Every error that Tankside raises on purpose.

    TanksideError
    ├── BadInput            what was given is wrong                      exit status 2
    │   ├── UnknownName     a name that is not known; offers close ones
    │   └── MeshDefect      a mesh that cannot be used as asked
    ├── Impossible          right in form, but the bench cannot do it    exit status 3
    │   └── SafetyRefusal   could be done, and must not be
    ├── MissingData         no published value is held for this
    ├── OutsideValidity     a law was asked beyond the range it was measured in
    ├── NotConverged        an iteration ended short of its tolerance
    ├── HardwareFault       a supply, a link or a sensor failed
    └── Cancelled           the person stopped the work

Each also inherits the nearest builtin, so that a caller who knows only Python still catches it.
A message is one sentence or two: what was given, which limit it met, and what to do. It is
made from words and values, `BadInput("{file!r} has no {thing}", file=name, thing=said("unit"))`,
and keeps them: an error's text is a sentence that a page can tell in its reader's words and units.
"""

import difflib
from collections.abc import Iterable

from tankside.base.wording import quoting, term


class TanksideError(Exception):
    """Root of all errors raised on purpose. The catalogue holds the words of its place where they
    are no name of a file, a key or an option."""

    def __init__(self, words: str, /, *, where: str = "", **values: object) -> None:
        self.message = quoting(words, **values) if values else term(words)
        self.where = term(where) if where else ""
        super().__init__(str(self))

    def __str__(self) -> str:
        """Its place and its message, with their parts."""
        if not self.where:
            return self.message
        return quoting("{where}: {message}", where=self.where, message=self.message)

    def place_within(self, where: str) -> None:
        """Puts what its place lies in before that."""
        self.where = (
            quoting("{around}: {where}", around=term(where), where=self.where)
            if self.where
            else term(where)
        )


class BadInput(TanksideError, ValueError):
    """What was given is wrong; `where` says in which file, table and key."""


class UnknownName(BadInput, LookupError):
    """A name that is not known. Carries its `kind`, what was `given`, all that are `known`, and up
    to three close `candidates`."""

    def __init__(self, kind: str, given: str, known: Iterable[str], *, where: str = "") -> None:
        names = sorted(known)
        self.kind = kind
        self.given = given
        self.known = tuple(names)
        self.candidates = tuple(difflib.get_close_matches(given, names, n=3, cutoff=0.5))
        super().__init__(
            quoting(
                "{kind} {given!r} is not known; {hint}",
                kind=term(kind),
                given=given,
                hint=_hint(self.candidates, names),
            ),
            where=where,
        )


def _hint(close: tuple[str, ...], known: Iterable[str]) -> str:
    match close:
        case (one,):
            return quoting("did you mean {one!r}?", one=one)
        case (one, other):
            return quoting("did you mean {one!r} or {other!r}?", one=one, other=other)
        case (one, other, third):
            return quoting(
                "did you mean {one!r} or {other!r} or {third!r}?", one=one, other=other, third=third
            )
    names = list(known)
    if len(names) > _MOST_NAMES:
        return quoting(
            "known are {names} and {more} more.",
            names=", ".join(map(repr, names[:_MOST_NAMES])),
            more=len(names) - _MOST_NAMES,
        )
    return quoting("known are {names}.", names=", ".join(map(repr, names)))


_MOST_NAMES = 20
"""That a sentence lists; of more, it says how many there are."""


class MeshDefect(BadInput):
    """A mesh that cannot be used as asked."""


class Impossible(TanksideError, ValueError):
    """Right in form, but the bench cannot do it."""


class SafetyRefusal(Impossible):
    """Could be done, and must not be; the message gives the reason and the safe way out."""


class MissingData(TanksideError, LookupError):
    """No published value is held for what was asked."""


class OutsideValidity(TanksideError, ValueError):
    """A law was asked for a value beyond the range it was measured in."""


class NotConverged(TanksideError, ArithmeticError):
    """An iteration ended short of its tolerance; says what was reached."""

    def __init__(
        self,
        words: str,
        /,
        *,
        residual: float,
        iterations: int,
        where: str = "",
        **values: object,
    ) -> None:
        self.residual = residual
        self.iterations = iterations
        super().__init__(
            quoting(
                "{message} (residual {residual:.2e} after {iterations} iterations)",
                message=quoting(words, **values),
                residual=residual,
                iterations=iterations,
            ),
            where=where,
        )


class HardwareFault(TanksideError, OSError):
    """A supply, a link or a sensor failed."""


class Cancelled(TanksideError):
    """The person stopped the work; nothing was written."""
