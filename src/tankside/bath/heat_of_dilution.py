"""How warm it gets when acid goes into water, oxide into acid, or a salt dissolves.

Heat is counted from one level: every ion at infinite dilution at 25 °C. A mole of acid in r moles
of water stands above that level by the tabulated enthalpy of solution at r less that at infinite
dilution; a solid stands above it by its heat of dissolving, from enthalpies of formation. What is
given off is what the parts stand above the level less what the mixture does. Copper sulfate in the
water is taken to leave the acid's heat as it is; pairing of copper with sulfate takes up its own.
Refuses acids and solids that the tables do not hold.
"""

from collections.abc import Mapping
from functools import cache
from math import inf, isinf, log1p
from typing import Any

import numpy as np

from tankside.base.errors import BadInput, MissingData
from tankside.base.intervals import Interval
from tankside.base.messages import said
from tankside.base.tables import table
from tankside.bath.estimate import Estimate
from tankside.bath.heat_capacity import heat_capacity
from tankside.bath.ions import dissolving
from tankside.bath.mixture import Mixture, ions_in, mixed, reacted
from tankside.bath.parameters import parameter
from tankside.substances import substance

_ROOM = "tankside.bath"
ACIDS = ("sulfuric acid", "hydrochloric acid")
SOURCES = ("crc2010", "felder2005", "laliberte2009", "wagman1982")
"""What these heats stand on."""

REFERENCE_TEMPERATURE = 298.15
"""The temperature of the tables [K]; heats of mixing change little from 10 to 60 °C."""


def heat_of_solution(acid: str, water_per_acid: float) -> float:
    """Enthalpy of dissolving a mole of acid in `water_per_acid` moles of water [J mol⁻¹].

    Negative, as it warms. Sulfuric acid from the pure liquid, hydrogen chloride from the gas.
    Beyond the last row before infinity the curve runs with 1/sqrt(r) to infinite dilution.
    """
    if acid not in ACIDS:
        raise MissingData(
            "no heat of solution is held for {acid!r}; known are {acids}",
            acid=acid,
            acids=", ".join(ACIDS),
        )
    if not water_per_acid >= 0.0:
        raise BadInput(
            "an acid cannot be dissolved in {water_per_acid} moles of water",
            water_per_acid=water_per_acid,
        )
    ratios, enthalpies, endless = _acid_table(acid)
    if water_per_acid < ratios[0]:
        raise MissingData(
            "the heat of solution of {acid} is held from {ratios:g} moles of water a mole, not "
            "for {water_per_acid:.3g}",
            acid=acid,
            ratios=ratios[0],
            water_per_acid=water_per_acid,
        )
    if water_per_acid <= ratios[-1]:
        return float(_acid_curve(acid)(log1p(water_per_acid)))
    share = 0.0 if isinf(water_per_acid) else (ratios[-1] / water_per_acid) ** 0.5
    return endless + (enthalpies[-1] - endless) * share


def heat_of_dissolving(name: str) -> float:
    """Enthalpy of dissolving a mole of a solid into ions at infinite dilution [J mol⁻¹].

    Positive where it cools. Oxide and carbonate take the hydrogen ions that they need; carbon
    dioxide leaves as gas. MissingData where an enthalpy of formation is not held.
    """
    held = _formation()
    if name not in dissolving() or name not in held:
        raise MissingData("no enthalpy of formation is held for {name!r}", name=name)
    missing = [ion for ion in dissolving()[name] if ion not in held]
    if missing:
        raise MissingData(
            "no enthalpy of formation is held for {missing}", missing=", ".join(missing)
        )
    return sum(moles * held[ion] for ion, moles in dissolving()[name].items()) - held[name]


def knows_heat_of(name: str) -> bool:
    """True where the heat of a substance's mixing or dissolving is held."""
    return name in ACIDS or name in _formation()


def heat_given_off(
    vessel: Mixture, added: Mixture, *, solid: Mapping[str, float] | None = None
) -> Interval:
    """Heat [J] that `added` gives off on going into `vessel`, negative where it cools.

    `added` is what the product becomes as a mixture; `solid` names the solids that it was weighed
    as, with their masses [kg], where it was no liquid.
    """
    before = _above_level(vessel)
    if solid is None:
        before += _above_level(added)
    else:
        before += sum(
            -_dissolving_heat(name) * mass / substance(name).molar_mass
            for name, mass in solid.items()
            if name in _formation() and name != "water"
        )
    together = mixed(vessel, added)
    pairing = _paired_heat(vessel, together)
    best = before - _above_level(together) - pairing.best
    half = abs(best) * parameter("heat_of_mixing_error").value.high
    return Interval(
        best - half - (pairing.high - pairing.best),
        best,
        best + half + (pairing.best - pairing.low),
    )


def heat_capacity_of(mixture: Mixture, temperature: float) -> float:
    """Heat that warms a liquid mixture by a kelvin [J K⁻¹], by Laliberté's law.

    Where a solute is stronger than the law was fitted for, it is taken at its strongest; what the
    law does not hold counts as water.
    """
    done = reacted(mixture)
    fractions: dict[str, float] = {}
    for name in ("copper sulfate", "sulfuric acid"):
        if done.of(name) > 0.0:
            fractions[name] = min(done.of(name) / done.mass, _strongest(name))
    return done.mass * heat_capacity(fractions, temperature)


def mixed_temperature(
    vessel: Mixture,
    vessel_temperature: float,
    added: Mixture,
    added_temperature: float,
    *,
    solid: Mapping[str, float] | None = None,
) -> Estimate:
    """Temperature [K] right after `added` went into `vessel`, nothing lost to the room."""
    heat = heat_given_off(vessel, added, solid=solid)
    held = heat_capacity_of(vessel, vessel_temperature)
    if solid is None:
        brought = heat_capacity_of(added, added_temperature)
    else:
        brought = sum(solid.values()) * parameter("solid_heat_capacity").best
    start = (held * vessel_temperature + brought * added_temperature) / (held + brought)
    together = heat_capacity_of(mixed(vessel, added), start)
    return Estimate(
        value=heat.mapped(lambda joules: start + joules / together),
        assumptions=(
            said("Heats of mixing are those at 25 °C, and copper does not change the acid's."),
        ),
        sources=SOURCES,
    )


def _dissolving_heat(name: str) -> float:
    """As `heat_of_dissolving`; copper metal takes with it the peroxide that it needs [J mol⁻¹]."""
    needs_peroxide = name == "copper"
    oxidant = heat_of_dissolving("hydrogen peroxide") if needs_peroxide else 0.0
    return heat_of_dissolving(name) + oxidant


def _above_level(mixture: Mixture) -> float:
    """What the dissolved acids stand above infinite dilution [J]."""
    moles = ions_in(mixture)
    if moles["water"] <= 0.0 and moles["hydrogen ion"] <= 0.0:
        return 0.0
    chloride = max(min(moles["chloride"] - moles["sodium ion"], moles["hydrogen ion"]), 0.0)
    amounts = {
        "hydrochloric acid": chloride,
        "sulfuric acid": min((moles["hydrogen ion"] - chloride) / 2.0, moles["sulfate"]),
    }
    return sum(
        amount * (heat_of_solution(acid, moles["water"] / amount) - heat_of_solution(acid, inf))
        for acid, amount in amounts.items()
        if amount > 1e-12 * max(moles["water"], 1e-300)
    )


def _paired_heat(before: Mixture, after: Mixture) -> Interval:
    """Heat that newly dissolved copper takes up by pairing with sulfate [J]."""

    def paired(mixture: Mixture) -> float:
        moles = ions_in(mixture)
        return min(moles["copper ion"], moles["sulfate"])

    fresh = max(paired(after) - paired(before), 0.0)
    return parameter("copper_sulfate_pairing").value.scaled(fresh)


@cache
def _acid_table(acid: str) -> tuple[tuple[float, ...], tuple[float, ...], float]:
    rows = [
        (float(row["water_per_acid"]), 1e3 * float(row["enthalpy_kJ_mol"]))
        for row in table(_ROOM, "heat_of_solution.csv")
        if row["acid"] == acid
    ]
    finite = [row for row in rows if not isinf(row[0])]
    return tuple(r for r, _ in finite), tuple(h for _, h in finite), rows[-1][1]


@cache
def _acid_curve(acid: str) -> Any:
    from scipy.interpolate import PchipInterpolator  # a server's start need not wait for it

    ratios, enthalpies, _ = _acid_table(acid)
    return PchipInterpolator(np.log1p(ratios), enthalpies)


@cache
def _formation() -> dict[str, float]:
    return {
        row["name"]: 1e3 * float(row["enthalpy_kJ_mol"])
        for row in table(_ROOM, "dissolving_enthalpies.csv")
    }


@cache
def _strongest(name: str) -> float:
    """Highest mass fraction that the law of heat capacity was fitted for [-]."""
    rows = table(_ROOM, "laliberte.csv")
    return next(float(row["heat_max_fraction"]) for row in rows if row["substance"] == name)
