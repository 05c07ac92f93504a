"""How copper reaches the cathode and how it reacts there: limits, layers, rate laws."""

from math import exp, log

from tankside.base.constants import GAS_CONSTANT_J_PER_MOL_K, ZERO_CELSIUS_K, thermal_voltage
from tankside.bath import (
    copper_kinetics,
    density,
    diffusivity,
    free_convection,
    hydrogen,
    viscosity,
    wagner,
    water,
)
from tankside.bath.composition import Composition, mass_fractions
from tankside.bath.parameters import parameter
from tankside.substances import molar_mass
from tankside.validation.cases import quantity


@quantity("limiting current density through a layer")
def limiting_current(diffusivity_m2_s: float, mol_L: float, layer_um: float) -> float:
    """2 F D c / delta [A m⁻²]."""
    return free_convection.limiting_current_density(diffusivity_m2_s, mol_L * 1e3, layer_um * 1e-6)


@quantity("limiting current density in a still bath")
def still_limit(
    copper_mol_L: float, acid_mol_L: float, diffusivity_m2_s: float, height_cm: float
) -> float:
    """At a vertical cathode at 25 °C by the laminar law, with the diffusivity given [A m⁻²]."""
    layer = _still_layer(copper_mol_L, acid_mol_L, diffusivity_m2_s, height_cm)
    return free_convection.limiting_current_density(diffusivity_m2_s, copper_mol_L * 1e3, layer)


@quantity("constant of the diffusion layer in a still bath")
def layer_constant(rayleigh: float) -> float:
    """delta / H times (Sc Gr)^(1/4), the constant of the paper's own equation XVII [-]."""
    return float(rayleigh**0.25 / free_convection.laminar_sherwood(rayleigh))


@quantity("diffusivity of copper")
def copper_diffusivity(copper_mol_L: float, acid_mol_L: float, temperature_degC: float) -> float:
    """[1e-10 m² s⁻¹] in a bath."""
    temperature = temperature_degC + ZERO_CELSIUS_K
    return diffusivity.diffusivity(_bath(copper_mol_L, acid_mol_L), temperature) * 1e10


@quantity("diffusivity of copper at infinite dilution, by the law's low end")
def dilute_diffusivity(temperature_degC: float) -> float:
    """Low end of D mu / T with water's viscosity [1e-10 m² s⁻¹]."""
    temperature = temperature_degC + ZERO_CELSIUS_K
    low = parameter("diffusivity_base").value.low
    return low * temperature / water.viscosity(temperature) * 1e10


@quantity("activation energy of copper's diffusion")
def diffusion_activation(
    copper_g_L: float, sulfuric_acid_g_L: float, from_degC: float, to_degC: float
) -> float:
    """Arrhenius slope of the law between two temperatures [kJ mol⁻¹]."""
    bath = _bath(copper_g_L / (molar_mass("Cu") * 1e3), sulfuric_acid_g_L / 98.072)
    cold, hot = from_degC + ZERO_CELSIUS_K, to_degC + ZERO_CELSIUS_K
    ratio = diffusivity.diffusivity(bath, hot) / diffusivity.diffusivity(bath, cold)
    return GAS_CONSTANT_J_PER_MOL_K * log(ratio) / (1.0 / cold - 1.0 / hot) * 1e-3


@quantity("overpotential of copper")
def copper_overpotential(
    current_density_A_m2: float,
    exchange_A_m2: float,
    cathodic: float,
    anodic: float,
    temperature_degC: float,
) -> float:
    """Overpotential at which copper deposits at a current density [mV]."""
    return 1e3 * wagner.overpotential(
        current_density_A_m2, exchange_A_m2, cathodic, anodic, temperature_degC + ZERO_CELSIUS_K
    )


@quantity("Tafel slope of copper")
def tafel_slope(temperature_degC: float) -> float:
    """Of the best guess of the cathodic transfer coefficient [mV per decade]."""
    alpha = copper_kinetics.cathodic_transfer().value.best
    return 1e3 * log(10.0) * thermal_voltage(temperature_degC + ZERO_CELSIUS_K) / alpha


@quantity("exchange current density of copper")
def exchange_current(copper_mol_L: float) -> float:
    """Best guess at a copper concentration [A m⁻²]."""
    return copper_kinetics.exchange_current_density(copper_mol_L * 1e3).value.best


@quantity("Wagner length on the Tafel line")
def tafel_wagner_length(
    conductivity_S_m: float, current_density_A_m2: float, exchange_A_m2: float, alpha: float
) -> float:
    """kappa over the slope of the rate law at 25 °C [mm]."""
    eta = wagner.overpotential(current_density_A_m2, exchange_A_m2, alpha, 2.0 - alpha, 298.15)
    slope = wagner.slope(eta, exchange_A_m2, alpha, 2.0 - alpha, 298.15)
    return conductivity_S_m / slope * 1e3


@quantity("hydrogen's share of the current in a still, thin bath")
def hydrogen_share(
    copper_mol_L: float,
    acid_mol_L: float,
    overpotential_V: float,
    height_cm: float,
    temperature_degC: float,
) -> float:
    """Hydrogen over hydrogen and copper at its limit, a smooth vertical cathode [-]."""
    bath = _bath(copper_mol_L, acid_mol_L)
    temperature = temperature_degC + ZERO_CELSIUS_K
    spread = diffusivity.diffusivity(bath, temperature)
    layer = free_convection.free_convection_layer(
        _liquid(bath, temperature, spread), height_cm * 1e-2
    )
    copper = free_convection.limiting_current_density(spread, copper_mol_L * 1e3, layer)
    equilibrium = hydrogen.hydrogen_equilibrium(bath, temperature).value.best
    reach = hydrogen.hydrogen_transfer().value.best / thermal_voltage(temperature)
    gas = hydrogen.hydrogen_exchange().value.best * exp(-reach * (overpotential_V - equilibrium))
    return gas / (gas + copper)


def _still_layer(copper: float, acid: float, spread: float, height_cm: float) -> float:
    liquid = _liquid(_bath(copper, acid), 298.15, spread)
    height = height_cm * 1e-2
    return height / free_convection.laminar_sherwood(liquid.rayleigh(height))


def _liquid(bath: Composition, temperature: float, spread: float) -> free_convection.BuoyantLiquid:
    fractions = mass_fractions(bath, temperature)
    return free_convection.BuoyantLiquid(
        diffusivity=spread,
        kinematic_viscosity=viscosity.viscosity(fractions, temperature)
        / density.density(fractions, temperature),
        lost_density=free_convection.lost_density(bath, temperature),
    )


def _bath(copper_mol_L: float, acid_mol_L: float) -> Composition:
    return Composition(
        copper_sulfate_pentahydrate=copper_mol_L * 1e3 * molar_mass("CuSO4·5H2O"),
        sulfuric_acid=acid_mol_L * 1e3 * molar_mass("H2SO4"),
    )
