"""What is known of a case: what the person says, and what was measured, planned and logged."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import Enum

import numpy as np

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.diagnosis.atlas import Atlas, Likelihood
from tankside.diagnosis.inference import Observed
from tankside.diagnosis.network import Network
from tankside.diagnosis.readings import odds_factors


class Said(Enum):
    """A person's answer. A slight yes weighs less than a yes; unsure weighs nothing."""

    YES = "yes"
    SLIGHT = "slight"
    NO = "no"
    UNSURE = "unsure"


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """An answer to one finding, by the id of a fault or a check."""

    finding: str
    said: Said = Said.YES


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """A number [SI] known to lie in `value`, and where it comes from, in words.

    quantity  as in data/readings.csv
    window    usual ends for the bath at hand, where the rule asks for them
    group     of the faults seen at the place where it was read; "" for numbers of the whole job
    """

    quantity: str
    value: Interval
    origin: str
    window: tuple[float, float] | None = None
    group: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """Everything known of one trouble.

    unasked  the person named faults unasked on their own bench, so that a fault neither named nor
             asked about counts a little as absent; False where only some faults were looked for
    """

    told: tuple[Told, ...] = ()
    measured: tuple[Measured, ...] = ()
    unasked: bool = False

    def added(self, *told: Told) -> "Case":
        """The case with further answers; a later answer to the same finding replaces the first."""
        given = {one.finding: one for one in (*self.told, *told)}
        return replace(self, told=tuple(given.values()))

    def without(self, item: "Told | Measured") -> "Case":
        """The case as it would be without one piece of evidence."""
        return replace(
            self,
            told=tuple(one for one in self.told if one is not item),
            measured=tuple(one for one in self.measured if one is not item),
        )


def observed_in(case: Case, atlas: Atlas, network: Network) -> Observed:
    """The case in numbers. UnknownName where a finding is not in the atlas."""
    refuse_double(case)
    slack = atlas.level(Likelihood.ANSWER, "slight").value.best
    seen = [one for one in case.told if one.said in (Said.YES, Said.SLIGHT)]
    absent = [one for one in case.told if one.said is Said.NO]
    factors = odds_factors(atlas, case.measured)
    spoken = {one.finding for one in case.told}
    silent = [name for name in atlas.faults if case.unasked and name not in spoken]
    return Observed(
        positive=tuple(network.column(one.finding) for one in seen),
        slack=tuple(slack if one.said is Said.SLIGHT else 0.0 for one in seen),
        complaints=tuple(one.finding in atlas.faults for one in seen),
        negative=tuple(network.column(one.finding) for one in absent),
        odds=np.array([factors[name] for name in network.causes]),
        silent=tuple(network.column(name) for name in silent),
        mentioned=atlas.level(Likelihood.ANSWER, "mentioned").value.best,
    )


def complaints_of(case: Case, atlas: Atlas) -> tuple[str, ...]:
    """The faults that the person sees, in the order told."""
    seen = (one.finding for one in case.told if one.said in (Said.YES, Said.SLIGHT))
    return tuple(finding for finding in seen if finding in atlas.faults)


def refuse_double(case: Case) -> None:
    """BadInput where one finding was answered twice."""
    twice = _first_twice(one.finding for one in case.told)
    if twice:
        raise BadInput("{twice!r} was answered twice; give one answer to each", twice=twice)


def _first_twice(names: Iterable[str]) -> str:
    known: set[str] = set()
    for name in names:
        if name in known:
            return name
        known.add(name)
    return ""
