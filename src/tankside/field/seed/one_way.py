"""The rate law of a coated part: deposition as on copper, but nothing to dissolve.

Where the solution's potential drives a place of the coat as an anode (the far end of a poor coat
may be, while the whole current crowds at the wire), copper would dissolve if it were there; on bare
coat nothing does at such potentials. Dissolution of copper that has just been deposited is left
out with it: a place that is covered and then turns anodic keeps its copper.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats
from tankside.field.problem import ElectrodeLaw

_LEAK = 1e-6
"""Slope above rest over that just below [-]: the law stays strictly falling."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OneWay:
    """`law` below its rest potential, next to nothing above; satisfies `ElectrodeLaw`."""

    law: ElectrodeLaw

    def current_density(self, overpotential: Floats) -> Floats:
        """Positive in deposition [A m⁻²]."""
        below = self.law.current_density(np.minimum(overpotential, 0.0))
        return below - self._leak * np.maximum(overpotential, 0.0)

    def slope(self, overpotential: Floats) -> Floats:
        """d(current density)/d(overpotential) [A m⁻² V⁻¹]."""
        return self.current_and_slope(overpotential)[1]

    def current_and_slope(self, overpotential: Floats) -> tuple[Floats, Floats]:
        """Both at once."""
        below, slope = self.law.current_and_slope(np.minimum(overpotential, 0.0))
        above = self._leak * np.maximum(overpotential, 0.0)
        return below - above, np.where(overpotential < 0, slope, -self._leak)

    def copper_current_density(self, overpotential: Floats) -> Floats:
        """Copper's share [A m⁻²]."""
        below = self.law.copper_current_density(np.minimum(overpotential, 0.0))
        return below - self._leak * np.maximum(overpotential, 0.0)

    @property
    def limit(self) -> float:
        """Mass-transfer limit of copper deposition [A m⁻²]."""
        return self.law.limit

    @property
    def _leak(self) -> float:
        return -_LEAK * float(self.law.slope(np.zeros(1))[0])
