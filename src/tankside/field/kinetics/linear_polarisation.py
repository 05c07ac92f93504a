"""Linear polarisation: i = -eta / r with a resistance r of unit area.

The small-signal form of every rate law (Newman and Thomas-Alyea 2004, chapter 18): for
Butler-Volmer r = RT / (F i0 (alpha_a + alpha_c)). Closed forms of current distributions use it.
"""

from dataclasses import dataclass
from math import inf

import numpy as np

from tankside.base.arrays import Floats
from tankside.field.kinetics.parameters import require_positive


@dataclass(frozen=True, slots=True, kw_only=True)
class LinearPolarisation:
    """resistance r of unit area [ohm m²]."""

    resistance: float

    def __post_init__(self) -> None:
        require_positive("linear polarisation", resistance=self.resistance)

    def current_density(self, overpotential: Floats) -> Floats:
        """-eta / r [A m⁻²]."""
        return -overpotential / self.resistance

    def slope(self, overpotential: Floats) -> Floats:
        """-1 / r [A m⁻² V⁻¹]."""
        return np.full_like(overpotential, -1.0 / self.resistance)

    def current_and_slope(self, overpotential: Floats) -> tuple[Floats, Floats]:
        """Both at once."""
        return self.current_density(overpotential), self.slope(overpotential)

    def copper_current_density(self, overpotential: Floats) -> Floats:
        """All of the current is copper's [A m⁻²]."""
        return self.current_density(overpotential)

    @property
    def limit(self) -> float:
        """No mass-transfer limit."""
        return inf
