"""The atlas: faults a person sees, causes behind them, checks that tell causes apart, remedies.

All of it is data (data/*.toml, data/*.csv), each row with its provenance. Likelihoods are a few
words ("often"), mapped to numbers once, in data/levels.csv, with the range in which they are
believed to lie: the network is never more precise than those words. A handbook's row says that a
cause brings a fault about; how often it does is our judgement throughout.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from typing import TypeVar

from tankside.base.errors import UnknownName
from tankside.base.intervals import Interval
from tankside.base.tables import Provenance

_Row = TypeVar("_Row")

NINETY_PERCENT = 1.6448536269514722
"""Half the width of a normal law's middle nine tenths, in standard deviations."""


class Likelihood(Enum):
    """What a word stands for: how often a cause brings a finding, is there at all, and so on."""

    LINK = "link"
    PRIOR = "prior"
    OTHERWISE = "otherwise"
    SEEN = "seen"
    STRENGTH = "strength"
    ANSWER = "answer"


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """A word for a number: the number with its range [-], what it says, where it comes from."""

    kind: Likelihood
    word: str
    value: Interval
    words: str
    provenance: Provenance

    @property
    def beta(self) -> tuple[float, float]:
        """The Beta law of a chance: its mean is the best value, its spread that of a normal law
        with nine tenths of it inside the range; two counts at least."""
        value = self.value
        spread = (value.high - value.low) / (2 * NINETY_PERCENT)
        weight = max(value.best * (1.0 - value.best) / spread**2 - 1.0, 2.0)
        return value.best * weight, (1.0 - value.best) * weight


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """Something seen: its name, look, where on the part, when it appears, how people put it.

    field      the group of place readings that bear on it ("burning", "bare", "none")
    otherwise  how often it is seen without any cause of the atlas
    """

    id: str
    name: str
    look: str
    where: str
    when: str
    said: tuple[str, ...]
    field: str
    otherwise: Level
    provenance: Provenance


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """What can be behind a fault: its name, its kind ("chemistry", "seed coat"), how common it is
    in the jobs of a small shop."""

    id: str
    name: str
    kind: str
    prior: Level
    provenance: Provenance


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """A way to tell causes apart: what to do, what yes and no look like, what it takes.

    effort     until the answer is known [s]
    work       checks of the same work share the making ready
    otherwise  how often the answer is yes although no cause behind it is present
    """

    id: str
    work: str
    effort: float
    materials: str
    do: str
    yes: str
    no: str
    otherwise: Level
    provenance: Provenance


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """How often a cause, where present, brings a finding about: a fault, or the yes of a check."""

    cause: str
    finding: str
    level: Level
    provenance: Provenance


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """What to do against a cause: first on a beaker or coupon, then on the tank.

    adds   what gets into the bath, "" for nothing
    needs  checks whose yes must be there before the second step is offered
    """

    cause: str
    id: str
    adds: str
    needs: tuple[str, ...]
    first: str
    then: str
    side_effect: str
    provenance: Provenance


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """How a number speaks for or against a cause; the law is in readings.py.

    quantity  name of the number; above  True where high values speak for the cause
    middle    where it says nothing [SI], None for the end of the bath family's window
    spread    of the value, or of its logarithm where `logarithmic`
    strength  likelihood ratio far beyond the middle; its inverse far short of it
    group     only for a fault of this group, seen at that place; "" for always
    """

    cause: str
    quantity: str
    above: bool
    middle: float | None
    spread: float
    strength: Level
    logarithmic: bool
    group: str
    why: str
    provenance: Provenance


@dataclass(frozen=True, kw_only=True)
class Atlas:
    """Everything, by id, in the order of the data files."""

    faults: Mapping[str, Fault]
    causes: Mapping[str, Cause]
    checks: Mapping[str, Check]
    links: tuple[Link, ...]
    remedies: tuple[Remedy, ...]
    rules: tuple[Rule, ...]
    levels: tuple[Level, ...]

    def fault(self, name: str) -> Fault:
        """The fault of this id; UnknownName offers close ones."""
        return _of(self.faults, "fault", name)

    def cause(self, name: str) -> Cause:
        """The cause of this id; UnknownName offers close ones."""
        return _of(self.causes, "cause", name)

    def check(self, name: str) -> Check:
        """The check of this id; UnknownName offers close ones."""
        return _of(self.checks, "check", name)

    def remedies_for(self, cause: str) -> tuple[Remedy, ...]:
        """The remedies against one cause."""
        return tuple(remedy for remedy in self.remedies if remedy.cause == cause)

    def level(self, kind: Likelihood, word: str) -> Level:
        """What a word stands for; UnknownName offers close ones."""
        known = {level.word: level for level in self.levels if level.kind is kind}
        return _of(known, f"level of kind {kind.value}", word)


def _of(rows: Mapping[str, _Row], kind: str, name: str) -> _Row:
    if name not in rows:
        raise UnknownName(kind, name, rows)
    return rows[name]
