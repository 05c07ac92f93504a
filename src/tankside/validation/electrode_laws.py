"""The rate laws of electrodes, number by number."""

from math import log

import numpy as np

from tankside.base.constants import thermal_voltage
from tankside.field.kinetics import ButlerVolmer, CopperDeposition, Hydrogen
from tankside.validation.cases import quantity


def _transfer(temperature: float, exchange: float) -> ButlerVolmer:
    return ButlerVolmer(
        exchange_current_density=exchange,
        cathodic_transfer=0.5,
        anodic_transfer=1.5,
        thermal_voltage=thermal_voltage(temperature),
    )


@quantity("Butler-Volmer: current density")
def butler_volmer_value(temperature: float, exchange: float, overpotential: float) -> float:
    """With alpha_c = 0.5 and alpha_a = 1.5 [A m⁻²]."""
    law = _transfer(temperature, exchange)
    return float(law.current_density(np.array([overpotential]))[0])


@quantity("Butler-Volmer: Tafel slope")
def tafel_slope(temperature: float, overpotential: float) -> float:
    """d(eta) / d(log10 |i|) of copper at an overpotential far from rest [V]."""
    law = _transfer(temperature, 10.0)
    eta = np.array([overpotential])
    return abs(float(log(10) * (law.current_density(eta) / law.slope(eta))[0]))


@quantity("Butler-Volmer: charge-transfer resistance")
def transfer_resistance(temperature: float, exchange: float) -> float:
    """|d(eta)/di| at rest [ohm m²]."""
    return -1.0 / float(_transfer(temperature, exchange).slope(np.zeros(1))[0])


@quantity("copper deposition: share of the limit")
def share_of_limit(
    temperature: float, exchange: float, limit: float, overpotential: float
) -> float:
    """i / iL at an overpotential [-]."""
    law = CopperDeposition(
        exchange_current_density=exchange,
        cathodic_transfer=0.5,
        anodic_transfer=1.5,
        limiting_current_density=limit,
        thermal_voltage=thermal_voltage(temperature),
    )
    return float(law.current_density(np.array([overpotential]))[0]) / limit


@quantity("hydrogen: Tafel slope")
def hydrogen_tafel_slope(temperature: float, transfer: float) -> float:
    """d(eta) / d(log10 i) of hydrogen half a volt below its equilibrium [V]."""
    law = Hydrogen(
        exchange_current_density=1e-3,
        transfer=transfer,
        equilibrium=-0.34,
        thermal_voltage=thermal_voltage(temperature),
    )
    eta = np.array([-0.84])
    return abs(float(log(10) * (law.current_density(eta) / law.slope(eta))[0]))
