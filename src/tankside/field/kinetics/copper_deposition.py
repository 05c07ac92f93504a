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
from tankside.field.kinetics.exponential import guarded_rise
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
        terms = self._terms(overpotential)
        return self.exchange_current_density * terms.drive / terms.hindrance

    def slope(self, overpotential: Floats) -> Floats:
        """di/d(eta) [A m⁻² V⁻¹], below zero until it underflows deep in the limit."""
        return self.current_and_slope(overpotential)[1]

    def current_and_slope(self, overpotential: Floats) -> tuple[Floats, Floats]:
        """Both at once."""
        terms = self._terms(overpotential)
        scaled, shift, hindrance = terms.scaled, terms.shift, terms.hindrance
        reduced = self.cathodic_transfer * scaled * (shift + self._ratio * terms.dissolved * shift)
        oxidised = self.anodic_transfer * terms.dissolved_slope * shift * hindrance
        rate = self.exchange_current_density / self.thermal_voltage
        current = self.exchange_current_density * terms.drive / hindrance
        return current, -rate * (reduced + oxidised) / hindrance**2

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

    def _terms(self, overpotential: Floats) -> "_Terms":
        reduced = -self.cathodic_transfer * overpotential / self.thermal_voltage
        oxidised = self.anodic_transfer * overpotential / self.thermal_voltage
        rise, dissolved_slope = guarded_rise(oxidised)
        shift = np.exp(-np.maximum(reduced, 0.0))
        scaled = np.exp(np.minimum(reduced, 0.0))
        deposits = -np.expm1(np.minimum(oxidised - reduced, 0.0))
        dissolves = np.expm1(np.minimum(reduced, 0.0)) - rise
        return _Terms(
            shift=shift,
            scaled=scaled,
            drive=np.where(overpotential < 0, deposits, dissolves),
            dissolved=rise + 1.0,
            dissolved_slope=dissolved_slope,
            hindrance=shift + self._ratio * scaled,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Terms:
    """The exponentials E = exp(-alpha_c F eta / RT) and G = exp(alpha_a F eta / RT), multiplied by
    shift = min(1, 1 / E) so that none overflows: scaled = E shift, drive = (E - G) shift,
    hindrance = (1 + E i0 / iL) shift; dissolved = G."""

    shift: Floats
    scaled: Floats
    drive: Floats
    dissolved: Floats
    dissolved_slope: Floats
    hindrance: Floats
