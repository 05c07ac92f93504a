"""The conductivity of a weak-acid bath, from the ions that its equilibrium holds.

    kappa = f_sulfate sum_i lambda_i(T) gamma_i^p m_i rho_w (mu_w/mu_n)^0.9

lambda_i are the limiting molar conductivities of the CRC Handbook; p = 0.6/sqrt(|z|), or
sqrt(I)/|z| above I = 0.36 |z|, is the empirical factor of PHREEQC (from memory of its notes), mu_n
the thickening by uncharged acid. Copper sulfate alone comes out up to a third too low, as pairs of
ions are no simple matter; so the sum is scaled by what the handbook's table says of the same copper
sulfate in water (f_sulfate, 1 where there is none). Checked against the handbook's citric, acetic
and other solutions: within 20 %, which with the guessed complexes' share makes the interval. Free
sulfuric acid comes out up to 21 % low: acid sulfate baths have a law of their own.
"""

from functools import cache
from math import exp, sqrt

from tankside.base.constants import FARADAY_C_PER_MOL, thermal_voltage
from tankside.base.intervals import Interval
from tankside.base.tables import table
from tankside.bath.density import density
from tankside.bath.speciation.equilibrium import Speciation, speciated
from tankside.bath.speciation.species import Species, species
from tankside.substances import molar_mass

RELATIVE_ERROR = 0.20
"""Half-width where nothing is guessed [-]: what the handbook's solutions show."""

GUESSED_ERROR = 0.60
"""Relative error of a guessed ion's conductivity [-]: our judgement."""

PER_KELVIN = 0.020
"""Relative rise of an ion's conductivity per kelvin at 25 °C [K⁻¹]; from memory, most ions 1.9 to
2.1 %."""

PER_KELVIN_OF = {"H+": 0.0139, "OH-": 0.0160}
"""The two that hop instead of swimming; from memory."""

VISCOSITY_POWER = 0.9
"""How a thicker liquid slows ions [-]; from memory of Walden's rule and its exceptions."""

_THICKENING = {"HAcetate": 0.12, "H3Citrate": 0.45}
"""Slope of ln(viscosity) by molality of the uncharged acids [kg mol⁻¹]; see weak_acid_liquid."""

_REFERENCE_K = 298.15
_TABLE_K = 293.15


def conductivity(answer: Speciation, water_density: float) -> Interval:
    """Conductivity [S m⁻¹] of a solved bath that holds `water_density` [kg m⁻³] of water."""
    shares = _shares(answer, water_density)
    best = sum(shares.values())
    guessed = sum(share for name, share in shares.items() if _by_name()[name].guessed)
    factor = _sulfate_factor(answer)
    error = RELATIVE_ERROR + GUESSED_ERROR * guessed / best + 0.3 * abs(factor - 1.0)
    return Interval.about(best * factor, min(error, 0.8))


def ion_diffusivity(one: Species, temperature: float) -> float:
    """Diffusivity of a charged species in water [m² s⁻¹], by Nernst and Einstein."""
    mobility = one.conductivity * _warmth(one.name, temperature)
    return mobility * thermal_voltage(temperature) / (one.charge**2 * FARADAY_C_PER_MOL)


def _shares(answer: Speciation, water_density: float) -> dict[str, float]:
    """What each ion carries [S m⁻¹], before the copper sulfate's factor."""
    thick = sum(slope * answer.molality.get(name, 0.0) for name, slope in _THICKENING.items())
    slowed = exp(-VISCOSITY_POWER * thick) * water_density
    found = {}
    for name, molality in answer.molality.items():
        one = _by_name()[name]
        if one.charge:
            held = exp(_power(one.charge, answer.ionic_strength) * min(answer.log_gamma[name], 0.0))
            warm = _warmth(name, answer.temperature)
            found[name] = one.conductivity * warm * held * molality * slowed
    return found


def _power(charge: int, ionic_strength: float) -> float:
    size = abs(charge)
    return 0.6 / sqrt(size) if ionic_strength < 0.36 * size else sqrt(ionic_strength) / size


def _warmth(name: str, temperature: float) -> float:
    return 1.0 + PER_KELVIN_OF.get(name, PER_KELVIN) * (temperature - _REFERENCE_K)


def _sulfate_factor(answer: Speciation) -> float:
    """Measured over computed conductivity of the bath's copper sulfate alone in water, at 20 °C."""
    held = {"copper": 0.0, "sulfate": 0.0}
    for name, molality in answer.molality.items():
        for component in held:
            held[component] += molality * _by_name()[name].counts.get(component, 0)
    salt = min(held.values())
    return _factor_at(salt)


def _factor_at(salt: float) -> float:
    """The factor at a molality of copper sulfate [mol kg⁻¹], by straight lines from 1 at none."""
    nodes, factors = _factors()
    if salt >= nodes[-1]:
        return factors[-1]
    for low, high, below, above in zip(nodes, nodes[1:], factors, factors[1:], strict=False):
        if salt <= high:
            return below + (above - below) * (salt - low) / (high - low)
    raise AssertionError("the nodes rise from zero")


@cache
def _factors() -> tuple[tuple[float, ...], tuple[float, ...]]:
    nodes, factors = [0.0], [1.0]
    for row in table("tankside.bath", "copper_sulfate_conductivity.csv"):
        share = float(row["mass_fraction"])
        molality = share / (1.0 - share) / molar_mass("CuSO4")
        answer = speciated({"copper": molality, "sulfate": molality}, _TABLE_K)
        held = _water_beside(share)
        nodes.append(molality)
        factors.append(float(row["conductivity_S_m"]) / sum(_shares(answer, held).values()))
    return tuple(nodes), tuple(factors)


def _water_beside(share: float) -> float:
    """Water in copper sulfate solution at 20 °C [kg m⁻³]; the solution by the law of mixtures."""
    return (1.0 - share) * density({"copper sulfate": share}, _TABLE_K)


@cache
def _by_name() -> dict[str, Species]:
    return {one.name: one for one in species()}
