"""Hydrogen evolution: Tafel kinetics from hydrogen's own equilibrium potential.

    i(eta) = i0 [exp(-alpha F (eta - E) / RT) - 1]   below E,   0 above it

E is the potential of H⁺/H₂ against copper at rest in the same bath. The 1 makes the current start
from zero; there is no anodic branch, as the bath holds no hydrogen to oxidise.

Source: Tafel's law, Newman and Thomas-Alyea 2004, chapter 8. Valid while acid is in large excess:
the supply of H⁺ to the surface sets no limit here.
"""

from dataclasses import dataclass
from math import inf

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput
from tankside.field.kinetics.exponential import guarded_rise
from tankside.field.kinetics.parameters import require_positive


@dataclass(frozen=True, slots=True, kw_only=True)
class Hydrogen:
    """exchange_current_density i0 [A m⁻²]; transfer alpha [-]; equilibrium E against copper at rest
    [V], not above zero; thermal_voltage RT/F [V]."""

    exchange_current_density: float
    transfer: float
    equilibrium: float
    thermal_voltage: float

    def __post_init__(self) -> None:
        require_positive(
            "hydrogen evolution",
            exchange_current_density=self.exchange_current_density,
            transfer=self.transfer,
            thermal_voltage=self.thermal_voltage,
        )
        if not -5.0 < self.equilibrium <= 0.0:
            raise BadInput(
                "hydrogen evolution: the equilibrium potential against copper must lie between -5 "
                "V and 0 V, not at {equilibrium!r} V",
                equilibrium=self.equilibrium,
            )

    def current_density(self, overpotential: Floats) -> Floats:
        """i(eta) [A m⁻²], at the overpotential of copper [V]."""
        rise, _ = guarded_rise(self._argument(overpotential))
        return self.exchange_current_density * rise

    def slope(self, overpotential: Floats) -> Floats:
        """di/d(eta) [A m⁻² V⁻¹], zero above the equilibrium potential."""
        return self.current_and_slope(overpotential)[1]

    def current_and_slope(self, overpotential: Floats) -> tuple[Floats, Floats]:
        """Both at once."""
        argument = self._argument(overpotential)
        rise, derivative = guarded_rise(argument)
        rate = -self.exchange_current_density * self.transfer / self.thermal_voltage
        slope = np.where(argument > 0.0, rate * derivative, 0.0)
        return self.exchange_current_density * rise, slope

    def copper_current_density(self, overpotential: Floats) -> Floats:
        """None of it is copper's."""
        return np.zeros_like(overpotential)

    @property
    def limit(self) -> float:
        """No mass-transfer limit."""
        return inf

    def _argument(self, overpotential: Floats) -> Floats:
        past = np.minimum(overpotential - self.equilibrium, 0.0)
        return -self.transfer / self.thermal_voltage * past
