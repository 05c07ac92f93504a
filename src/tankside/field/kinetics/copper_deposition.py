"""Copper deposition: Butler-Volmer whose cathodic rate follows the copper left at the surface.

With c_s / c_b = 1 - i / iL across the diffusion layer (Nernst), the implicit law
    i = i0 [(c_s / c_b) exp(-alpha_c F eta / RT) - exp(alpha_a F eta / RT)]
has the closed form
    i = i0 [E - exp(alpha_a F eta / RT)] / [1 + (i0 / iL) E],   E = exp(-alpha_c F eta / RT)
which rises from zero at rest to the limit iL = 2 F D c_b / delta and never passes it.

Source: Newman and Thomas-Alyea 2004, chapters 8 and 17. Valid for excess of supporting acid
(no migration of copper) and a steady diffusion layer; the rise of copper at a dissolving surface is
not followed.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats
from tankside.field.kinetics.exponential import guarded_exponential
from tankside.field.kinetics.parameters import require_positive


@dataclass(frozen=True, slots=True, kw_only=True)
class CopperDeposition:
    """exchange_current_density i0 [A m⁻²]; cathodic_transfer alpha_c, anodic_transfer alpha_a [-];
    limiting_current_density iL [A m⁻²]; thermal_voltage RT/F [V]."""

    exchange_current_density: float
    cathodic_transfer: float
    anodic_transfer: float
    limiting_current_density: float
    thermal_voltage: float

    def __post_init__(self) -> None:
        require_positive(
            "copper deposition",
            exchange_current_density=self.exchange_current_density,
            cathodic_transfer=self.cathodic_transfer,
            anodic_transfer=self.anodic_transfer,
            limiting_current_density=self.limiting_current_density,
            thermal_voltage=self.thermal_voltage,
        )

    def current_density(self, overpotential: Floats) -> Floats:
        """i(eta) [A m⁻²], positive in deposition, at overpotential [V]."""
        shift, scaled, dissolved, _ = self._terms(overpotential)
        drive = scaled - dissolved * shift
        return self.exchange_current_density * drive / (shift + self._ratio * scaled)

    def slope(self, overpotential: Floats) -> Floats:
        """di/d(eta) [A m⁻² V⁻¹], below zero until it underflows deep in the limit."""
        shift, scaled, dissolved, dissolved_slope = self._terms(overpotential)
        denominator = shift + self._ratio * scaled
        reduced = self.cathodic_transfer * scaled * shift * (1.0 + self._ratio * dissolved)
        oxidised = self.anodic_transfer * dissolved_slope * shift * denominator
        rate = self.exchange_current_density / self.thermal_voltage
        return -rate * (reduced + oxidised) / denominator**2

    def copper_current_density(self, overpotential: Floats) -> Floats:
        """All of the current is copper's [A m⁻²]."""
        return self.current_density(overpotential)

    @property
    def limit(self) -> float:
        """iL [A m⁻²]."""
        return self.limiting_current_density

    @property
    def _ratio(self) -> float:
        return self.exchange_current_density / self.limiting_current_density

    def _terms(self, overpotential: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        """(shift, E shift, G, dG) with E = exp(-alpha_c F eta / RT), G = exp(alpha_a F eta / RT):
        numerator and denominator are multiplied by shift = min(1, 1 / E), so that none overflows.
        """
        argument = -self.cathodic_transfer * overpotential / self.thermal_voltage
        shift = np.exp(-np.maximum(argument, 0.0))
        scaled = np.exp(np.minimum(argument, 0.0))
        dissolved, dissolved_slope = guarded_exponential(
            self.anodic_transfer * overpotential / self.thermal_voltage
        )
        return shift, scaled, dissolved, dissolved_slope
