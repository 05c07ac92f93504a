"""A cathode in a copper bath: copper up to its mass-transfer limit, hydrogen for the surplus.

Both reactions run side by side at one potential and their currents add, so that every current has
an answer; what lies beyond the copper limit is hydrogen and never counts as thickness.
"""

from dataclasses import dataclass

from tankside.base.arrays import Floats
from tankside.field.kinetics.copper_deposition import CopperDeposition
from tankside.field.kinetics.hydrogen import Hydrogen


@dataclass(frozen=True, slots=True, kw_only=True)
class CopperCathode:
    """`copper` and `hydrogen`, each its own law."""

    copper: CopperDeposition
    hydrogen: Hydrogen

    def current_density(self, overpotential: Floats) -> Floats:
        """Copper plus hydrogen [A m⁻²], positive in deposition."""
        return self.copper.current_density(overpotential) + self.hydrogen.current_density(
            overpotential
        )

    def slope(self, overpotential: Floats) -> Floats:
        """di/d(eta) [A m⁻² V⁻¹]."""
        return self.copper.slope(overpotential) + self.hydrogen.slope(overpotential)

    def copper_current_density(self, overpotential: Floats) -> Floats:
        """Copper's share [A m⁻²]."""
        return self.copper.current_density(overpotential)

    @property
    def limit(self) -> float:
        """Mass-transfer limit of copper [A m⁻²]."""
        return self.copper.limit
