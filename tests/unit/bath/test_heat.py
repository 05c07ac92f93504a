"""Heat leaves a tank as it should, and a heater that cannot is told so."""

from dataclasses import replace
from math import log

import pytest

from tankside.base.errors import BadInput, Impossible
from tankside.bath.evaporation import Room
from tankside.bath.heat import (
    TankShell,
    heat_loss,
    holding_power,
    ohmic_heat,
    steady_temperature,
    temperature_rise,
    wall_loss,
    warm_up_time,
)

TANK = TankShell(
    liquid_mass=20.8,
    heat_capacity=3450.0,
    surface_area=0.096,
    wall_area=0.43,
    wall_height=0.26,
    water_activity=0.95,
)
ROOM = Room(temperature=295.15, relative_humidity=0.5, air_speed=0.05)


def test_a_bare_wall_loses_eight_to_ten_watts_per_square_metre_and_kelvin() -> None:
    """Rule of thumb for indoor surfaces (from memory); with 25 mm of foam 1 to 2."""
    bare = wall_loss(303.15, ROOM, 0.0, 0.26) / 8.0
    lagged = wall_loss(303.15, ROOM, 0.025 / 0.035, 0.26) / 8.0
    assert 8.0 < bare < 10.0
    assert 1.0 < lagged < 1.4


def test_what_crosses_the_wall_leaves_it() -> None:
    """With the outside temperature found, resistance and air agree: q = dT / (R + 1/h)."""
    resistance = 0.05
    flux = wall_loss(313.15, ROOM, resistance, 0.26)
    outside = 313.15 - flux * resistance
    assert wall_loss(outside, ROOM, 0.0, 0.26) == pytest.approx(flux, rel=1e-9)


def test_in_balance_with_dry_walls_nothing_crosses_them() -> None:
    loss = heat_loss(TANK, ROOM.temperature, ROOM)
    assert loss.walls.best == loss.surface.best == 0.0
    assert loss.evaporation.best > 0.0
    assert loss.total.best == pytest.approx(loss.evaporation.best)


def test_a_lid_stops_evaporation() -> None:
    lid = replace(TANK, open_fraction=0.0)
    loss = heat_loss(lid, 313.15, ROOM)
    assert loss.evaporation.best == loss.water.best == 0.0
    assert loss.walls.best > heat_loss(TANK, 313.15, ROOM).walls.best


def test_holding_power_is_the_loss_and_never_negative() -> None:
    assert holding_power(TANK, 313.15, ROOM) == heat_loss(TANK, 313.15, ROOM).total
    cold = holding_power(TANK, 284.15, ROOM)
    assert cold.low == cold.best == 0.0


def test_warming_takes_longer_than_without_losses_and_less_than_with_the_worst() -> None:
    power, start, goal = 150.0, 295.15, 308.15
    ideal = TANK.thermal_mass * (goal - start) / power
    worst = TANK.thermal_mass * (goal - start) / (power - heat_loss(TANK, goal, ROOM).total.best)
    assert ideal < warm_up_time(TANK, start, goal, power, ROOM) < worst


def test_warming_matches_the_closed_form_for_constant_resistance() -> None:
    """A lid and walls whose own resistance rules: T approaches P R + T_room exponentially."""
    resistance = 50.0
    shell = replace(TANK, open_fraction=0.0, wall_resistance=resistance)
    area = shell.wall_area + shell.surface_area
    start, goal, power = 295.15, 300.15, 2.0
    conductance = area / resistance
    expected = -shell.thermal_mass / conductance * log(1 - conductance * (goal - start) / power)
    assert warm_up_time(shell, start, goal, power, ROOM) == pytest.approx(expected, rel=2e-3)


def test_a_weak_heater_is_told_how_far_it_gets() -> None:
    with pytest.raises(Impossible, match=r"100 W warm this tank to 3\d\.\d °C at most"):
        warm_up_time(TANK, 295.15, 333.15, 100.0, ROOM)


def test_a_warm_bath_needs_no_time() -> None:
    assert warm_up_time(TANK, 303.15, 298.15, 10.0, ROOM) == 0.0


def test_steady_temperature_balances() -> None:
    for power in (0.0, 30.0, 200.0):
        temperature = steady_temperature(TANK, power, ROOM)
        assert heat_loss(TANK, temperature, ROOM).total.best == pytest.approx(power, abs=1e-6)
    assert steady_temperature(TANK, 0.0, ROOM) < ROOM.temperature


def test_boiling_and_cooling_are_refused() -> None:
    with pytest.raises(Impossible, match="to the boil"):
        steady_temperature(TANK, 1e5, ROOM)
    with pytest.raises(BadInput, match="not negative"):
        steady_temperature(TANK, -1.0, ROOM)


def test_plating_warms_the_bath() -> None:
    """3 A at 2 V for an hour are 21.6 kJ, 0.30 K of 20.8 kg at 3450 J/(kg K)."""
    assert ohmic_heat(3.0, 2.0) == 6.0
    assert temperature_rise(TANK, 6.0 * 3600.0) == pytest.approx(0.30, rel=0.01)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("liquid_mass", 0.0),
        ("surface_area", -1.0),
        ("wall_area", -1.0),
        ("wall_resistance", -0.1),
        ("open_fraction", 1.5),
        ("wall_height", float("nan")),
    ],
)
def test_impossible_tanks_are_refused(field: str, value: float) -> None:
    with pytest.raises(BadInput):
        replace(TANK, **{field: value})
