"""Activities in copper sulfate with sulfuric acid, by Pitzer's ion interaction model.

Ions: H⁺, Cu²⁺, HSO₄⁻, SO₄²⁻. Form of Harvie, Møller and Weare (1984), with the unsymmetrical
mixing of ions of unlike charge (Pitzer 1975, eq. 47 for J). No ternary parameter is used.
Parameters are those of 25 °C at every temperature, only the Debye-Hückel slope moves:
solubility.py says what that costs.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from math import exp, log, sqrt

from tankside.base.tables import table
from tankside.bath.speciation.debye_hueckel import pitzer_slope

CATIONS = {"H": 1, "Cu": 2}
ANIONS = {"HSO4": 1, "SO4": 2}

WATER_KG_PER_MOL = 0.0180153

_B = 1.2
"""Pitzer's universal parameter [(kg/mol)^½]."""


@dataclass(frozen=True, slots=True)
class Pair:
    """beta0, beta1, beta2 and C_phi of a cation with an anion."""

    beta0: float
    beta1: float
    beta2: float
    c_phi: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Activities:
    """ln(gamma) by ion on the molal scale, and ln of the activity of water."""

    log_gamma: dict[str, float]
    log_water: float


def activities(molality: Mapping[str, float], temperature: float) -> Activities:
    """Activities at these molalities [mol kg⁻¹] of H, Cu, HSO4 and SO4, at `temperature` [K]."""
    m = molality
    charge = CATIONS | ANIONS
    ionic = 0.5 * sum(m[ion] * z * z for ion, z in charge.items())
    total_charge = sum(m[ion] * abs(z) for ion, z in charge.items())
    slope, root = _slope(temperature), sqrt(ionic)
    mixing, mixing_slope = _unsymmetrical(ionic, slope)
    f = -slope * (root / (1.0 + _B * root) + 2.0 / _B * log(1.0 + _B * root))
    osmotic = -slope * ionic * root / (1.0 + _B * root)
    third, binary = 0.0, {}
    for cation, zc in CATIONS.items():
        for anion, za in ANIONS.items():
            pair, both = pairs()[cation, anion], m[cation] * m[anion]
            b, b_prime, b_phi = _second_virial(pair, zc, za, ionic)
            c = pair.c_phi / (2.0 * sqrt(zc * za))
            binary[cation, anion] = 2.0 * b + total_charge * c
            f += both * b_prime
            osmotic += both * (b_phi + total_charge * c)
            third += both * c
    alike = m["H"] * m["Cu"] + m["HSO4"] * m["SO4"]
    f += alike * mixing_slope
    osmotic += alike * (mixing + ionic * mixing_slope)
    log_gamma = {
        ion: z * z * f
        + z * third
        + sum(
            m[other] * _of(binary, ion, other) for other in (ANIONS if ion in CATIONS else CATIONS)
        )
        + 2.0 * m[_PARTNER[ion]] * mixing
        for ion, z in charge.items()
    }
    log_water = -WATER_KG_PER_MOL * (sum(m[ion] for ion in charge) + 2.0 * osmotic)
    return Activities(log_gamma=log_gamma, log_water=log_water)


_slope = lru_cache(maxsize=256)(pitzer_slope)

_PARTNER = {"H": "Cu", "Cu": "H", "HSO4": "SO4", "SO4": "HSO4"}


def _of(binary: Mapping[tuple[str, str], float], one: str, other: str) -> float:
    return binary[(one, other) if one in CATIONS else (other, one)]


def _second_virial(pair: Pair, zc: int, za: int, ionic: float) -> tuple[float, float, float]:
    """B, its derivative by ionic strength, and B of the osmotic coefficient."""
    first, second = (1.4, 12.0) if zc == za == 2 else (2.0, 0.0)
    b = b_phi = pair.beta0
    b_prime = 0.0
    for alpha, beta in ((first, pair.beta1), (second, pair.beta2)):
        if alpha and beta:
            x = alpha * sqrt(ionic)
            decay = exp(-x)
            b += beta * 2.0 * (1.0 - (1.0 + x) * decay) / x**2
            b_prime -= beta * 2.0 * (1.0 - (1.0 + x + x * x / 2.0) * decay) / x**2 / ionic
            b_phi += beta * decay
    return b, b_prime, b_phi


def _unsymmetrical(ionic: float, slope: float) -> tuple[float, float]:
    """E-theta of ions of charge 1 and 2 of one sign, and its derivative by ionic strength."""
    root = sqrt(ionic)
    value = gradient = 0.0
    for product, weight in ((2, 1.0), (1, -0.5), (4, -0.5)):
        x = 6.0 * product * slope * root
        j, j_prime = _mixing_integral(x)
        value += weight * j
        gradient += weight * x * j_prime
    value *= 2.0 / (4.0 * ionic)
    return value, -value / ionic + 2.0 / (8.0 * ionic**2) * gradient


def _mixing_integral(x: float) -> tuple[float, float]:
    """J(x) of Pitzer (1975), eq. 47, and its derivative."""
    c1, c2, c3, c4 = 4.581, 0.7237, 0.0120, 0.528
    tail = c1 * x**-c2 * exp(-c3 * x**c4)
    tail_slope = tail * (-c2 - c3 * c4 * x**c4)  # times x
    below = 4.0 + tail
    return x / below, (1.0 - tail_slope / below) / below


@cache
def pairs() -> dict[tuple[str, str], Pair]:
    """All pairs of data/pitzer.csv."""
    return {
        (row["cation"], row["anion"]): Pair(
            *(float(row[column]) for column in ("beta0", "beta1", "beta2", "c_phi"))
        )
        for row in table("tankside.bath", "pitzer.csv")
    }
