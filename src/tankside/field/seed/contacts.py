"""Where wires hold a coated part: the panels under each, and what stands between wire and coat.

A contact covers the panels whose centroids lie within its radius, or the nearest panel where none
does. Covered panels are one terminal. Where they reach farther than the wire does, the spread of
current that the panels are too coarse for is put back as ln(r / a) / (2 pi sigma), the resistance
between circles of the wire's radius a and of r, which stands for the covered panels in the linear
elements of sheet.py: by the lattice's Green function 1.46 times the radius of their area for one
equilateral panel, 1.57 for one half of a square, 1.09 for a hexagon of six.
"""

from dataclasses import dataclass
from math import log, pi, sqrt

import numpy as np

from tankside.base.arrays import Bools, Floats, Ints, frozen_floats
from tankside.base.errors import BadInput
from tankside.field.panels import Panels

_SPREAD_BETTER = 0.5
"""By how much one covered panel spreads current better than a circle of its area [-]."""


@dataclass(frozen=True, kw_only=True)
class ShellContact:
    """A wire on a coat: its name in sentences, the place (3,) [m], the radius of its footprint [m],
    and the resistance between wire and coat [ohm]."""

    name: str
    position: Floats
    radius: float
    resistance: float = 0.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "position", frozen_floats(self.position))
        if not self.radius > 0:
            raise BadInput(
                "{name} needs a radius above zero, not {radius!r} m",
                name=self.name,
                radius=self.radius,
            )
        if not self.resistance >= 0:
            raise BadInput(
                "the resistance of {name} cannot be below zero, as {resistance!r} ohm is",
                name=self.name,
                resistance=self.resistance,
            )

    def covered(self, panels: Panels, where: Bools) -> Ints:
        """Numbers of the panels among `where` (n,) that the contact covers."""
        candidates = np.flatnonzero(where)
        away = np.linalg.norm(panels.centroids[candidates] - self.position, axis=1)
        inside = candidates[away <= self.radius]
        return inside if len(inside) else candidates[[int(away.argmin())]]

    def coarseness(self, covered_area: float, count: int) -> float:
        """ln(r / a) / 2 pi of a terminal of `count` panels and this area [m²], 0 where it is no
        larger than the footprint: times the sheet resistance, what the panels miss of the current's
        spread [-]."""
        reach = sqrt(covered_area / pi) * (1 + _SPREAD_BETTER / count)
        return max(0.0, log(reach / self.radius) / (2 * pi))
