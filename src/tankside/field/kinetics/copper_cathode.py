"""A cathode in a copper bath: copper up to its mass-transfer limit, hydrogen for the surplus.

Both reactions run side by side at one potential and their currents add, so that every current has
an answer; what lies beyond the copper limit is hydrogen and never counts as thickness. Of copper's
own current a shop may lose some that its audits tell of and no rate law: air that dissolves copper
again, a leak. That share never counts as thickness either.
"""

from dataclasses import dataclass

from tankside.base.arrays import Floats
from tankside.field.kinetics.copper_deposition import CopperDeposition
from tankside.field.kinetics.hydrogen import Hydrogen


@dataclass(frozen=True, slots=True, kw_only=True)
class CopperCathode:
    """`copper` and `hydrogen`, each its own law; and `efficiency`, the share of copper's current
    that stays as metal [-]."""

    copper: CopperDeposition
    hydrogen: Hydrogen
    efficiency: float = 1.0

    def current_density(self, overpotential: Floats) -> Floats:
        """Copper plus hydrogen [A m⁻²], positive in deposition."""
        return self.copper.current_density(overpotential) + self.hydrogen.current_density(
            overpotential
        )

    def slope(self, overpotential: Floats) -> Floats:
        """di/d(eta) [A m⁻² V⁻¹]."""
        return self.current_and_slope(overpotential)[1]

    def current_and_slope(self, overpotential: Floats) -> tuple[Floats, Floats]:
        """Both at once."""
        copper = self.copper.current_and_slope(overpotential)
        hydrogen = self.hydrogen.current_and_slope(overpotential)
        return copper[0] + hydrogen[0], copper[1] + hydrogen[1]

    def copper_current_density(self, overpotential: Floats) -> Floats:
        """Copper's share, as far as it stays [A m⁻²]."""
        return self.efficiency * self.copper.current_density(overpotential)

    @property
    def limit(self) -> float:
        """Mass-transfer limit of copper [A m⁻²]."""
        return self.copper.limit
