"""The atlas as a network: causes above, findings below, each finding a noisy-or of its causes.

A finding is there unless its leak and every cause that is present all fail to bring it about:

    P(no finding | causes) = (1 - leak) * product over present causes of (1 - link)

Causes are independent beforehand and several may be present at once. What is observed is the
person's answer: a fault that is there is noticed with a chance below one, and one that is not there
is now and then imagined, so a fault's links are scaled and its leak raised by the two "answer"
levels. A check's links already are what its answer is worth.

Source: Pearl, Probabilistic Reasoning in Intelligent Systems, 1988, section 4.3 (from memory).
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from tankside.base.arrays import Floats, frozen_floats
from tankside.base.errors import BadInput, UnknownName
from tankside.diagnosis.atlas import Atlas, Level, Likelihood

ALMOST_SURE = 1.0 - 1e-9
"""No chance of the network reaches one."""


@dataclass(frozen=True, kw_only=True)
class Network:
    """Chances [-]: `priors` (causes,), `links` (causes, findings), `leaks` (findings,)."""

    causes: tuple[str, ...]
    findings: tuple[str, ...]
    priors: Floats
    links: Floats
    leaks: Floats

    def __post_init__(self) -> None:
        for name in ("priors", "links", "leaks"):
            values = frozen_floats(getattr(self, name))
            if not ((values >= 0.0) & (values < 1.0)).all():
                raise BadInput("the network's {name} must be chances from 0 to below 1", name=name)
            object.__setattr__(self, name, values)
        shapes = (self.priors.shape, self.links.shape, self.leaks.shape)
        wanted = (len(self.causes),), (len(self.causes), len(self.findings)), (len(self.findings),)
        if shapes != wanted:
            raise BadInput(
                "the network's arrays have shapes {shapes}, not {wanted}",
                shapes=shapes,
                wanted=wanted,
            )

    @cached_property
    def _columns(self) -> Mapping[str, int]:
        return {name: k for k, name in enumerate(self.findings)}

    @cached_property
    def _rows(self) -> Mapping[str, int]:
        return {name: k for k, name in enumerate(self.causes)}

    def column(self, finding: str) -> int:
        """The number of a finding; UnknownName offers close ones."""
        if finding not in self._columns:
            raise UnknownName("finding", finding, self.findings)
        return self._columns[finding]

    def row(self, cause: str) -> int:
        """The number of a cause; UnknownName offers close ones."""
        if cause not in self._rows:
            raise UnknownName("cause", cause, self.causes)
        return self._rows[cause]


def network_of(atlas: Atlas, priors: Mapping[str, float] | None = None) -> Network:
    """The network of the atlas at the best value of every level; `priors` [-] by cause replace the
    atlas's own, as a shop's audits teach them (shop.py).

    Best values are means. The chance of any evidence is linear in each link, leak and prior, so for
    one case this is the exact average over all networks that independent rows allow.
    """
    return _network(atlas, priors or {}, lambda level: level.value.best)


def drawn_network(
    atlas: Atlas, generator: np.random.Generator, priors: Mapping[str, float] | None = None
) -> Network:
    """One network of those that the levels' ranges allow, each row drawn on its own from the Beta
    law of its word. Replaced `priors` are kept as given."""

    def drawn(level: Level) -> float:
        return min(float(generator.beta(*level.beta)), ALMOST_SURE)

    return _network(atlas, priors or {}, drawn)


def _network(atlas: Atlas, priors: Mapping[str, float], value: Callable[[Level], float]) -> Network:
    causes, findings = tuple(atlas.causes), (*atlas.faults, *atlas.checks)
    row = {name: k for k, name in enumerate(causes)}
    column = {name: k for k, name in enumerate(findings)}
    links = np.zeros((len(causes), len(findings)))
    for link in atlas.links:
        links[row[link.cause], column[link.finding]] = value(link.level)
    otherwise = [fault.otherwise for fault in atlas.faults.values()]
    otherwise += [check.otherwise for check in atlas.checks.values()]
    leaks = np.array([value(level) for level in otherwise])
    noticed = value(atlas.level(Likelihood.ANSWER, "noticed"))
    imagined = value(atlas.level(Likelihood.ANSWER, "imagined"))
    faults = len(atlas.faults)
    links[:, :faults] *= noticed
    leaks[:faults] = 1.0 - (1.0 - noticed * leaks[:faults]) * (1.0 - imagined)
    chances = [priors.get(name, value(cause.prior)) for name, cause in atlas.causes.items()]
    return Network(
        causes=causes,
        findings=findings,
        priors=np.array(chances),
        links=links,
        leaks=leaks,
    )
