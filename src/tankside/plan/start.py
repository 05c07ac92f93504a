"""A coated part's start as a plan tells it: when copper is where, collars, ramp, warnings."""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Bools
from tankside.base.messages import Quantity, said
from tankside.field.seed.front import Collar, Covering
from tankside.field.seed.ramp import RampCheck, Setting

SHARES = (0.25, 0.5, 0.9, 0.99)
"""Covered shares whose times are told [-]."""


OVER = 1.02
"""What a place may bear with the table of settings, over what the ramp allows [-]."""


COARSE = 2.0
"""Panel size over decay length from which a start is told to be coarse [-]: our choice; with
columns twice the decay length wide a strip's potential errs by 30 %, rms."""


@dataclass(frozen=True, kw_only=True)
class SeedStart:
    """What a plan says of a coated part's start.

    covering    the front and the collars;  front (4, 2): times [s] and shares covered by then [-]
    table       the settings of a knob;  check of the table, grown
    ramp_end    when the full current is reached [s]
    insulated   True on the panels that no current reaches (n,)
    decay_length  over which a bare coat's current falls at first [m];  panel_size of the coat,
                  usual [m]
    """

    covering: Covering
    table: tuple[Setting, ...]
    check: RampCheck
    ramp_end: float
    insulated: Bools
    decay_length: float
    panel_size: float

    @property
    def front(self) -> tuple[tuple[float, float], ...]:
        """Times [s] at which SHARES of the coat are covered; infinite where they never are."""
        return tuple((self.covering.time_of(share), share) for share in SHARES)

    @property
    def collars(self) -> tuple[Collar, ...]:
        """Contact by contact."""
        return self.covering.collars


def start_sentences(start: SeedStart) -> tuple[str, ...]:
    """Warnings that the start calls for."""
    found = list(start.covering.islands)
    for collar in start.collars:
        if collar.risk != "safe":
            found.append(
                said(
                    "around {collar_name} thin copper bears {largest_fraction} of its limiting "
                    "current: give that contact a second wire or more paint",
                    collar_name=collar.name,
                    largest_fraction=f"{collar.largest_fraction:.0%}",
                )
            )
    if not np.isfinite(start.covering.time_of(0.99)):
        share = start.covering.covered_share(float(start.covering.times[-1]))
        found.append(
            said(
                "copper covers only {share} of the coat: add a contact, or paint it anew",
                share=f"{share:.0%}",
            )
        )
    if start.check.largest_load > OVER:
        found.append(
            said(
                "with the table of settings some place bears {largest_load} times what the "
                "ramp allows; stay longer at each setting",
                largest_load=f"{start.check.largest_load:.2f}",
            )
        )
    if start.panel_size > COARSE * start.decay_length:
        found.append(
            said(
                "on bare coat the current falls off within {decay_length}, and the part's "
                "panels are {panel_size} wide: the first minutes of the start depend on the "
                "cut; use more panels",
                decay_length=Quantity(start.decay_length, "mm", 2),
                panel_size=Quantity(start.panel_size, "mm", 2),
            )
        )
    return tuple(found)
