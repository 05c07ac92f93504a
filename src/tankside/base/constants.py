"""Physical constants, with their sources.

CODATA 2018 values that are exact by definition of the SI (BIPM SI brochure, 9th edition, 2019);
the standard atomic weight of copper from IUPAC (Prohaska et al., Pure Appl. Chem. 94 (2022) 573,
63.546(3)).
"""

ELEMENTARY_CHARGE_C = 1.602176634e-19
"""Charge of the proton [C], exact."""

AVOGADRO_PER_MOL = 6.02214076e23
"""Entities in a mole [mol⁻¹], exact."""

FARADAY_C_PER_MOL = AVOGADRO_PER_MOL * ELEMENTARY_CHARGE_C
"""Charge of a mole of electrons [C mol⁻¹], exact."""

BOLTZMANN_J_PER_K = 1.380649e-23
"""Boltzmann constant [J K⁻¹], exact."""

GAS_CONSTANT_J_PER_MOL_K = AVOGADRO_PER_MOL * BOLTZMANN_J_PER_K
"""Molar gas constant [J mol⁻¹ K⁻¹], exact."""

COPPER_MOLAR_MASS_KG_PER_MOL = 63.546e-3
"""Molar mass of copper [kg mol⁻¹], standard uncertainty 3e-6 kg mol⁻¹."""

COPPER_DENSITY_KG_PER_M3 = 8960.0
"""Density of copper at 20 °C [kg m⁻³] (CRC Handbook of Chemistry and Physics, physical constants of
inorganic compounds); electrodeposits of tables lie between 8890 and 8960."""

COPPER_VALENCE = 2
"""Electrons per copper ion, Cu²⁺ + 2 e⁻ = Cu [-]."""

COPPER_PER_CHARGE_KG_PER_C = COPPER_MOLAR_MASS_KG_PER_MOL / (COPPER_VALENCE * FARADAY_C_PER_MOL)
"""Copper laid down by a coulomb at full efficiency [kg C⁻¹], Faraday's law."""

ZERO_CELSIUS_K = 273.15
"""Melting point of ice on the kelvin scale [K], exact."""

STANDARD_GRAVITY_M_PER_S2 = 9.80665
"""Standard acceleration of free fall [m s⁻²], exact."""


def thermal_voltage(temperature: float) -> float:
    """RT/F at `temperature` [K], in volt: 25.69 mV at 298.15 K."""
    return GAS_CONSTANT_J_PER_MOL_K * temperature / FARADAY_C_PER_MOL
