"""Constants against scipy's CODATA table and the IUPAC atomic weight."""

import pytest
from scipy import constants as codata

from tankside.base import constants
from tankside.substances import substance


@pytest.mark.parametrize(
    ("ours", "theirs"),
    [
        (constants.ELEMENTARY_CHARGE_C, codata.e),
        (constants.AVOGADRO_PER_MOL, codata.N_A),
        (constants.BOLTZMANN_J_PER_K, codata.k),
        (constants.FARADAY_C_PER_MOL, codata.physical_constants["Faraday constant"][0]),
        (constants.GAS_CONSTANT_J_PER_MOL_K, codata.R),
        (constants.STANDARD_GRAVITY_M_PER_S2, codata.g),
        (constants.ZERO_CELSIUS_K, codata.zero_Celsius),
    ],
)
def test_constants_are_codatas(ours: float, theirs: float) -> None:
    assert ours == pytest.approx(theirs, rel=1e-9)


def test_copper_is_the_same_in_every_room() -> None:
    assert substance("copper").molar_mass == pytest.approx(
        constants.COPPER_MOLAR_MASS_KG_PER_MOL, rel=1e-12
    )


def test_thermal_voltage_at_room_temperature() -> None:
    """25.6926 mV at 25 °C, RT/F with exact constants."""
    assert constants.thermal_voltage(298.15) == pytest.approx(25.6926e-3, rel=1e-6)
