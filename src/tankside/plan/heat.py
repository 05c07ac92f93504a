"""Heat and water of a run: what the current puts in, what the room takes, what a heater adds."""

import numpy as np

from tankside.bath.electrolyte import Electrolyte
from tankside.bath.evaporation import Room
from tankside.bath.heat import TankShell, heat_loss, ohmic_heat
from tankside.cell.bodies import Cell, Role
from tankside.plan.plan import HeatBalance, Surroundings

OPEN_UNDER_A_LID = 0.1
"""Share of the surface that a loose lid with wires through it leaves open [-]: our guess."""

LEVEL_FLOOR = -0.99
"""Cosine below which a vessel's panel counts as floor."""


def heat_balance(
    cell: Cell,
    electrolyte: Electrolyte,
    surroundings: Surroundings,
    *,
    current: float,
    voltage: float,
    duration: float,
) -> HeatBalance:
    """The balance of `duration` [s] at `current` [A] and `voltage` across the bath [V]."""
    shell = tank_shell(cell, electrolyte, covered=surroundings.covered)
    room = Room(
        temperature=surroundings.air_temperature, relative_humidity=surroundings.relative_humidity
    )
    lost = heat_loss(shell, electrolyte.temperature, room)
    ohmic = ohmic_heat(current, voltage)
    need = lost.total
    return HeatBalance(
        ohmic_power=ohmic,
        loss=need,
        holding_power=need.mapped(lambda power: max(power - ohmic, 0.0)),
        warm_up_energy=shell.thermal_mass
        * max(electrolyte.temperature - surroundings.air_temperature, 0.0),
        water_lost=lost.water.scaled(duration),
    )


def tank_shell(cell: Cell, electrolyte: Electrolyte, *, covered: bool) -> TankShell:
    """The filled tank as heat sees it; walls are upright, so the surface equals the floor."""
    vessel = cell.of_role(Role.VESSEL)
    upward = np.concatenate([body.surface.area_vectors[:, 2] for body in vessel])
    areas = np.concatenate([body.surface.areas for body in vessel])
    floor = float(upward[upward > -LEVEL_FLOOR * areas].sum())
    return TankShell(
        liquid_mass=electrolyte.density.best * cell.solution_volume,
        heat_capacity=electrolyte.heat_capacity.best,
        surface_area=floor,
        wall_area=float(areas.sum()),
        wall_height=cell.liquid_level,
        open_fraction=OPEN_UNDER_A_LID if covered else 1.0,
    )
