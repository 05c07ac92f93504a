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
A message is one sentence or two: what was given, which limit it met, and what to do.
"""

import difflib
from collections.abc import Iterable


class TanksideError(Exception):
    """Root of all errors raised on purpose."""

    def __init__(self, message: str, *, where: str = "") -> None:
        self.message = message
        self.where = where
        super().__init__(f"{where}: {message}" if where else message)


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
        if self.candidates:
            hint = "did you mean " + " or ".join(repr(name) for name in self.candidates) + "?"
        else:
            hint = "known are " + ", ".join(repr(name) for name in names) + "."
        super().__init__(f"{kind} {given!r} is not known; {hint}", where=where)


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

    def __init__(self, message: str, *, residual: float, iterations: int, where: str = "") -> None:
        self.residual = residual
        self.iterations = iterations
        super().__init__(
            f"{message} (residual {residual:.2e} after {iterations} iterations)", where=where
        )


class HardwareFault(TanksideError, OSError):
    """A supply, a link or a sensor failed."""


class Cancelled(TanksideError):
    """The person stopped the work; nothing was written."""
