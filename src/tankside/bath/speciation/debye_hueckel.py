"""The limiting slopes of Debye and Hückel, from water's permittivity and density.

    A_gamma [log10] = e³ sqrt(2 N_A rho) / (8 pi ln10 (eps0 eps k T)^1.5),
    A_phi = A_gamma ln10 / 3

Permittivity of water is the closed form of Malmberg and Maryott (1956), from memory and within
0.2 % of the IAPWS formulation between 0 and 60 °C, where a test holds it.
"""

from math import log, pi, sqrt

from tankside.base.constants import AVOGADRO_PER_MOL, BOLTZMANN_J_PER_K, ELEMENTARY_CHARGE_C
from tankside.bath import water

VACUUM_PERMITTIVITY_F_PER_M = 8.8541878128e-12
"""Electric constant [F m⁻¹], CODATA 2018."""


def permittivity(temperature: float) -> float:
    """Relative static permittivity of water at 1 atm [-] at `temperature` [K]."""
    t = water.celsius(temperature)
    return 87.740 + t * (-0.40008 + t * (9.398e-4 - 1.410e-6 * t))


def davies_slope(temperature: float) -> float:
    """A of log10(gamma) = -A z² f(I) [(kg/mol)^½]; 0.509 at 25 °C."""
    squared = ELEMENTARY_CHARGE_C**2
    density = water.density(temperature)
    screened = VACUUM_PERMITTIVITY_F_PER_M * permittivity(temperature)
    thermal = BOLTZMANN_J_PER_K * temperature
    charges = sqrt(2.0 * AVOGADRO_PER_MOL * density)
    return float(squared**1.5 * charges / (8.0 * pi * log(10.0) * (screened * thermal) ** 1.5))


def pitzer_slope(temperature: float) -> float:
    """A_phi of Pitzer's equations [(kg/mol)^½]; 0.391 at 25 °C."""
    return davies_slope(temperature) * log(10.0) / 3.0
