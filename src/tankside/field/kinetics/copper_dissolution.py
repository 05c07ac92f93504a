"""Copper dissolution at an anode: Butler-Volmer, with a flag where the metal may go passive.

    i(eta) = i0 [exp(-alpha_c F eta / RT) - exp(alpha_a F eta / RT)], negative for eta > 0

Source: Newman and Thomas-Alyea 2004, chapter 8. Above `passivation_limit` a real anode may cover
itself with a salt or oxide film and the voltage then climbs; that film is not modelled, the places
are flagged, and the answer there holds only if the film does not form.
"""

from dataclasses import dataclass
from math import inf

import numpy as np

from tankside.base.arrays import Bools, Floats
from tankside.field.kinetics.butler_volmer import ButlerVolmer
from tankside.field.kinetics.parameters import require_positive


@dataclass(frozen=True, slots=True, kw_only=True)
class CopperDissolution:
    """`transfer` the charge-transfer law; passivation_limit: anode current density above which
    passivation is to be feared [A m⁻²], infinity for never."""

    transfer: ButlerVolmer
    passivation_limit: float = inf

    def __post_init__(self) -> None:
        if self.passivation_limit != inf:
            require_positive("copper dissolution", passivation_limit=self.passivation_limit)

    def current_density(self, overpotential: Floats) -> Floats:
        """i(eta) [A m⁻²], negative where copper dissolves."""
        return self.transfer.current_density(overpotential)

    def slope(self, overpotential: Floats) -> Floats:
        """di/d(eta) [A m⁻² V⁻¹]."""
        return self.transfer.slope(overpotential)

    def current_and_slope(self, overpotential: Floats) -> tuple[Floats, Floats]:
        """Both at once."""
        return self.transfer.current_and_slope(overpotential)

    def copper_current_density(self, overpotential: Floats) -> Floats:
        """All of the current dissolves copper [A m⁻²]."""
        return self.transfer.current_density(overpotential)

    @property
    def limit(self) -> float:
        """No mass-transfer limit of deposition."""
        return inf

    def passive(self, current_density: Floats) -> Bools:
        """True where a current density [A m⁻²] dissolves faster than the passivation limit."""
        return np.asarray(-current_density > self.passivation_limit)
