"""The shell: conservation, symmetry, contacts, islands, patches, strokes, and its two limits."""

from dataclasses import replace
from math import cosh, inf, log, nan, pi, sinh

import numpy as np
import pytest

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput
from tankside.field.panels import Panels
from tankside.field.seed.coat import Coat, DepositConduction, even_coat
from tankside.field.seed.contacts import ShellContact
from tankside.field.seed.shell import SeedShell, seed_shell
from tankside.validation.closed_shapes import box, disc, patch, sphere, turned

COPPER = DepositConduction(resistivity=1.8e-8, film_length=1e-7)


def ball(sheet_resistance: float = 10.0, frequency: int = 6, resistance: float = 0.0) -> SeedShell:
    panels = Panels(corners=sphere(0.02, frequency), group=np.ones(20 * frequency**2, dtype=int))
    contact = ShellContact(
        name="the wire", position=np.array([0, 0, 0.02]), radius=4e-3, resistance=resistance
    )
    coat = even_coat(np.ones(len(panels), dtype=bool), sheet_resistance)
    return seed_shell(panels, coat, (contact,), COPPER)


def strip(
    resistances: Floats | float, *, cells: int = 40, strokes: Floats | None = None, ratio: float = 1
) -> tuple[Panels, SeedShell]:
    """0.1 m by 0.02 m, clamped along x = 0 over a first column of 1 mm."""
    lines = np.concatenate([[-1e-3], np.linspace(0, 0.1, cells + 1)])
    count = cells + 1

    def position(u: Floats, v: Floats) -> tuple[Floats, Floats, Floats]:
        return np.interp(u * count, np.arange(count + 1), lines), 0.02 * v, 0 * u

    corners = patch(position, count, 4)
    panels = Panels(corners=corners, group=np.ones(len(corners), dtype=int))
    clamp = ShellContact(name="clamp", position=np.array([-50.0, 0.01, 0]), radius=50.0)
    along = None if strokes is None else np.tile(strokes, (len(panels), 1))
    values = np.broadcast_to(np.asarray(resistances, dtype=float), (len(panels),))
    coat = Coat(sheet_resistance=values, strokes=along, across_over_along=ratio)
    return panels, seed_shell(panels, coat, (clamp,), COPPER)


def test_all_that_is_collected_leaves_at_the_contacts() -> None:
    shell = ball(resistance=0.3)
    panels = len(shell.thickness)
    current = np.random.default_rng(1).uniform(0, 200, panels)
    areas = np.zeros(panels)
    areas[shell.network.panels] = shell.sheet.areas
    assert shell.contact_currents(current).sum() == pytest.approx(areas @ current, rel=1e-12)


def test_the_drop_is_symmetric_and_its_power_is_heat() -> None:
    shell = ball()
    rng = np.random.default_rng(2)
    one, other = rng.uniform(0, 200, (2, len(shell.thickness)))
    areas = shell.sheet.areas
    there = (areas * one) @ shell.drop(other)
    assert there == pytest.approx((areas * other) @ shell.drop(one), rel=1e-10)
    power = (areas * one) @ shell.drop(one)
    assert areas @ shell.heat(one) == pytest.approx(power, rel=1e-10)


def test_reacting_is_what_it_says() -> None:
    shell = ball(100.0)
    rng = np.random.default_rng(3)
    current, response = rng.uniform(0, 200, (2, len(shell.thickness)))
    drop = shell.reacting(response)(current)
    np.testing.assert_allclose(drop, shell.drop(current - response * drop), rtol=1e-9)


def test_a_contact_resistance_adds_its_own_drop() -> None:
    direct, behind = ball(), ball(resistance=0.25)
    current = np.full(len(direct.thickness), 100.0)
    total = float(direct.sheet.areas @ current)
    added = behind.drop(current) - direct.drop(current)
    np.testing.assert_allclose(added, 0.25 * total, rtol=1e-9)


def test_resistance_of_a_strip_is_length_over_width() -> None:
    panels, shell = strip(5.0)
    far = panels.centroids[:, 0] > 0.0974
    current = np.where(far, 1.0, 0.0)
    total = panels.areas @ current
    middle = 0.5 * 0.0025  # the current is collected over the last column
    drop = np.average(shell.drop(current), weights=panels.areas * current)
    assert drop == pytest.approx(total * 5.0 * (0.1 - middle) / 0.02, rel=0.01)


def test_two_coats_in_series() -> None:
    """An even collection of i over two coats: V falls by the integral of R i (L - x)."""
    panels, _ = strip(1.0)
    values = np.where(panels.centroids[:, 0] < 0.05, 4.0, 40.0)
    _, shell = strip(values)
    end = panels.centroids[:, 0] > 0.0974
    beyond = np.where(panels.centroids[:, 0] > 0, 10.0, 0.0)
    expected = 10.0 * (4.0 * (0.1**2 - 0.05**2) / 2 + 40.0 * 0.05**2 / 2)
    assert shell.drop(beyond)[end].mean() == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize("angle", [0.0, 90.0])
def test_strokes_conduct_along_themselves(angle: float) -> None:
    turn = np.deg2rad(angle)
    direction = np.array([np.cos(turn), np.sin(turn), 0.0])
    panels, brushed = strip(5.0, strokes=direction, ratio=4.0)
    _, plain = strip(5.0 if angle == 0 else 20.0)
    current = np.where(panels.centroids[:, 0] > 0, 10.0, 0.0)
    beyond = current > 0
    np.testing.assert_allclose(
        brushed.drop(current)[beyond], plain.drop(current)[beyond], rtol=2e-3
    )


def test_slanted_strokes_pull_the_current_aside() -> None:
    """Between insulated sides and far from the ends no current crosses the strip, so the resistance
    along it is the tensor's: R (cos² + ratio sin²) of the strokes' angle."""
    panels, brushed = strip(5.0, cells=60, strokes=np.array([1.0, 1.0, 0.0]) / 2**0.5, ratio=4.0)
    current = np.where(panels.centroids[:, 0] > 0.0983, 10.0, 0.0)
    drop = brushed.drop(current)
    total = float(panels.areas @ current)

    def at(x: float) -> float:
        near = np.abs(panels.centroids[:, 0] - x) < 0.003
        return float(np.average(drop[near], weights=panels.areas[near]))

    places = [
        np.average(panels.centroids[near, 0], weights=panels.areas[near])
        for x in (0.03, 0.07)
        for near in [np.abs(panels.centroids[:, 0] - x) < 0.003]
    ]
    resistance = (at(0.07) - at(0.03)) / total * 0.02 / (places[1] - places[0])
    assert resistance == pytest.approx(5.0 * (0.5 + 4.0 * 0.5), rel=0.01)


def test_copper_conducts_beside_the_coat() -> None:
    panels, shell = strip(5.0)
    grown = shell.grown(np.full(len(panels), 1e-6))
    copper = 1e-6**2 / (1.8e-8 * (1e-6 + 1e-7))
    np.testing.assert_allclose(
        grown.sheet_conductance[shell.network.panels], 0.2 + copper, rtol=1e-12
    )
    current = np.where(panels.centroids[:, 0] > 0, 10.0, 0.0)
    ratio = shell.drop(current).max() / grown.drop(current).max()
    assert ratio == pytest.approx((0.2 + copper) / 0.2, rel=1e-9)


def test_a_thin_film_conducts_worse_than_its_thickness_says() -> None:
    thin, thick = COPPER.sheet_conductance(np.array([1e-7, 1e-4]))
    assert thin == pytest.approx(0.5 * 1e-7 / 1.8e-8)
    assert thick == pytest.approx(1e-4 / 1.8e-8, rel=2e-3)
    assert COPPER.sheet_conductance(np.array([0.0, -1e-6])).max() == 0.0


def test_a_contact_finer_than_the_panels_keeps_its_spreading_resistance() -> None:
    """Disc with its rim 10 mm from the centre, fed by a wire of 0.2 mm: R ln(b / a) / 2 pi."""
    corners = disc(0.01, 8, 1.0)
    panels = Panels(corners=corners, group=np.ones(len(corners), dtype=int))
    coat = even_coat(np.ones(len(panels), dtype=bool), 10.0)
    wire = ShellContact(name="wire", position=np.array([1e-5, 0, 0]), radius=2e-4)
    shell = seed_shell(panels, coat, (wire,), COPPER)
    rim = np.linalg.norm(panels.centroids[:, :2], axis=1) > 0.0092
    current = np.where(rim, 1.0, 0.0)
    drop = np.average(shell.drop(current), weights=panels.areas * current)
    resistance = drop / float(panels.areas @ current)
    assert resistance == pytest.approx(10.0 * log(0.0096 / 2e-4) / (2 * pi), rel=0.08)


def two_boxes() -> Panels:
    lines = np.linspace(0, 0.01, 3)
    first = np.concatenate([turned(face) for face in box(lines, lines, lines).values()])
    return Panels(
        corners=np.concatenate([first, first + np.array([0.03, 0, 0])]),
        group=np.ones(2 * len(first), dtype=int),
    )


def test_islands_and_bare_places_are_named() -> None:
    panels = two_boxes()
    values = np.full(len(panels), 10.0)
    values[:8] = inf
    wire = ShellContact(name="wire", position=np.array([0.005, 0.005, 0.01]), radius=2e-3)
    shell = seed_shell(panels, Coat(sheet_resistance=values), (wire,), COPPER)
    half = len(panels) // 2
    assert shell.network.floating[half:].all()
    assert not shell.network.floating[:half].any()
    assert np.flatnonzero(shell.network.bare).tolist() == list(range(8))
    (name,) = shell.network.islands
    assert "island of 6 cm²" in name
    assert "about (35, 5, 5) mm" in name
    drop = shell.drop(np.full(len(panels), 10.0))
    assert drop[half:].max() == 0.0
    assert drop[8:half].min() >= 0.0


def test_panels_that_touch_at_a_corner_are_not_joined() -> None:
    corners = np.array(
        [
            [[0, 0, 0], [1, 0, 0], [0, 1, 0]],
            [[1, 0, 0], [1, 1, 0], [0, 1, 0]],
            [[1, 1, 0], [2, 1, 0], [1, 2, 0]],
        ],
        dtype=float,
    )
    panels = Panels(corners=1e-2 * corners, group=np.ones(3, dtype=int))
    wire = ShellContact(name="wire", position=1e-2 * np.array([0.3, 0.3, 0]), radius=1e-3)
    shell = seed_shell(panels, even_coat(np.ones(3, dtype=bool), 1.0), (wire,), COPPER)
    assert shell.network.floating.tolist() == [False, False, True]


def test_the_drop_follows_the_shape_round_sharp_edges() -> None:
    """A strip folded by 90 degrees is the flat strip."""
    panels, flat = strip(5.0)
    x = panels.corners[..., 0]
    folded = panels.corners.copy()
    folded[..., 0], folded[..., 2] = np.minimum(x, 0.05), np.maximum(x - 0.05, 0.0)
    bent = Panels(corners=folded, group=panels.group)
    shell = seed_shell(bent, flat.coat, flat.contacts, COPPER)
    current = np.where(panels.centroids[:, 0] > 0, 10.0, 0.0)
    np.testing.assert_allclose(shell.drop(current), flat.drop(current), rtol=1e-6, atol=1e-12)


def test_linear_reaction_gives_the_cosh_law() -> None:
    panels, shell = strip(10.0, cells=100)
    nu = 3.0
    response = np.where(panels.centroids[:, 0] > 0, nu**2 / (10.0 * 0.1**2), 0.0)
    driven = shell.reacting(response)(0.2 * response)
    x = panels.centroids[:, 0] / 0.1
    exact = 0.2 * (1 - np.cosh(nu * (1 - x)) / cosh(nu))
    beyond = x > 0
    np.testing.assert_allclose(driven[beyond], exact[beyond], atol=2e-4 * 0.2)
    total = float(panels.areas @ (response * (0.2 - driven)))
    assert total == pytest.approx(0.2 * 0.02 * nu * sinh(nu) / cosh(nu) / (10.0 * 0.1), rel=1e-3)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (lambda: even_coat(np.ones(3, dtype=bool), 0.0), "sheet resistance must be above zero"),
        (lambda: DepositConduction(resistivity=0.0), "resistivity must be above zero"),
        (lambda: DepositConduction(resistivity=1.0, film_length=-1.0), "cannot be below zero"),
        (
            lambda: Coat(sheet_resistance=np.ones(2), across_over_along=0.0),
            "across the strokes over that along",
        ),
        (lambda: Coat(sheet_resistance=np.ones(2), strokes=np.ones((3, 3))), "strokes are given"),
        (
            lambda: ShellContact(name="clip", position=np.zeros(3), radius=0.0),
            "clip needs a radius above zero",
        ),
        (
            lambda: ShellContact(name="clip", position=np.zeros(3), radius=1.0, resistance=-1.0),
            "resistance of clip cannot be below zero",
        ),
        (
            lambda: seed_shell(
                two_boxes(), even_coat(np.ones(9, dtype=bool), 1.0), (WIRE,), COPPER
            ),
            "a coat of 9 panels does not fit",
        ),
        (
            lambda: seed_shell(two_boxes(), Coat(sheet_resistance=np.full(96, nan)), (), COPPER),
            "at least one contact",
        ),
        (
            lambda: seed_shell(
                two_boxes(),
                Coat(sheet_resistance=np.full(len(two_boxes()), inf)),
                (WIRE,),
                COPPER,
            ),
            "nothing can be plated",
        ),
    ],
)
def test_refuses_what_makes_no_sense(change: object, sentence: str) -> None:
    assert callable(change)
    with pytest.raises(BadInput, match=sentence):
        change()


WIRE = ShellContact(name="wire", position=np.zeros(3), radius=1e-3)


def test_refuses_contacts_on_bare_places_only() -> None:
    panels = two_boxes()
    values = np.full(len(panels), 10.0)
    values[: len(panels) // 2] = inf
    wire = replace(WIRE, position=np.array([0.005, 0.005, 0.01]), radius=2e-3)
    with pytest.raises(BadInput, match="every contact stands on a bare place"):
        seed_shell(panels, Coat(sheet_resistance=values), (wire,), COPPER)
