"""Laws of a coat that hold for every resistance, current and deposit."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from tankside.field.panels import Panels
from tankside.field.seed.coat import Coat, DepositConduction
from tankside.field.seed.contacts import ShellContact
from tankside.field.seed.shell import SeedShell, seed_shell
from tankside.validation.closed_shapes import sphere

CORNERS = sphere(0.02, 4)
PANELS = Panels(corners=CORNERS, group=np.ones(len(CORNERS), dtype=int))
WIRES = (
    ShellContact(name="one", position=np.array([0, 0, 0.02]), radius=1e-3, resistance=0.02),
    ShellContact(name="two", position=np.array([0.02, 0, 0]), radius=6e-3),
)
COPPER = DepositConduction(resistivity=1.8e-8)
SEEDS = st.integers(0, 2**32 - 1)
RESISTANCES = st.floats(1e-2, 1e4)


def shell(seed: int, resistance: float, patchy: float = 0.5) -> SeedShell:
    """A coat that varies by a factor, under a deposit of up to a micrometre."""
    rng = np.random.default_rng(seed)
    coat = resistance * np.exp(patchy * rng.standard_normal(len(PANELS)))
    thickness = 1e-6 * rng.random(len(PANELS)) ** 8
    return seed_shell(PANELS, Coat(sheet_resistance=coat), WIRES, COPPER, thickness)


def currents(seed: int) -> np.ndarray:
    return np.random.default_rng(seed).uniform(0.0, 300.0, len(PANELS))


@given(SEEDS, RESISTANCES)
def test_what_is_collected_leaves_by_the_wires(seed: int, resistance: float) -> None:
    current = currents(seed)
    fed = shell(seed, resistance).contact_currents(current).sum()
    np.testing.assert_allclose(fed, PANELS.areas @ current, rtol=1e-8)


@given(SEEDS, RESISTANCES)
def test_nothing_collected_nothing_dropped_and_drops_add(seed: int, resistance: float) -> None:
    coat = shell(seed, resistance)
    one, other = currents(seed), currents(seed + 1)
    assert np.abs(coat.drop(np.zeros(len(PANELS)))).max() == 0.0
    together = coat.drop(one + 2 * other)
    np.testing.assert_allclose(together, coat.drop(one) + 2 * coat.drop(other), rtol=1e-8)


@given(SEEDS, RESISTANCES)
def test_power_is_heat_and_above_zero(seed: int, resistance: float) -> None:
    coat, current = shell(seed, resistance), currents(seed)
    power = float((PANELS.areas * current) @ coat.drop(current))
    assert power > 0
    np.testing.assert_allclose(PANELS.areas @ coat.heat(current), power, rtol=1e-7)


@given(SEEDS, RESISTANCES)
def test_more_copper_never_costs_more_power(seed: int, resistance: float) -> None:
    coat, current = shell(seed, resistance), currents(seed)
    thicker = coat.grown(coat.thickness + 1e-7 * np.random.default_rng(seed).random(len(PANELS)))
    weights = PANELS.areas * current
    assert weights @ thicker.drop(current) <= weights @ coat.drop(current) * (1 + 1e-9)


@given(SEEDS, RESISTANCES, st.floats(0.1, 10.0))
def test_a_larger_part_with_the_same_current_drops_the_same(
    seed: int, resistance: float, factor: float
) -> None:
    """A sheet's resistance knows no length: only the contacts' own stays as it is."""
    rng = np.random.default_rng(seed)
    coat = Coat(sheet_resistance=resistance * np.exp(0.5 * rng.standard_normal(len(PANELS))))
    larger = Panels(corners=factor * CORNERS, group=PANELS.group)
    wires = tuple(
        ShellContact(
            name=wire.name,
            position=factor * wire.position,
            radius=factor * wire.radius,
            resistance=wire.resistance,
        )
        for wire in WIRES
    )
    current = currents(seed)
    small = seed_shell(PANELS, coat, WIRES, COPPER).drop(current)
    large = seed_shell(larger, coat, wires, COPPER).drop(current / factor**2)
    np.testing.assert_allclose(large, small, rtol=1e-7)


@given(SEEDS, RESISTANCES)
def test_a_turned_part_is_the_same_part(seed: int, resistance: float) -> None:
    rng = np.random.default_rng(seed)
    turn, _ = np.linalg.qr(rng.standard_normal((3, 3)))
    turn[:, 0] *= np.sign(np.linalg.det(turn))
    coat = Coat(sheet_resistance=np.full(len(PANELS), resistance))
    turned = Panels(corners=CORNERS @ turn.T, group=PANELS.group)
    wires = tuple(
        ShellContact(name=w.name, position=turn @ w.position, radius=w.radius, resistance=0.02)
        for w in WIRES[1:]
    )
    plain = tuple(
        ShellContact(name=w.name, position=w.position, radius=w.radius, resistance=0.02)
        for w in WIRES[1:]
    )
    current = currents(seed)
    here = seed_shell(PANELS, coat, plain, COPPER).drop(current)
    there = seed_shell(turned, coat, wires, COPPER).drop(current)
    np.testing.assert_allclose(there, here, rtol=1e-6)
