"""The volume that the followed masses fill, and what each of them adds to it.

V = M / density; the density is Laliberté's. V grows in proportion with all masses, so V = Σ νᵢ mᵢ
with νᵢ = ∂V/∂mᵢ (Euler). Chloride and additive are left out: below a thousandth of the mass.
"""

from functools import lru_cache

import numpy as np

from tankside.base.arrays import Floats, frozen_floats
from tankside.base.errors import BadInput
from tankside.bath import water
from tankside.bath.density import density
from tankside.bath.inventory.contents import ACID, COPPER, SALT_PER_COPPER, WATER

MASS_FACTORS = np.array([SALT_PER_COPPER, 1.0, 0.0, 0.0, 1.0])
"""Kilograms of solution that a kilogram of each followed mass stands for."""

_STEP = 1e-4


def specific_volumes(masses: Floats, temperature: float) -> Floats:
    """νᵢ = ∂V/∂mᵢ of the five followed masses at `temperature` [m³ kg⁻¹]; Σ νᵢ mᵢ = V exactly.

    BadInput where no water is left, OutsideValidity beyond the density law.
    """
    return _specific_volumes(masses.tobytes(), temperature)


@lru_cache(maxsize=64)
def _specific_volumes(content: bytes, temperature: float) -> Floats:
    """The same by the bytes of the masses: one state is asked several times in a row."""
    masses = np.frombuffer(content)
    held = np.maximum(masses, 0.0)
    total = float(held @ MASS_FACTORS)
    if not masses[WATER] > 0.0:
        raise BadInput("the ledger takes more water out of the bath than went in")
    here = _volume(held, temperature)
    found = np.zeros(5)
    for index in (COPPER, ACID):
        step = _STEP * total
        more = held.copy()
        more[index] += step
        found[index] = (_volume(more, temperature) - here) / step
    found[WATER] = (here - float(found @ masses)) / masses[WATER]  # by Euler's theorem
    return frozen_floats(found)


def volume(masses: Floats, temperature: float) -> float:
    """Volume [m³] of the followed masses at `temperature`."""
    return _volume(np.maximum(masses, 0.0), temperature)


def _volume(held: Floats, temperature: float) -> float:
    total = float(held @ MASS_FACTORS)
    salt, acid = SALT_PER_COPPER * float(held[COPPER]) / total, float(held[ACID]) / total
    if salt + acid == 0.0:
        return total / water.density(temperature)
    return total / density({"copper sulfate": salt, "sulfuric acid": acid}, temperature)
