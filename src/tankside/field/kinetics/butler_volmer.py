"""Butler-Volmer: charge transfer alone, with two transfer coefficients.

    i(eta) = i0 [exp(-alpha_c F eta / RT) - exp(alpha_a F eta / RT)]      (deposition positive)

Source: Newman and Thomas-Alyea 2004, chapter 8; for copper, whose first electron is the slow
step, alpha_c = 0.5 and alpha_a = 1.5 (Mattsson and Bockris 1959). Valid where the concentrations
at the surface equal those of the bulk.
"""

from dataclasses import dataclass
from math import inf

from tankside.base.arrays import Floats
from tankside.field.kinetics.exponential import guarded_rise
from tankside.field.kinetics.parameters import require_positive


@dataclass(frozen=True, slots=True, kw_only=True)
class ButlerVolmer:
    """exchange_current_density i0 [A m⁻²]; cathodic_transfer alpha_c, anodic_transfer alpha_a [-];
    thermal_voltage RT/F [V]."""

    exchange_current_density: float
    cathodic_transfer: float
    anodic_transfer: float
    thermal_voltage: float

    def __post_init__(self) -> None:
        require_positive(
            "Butler-Volmer kinetics",
            exchange_current_density=self.exchange_current_density,
            cathodic_transfer=self.cathodic_transfer,
            anodic_transfer=self.anodic_transfer,
            thermal_voltage=self.thermal_voltage,
        )

    def current_density(self, overpotential: Floats) -> Floats:
        """i(eta) [A m⁻²], positive in deposition, at overpotential [V]."""
        return self.current_and_slope(overpotential)[0]

    def slope(self, overpotential: Floats) -> Floats:
        """di/d(eta) [A m⁻² V⁻¹], below zero."""
        return self.current_and_slope(overpotential)[1]

    def current_and_slope(self, overpotential: Floats) -> tuple[Floats, Floats]:
        """Both at once."""
        reduced = guarded_rise(overpotential * (-self.cathodic_transfer / self.thermal_voltage))
        dissolved = guarded_rise(overpotential * (self.anodic_transfer / self.thermal_voltage))
        rate = self.cathodic_transfer * reduced[1] + self.anodic_transfer * dissolved[1]
        rate *= -self.exchange_current_density / self.thermal_voltage
        return self.exchange_current_density * (reduced[0] - dissolved[0]), rate

    def copper_current_density(self, overpotential: Floats) -> Floats:
        """All of the current is copper's [A m⁻²]."""
        return self.current_density(overpotential)

    @property
    def limit(self) -> float:
        """No mass-transfer limit."""
        return inf
