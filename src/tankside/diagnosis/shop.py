"""What a shop's own audits teach about how common each cause is.

An audit says which causes were found in a job, and which were looked for and ruled out. The prior
of a cause is kept as a Beta law that begins as wide as the word behind it ("now and then") and
gains one count for every audit that settled the cause. Nothing else is learned: a bench sees too
few jobs to better the links.

Jobs without trouble count too, with every cause ruled out that the good result rules out; a shop
that records only its failures will believe its causes commoner than they are.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.diagnosis.atlas import Atlas


@dataclass(frozen=True, kw_only=True)
class Audit:
    """What one job turned out to have: causes found, and causes looked for and ruled out."""

    found: frozenset[str] = frozenset()
    ruled_out: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        both = self.found & self.ruled_out
        if both:
            raise BadInput(
                "{both} cannot be both found and ruled out in one job", both=sorted(both)
            )


@dataclass(frozen=True, kw_only=True)
class Counts:
    """In how many audits each cause was found and ruled out."""

    found: Mapping[str, int] = field(default_factory=dict)
    ruled_out: Mapping[str, int] = field(default_factory=dict)


def counted(counts: Counts, audits: Iterable[Audit], atlas: Atlas) -> Counts:
    """The counts with further audits; UnknownName where one names no cause of the atlas."""
    found, ruled_out = dict(counts.found), dict(counts.ruled_out)
    for audit in audits:
        for names, tally in ((audit.found, found), (audit.ruled_out, ruled_out)):
            for name in sorted(names):
                tally[atlas.cause(name).id] = tally.get(name, 0) + 1
    return Counts(found=found, ruled_out=ruled_out)


def learned_priors(counts: Counts, atlas: Atlas) -> dict[str, float]:
    """The shop's prior of every cause that an audit has settled [-], for network_of."""
    settled = {*counts.found, *counts.ruled_out}
    return {name: learned_prior(counts, atlas, name).best for name in sorted(settled)}


def learned_prior(counts: Counts, atlas: Atlas, cause: str) -> Interval:
    """How common a cause is after the audits, with the range it lies in nine times in ten [-]."""
    present, absent = atlas.cause(cause).prior.beta
    present += counts.found.get(cause, 0)
    absent += counts.ruled_out.get(cause, 0)
    best = present / (present + absent)
    from scipy.special import betaincinv  # a server's start need not wait for it

    low, high = (float(betaincinv(present, absent, share)) for share in (0.05, 0.95))
    return Interval(min(low, best), best, max(high, best))
