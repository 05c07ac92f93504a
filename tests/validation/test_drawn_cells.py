"""The cells drawn by hand are closed, face the right way and hold the volume they should."""

from math import pi

import numpy as np
import pytest

from tankside.base.errors import BadInput, OutsideValidity
from tankside.validation import bodies_in_tank as tank
from tankside.validation import cells, recess, slanted, strips, throwing
from tankside.validation.cells import DrawnCell, spaced

WIRE_AREA = pi * tank.WIRE_RADIUS**2
CUP_METAL = pi * (
    tank.CUP_RADIUS**2 * tank.CUP_HEIGHT
    - (tank.CUP_RADIUS - tank.CUP_WALL) ** 2 * (tank.CUP_HEIGHT - tank.CUP_WALL)
)
TANK_ENDS = tank.CUP_TANK_ENDS[1] - tank.CUP_TANK_ENDS[0]

VOLUMES = {
    "trench": (recess._trench(20e-3)[0], 6e-3 * (15e-3 * 30e-3 + 5e-3 * 20e-3)),
    "hole": (recess._hole(10e-3)[0], pi / 2 * (15e-3**2 * 30e-3 + 5e-3**2 * 10e-3)),
    "slanted": (slanted._cell(), 267e-6),
    "closed throwing cell": (throwing._closed(0.03, 0.15), 15e-3 * 50e-3 * 0.18),
    "slotted throwing cell": (
        throwing._slotted(0.03, 0.15, 0.01),
        15e-3 * (50e-3 * 0.182 - 2e-3 * 40e-3),
    ),
    "strips": (strips._strip_cell(0.01, 0.01), 0.01 * 0.02 * 0.04),
    "wire": (strips._wire_cell(0.012), 0.01 * pi * (0.02**2 - 0.002**2)),
    "plate": (tank._plate_cell(0.008), 0.008 * (0.05 * 0.08 - 0.02 * 0.002)),
    "pair": (tank._pair_cell(0.006), 0.006 * (0.04 * 0.04 - WIRE_AREA)),
    "cup": (tank._cup_cell(), (pi * tank.CUP_TANK_RADIUS**2 * TANK_ENDS - CUP_METAL) / 2),
}


def volume(cell: DrawnCell) -> float:
    """Gauss's theorem with normals into the solution; the liquid's surface at z = 0 adds none."""
    panels = cell.panels()
    through = np.einsum("ij,ij->i", panels.centroids, panels.normals)
    return -float((through * panels.areas).sum()) / 3


@pytest.mark.parametrize("name", VOLUMES)
def test_the_drawn_boundary_holds_the_cell(name: str) -> None:
    cell, expected = VOLUMES[name]
    assert volume(cell) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("name", VOLUMES)
def test_panels_add_up_to_nothing_but_the_liquids_surface(name: str) -> None:
    """Area vectors of a boundary that is open at the liquid's surface only point up or down."""
    panels = VOLUMES[name][0].panels()
    total = (panels.normals * panels.areas[:, None]).sum(axis=0)
    assert np.abs(total[:2]).max() < 1e-12 * panels.areas.sum()
    assert total[2] > 0


def test_spacing_reaches_both_ends_and_grows_from_them() -> None:
    stops = spaced(0.1, 0.01, start=0.001, end=0.002)
    steps = np.diff(stops) * 0.1
    assert stops[0] == 0.0
    assert stops[-1] == pytest.approx(1.0, abs=1e-15)
    assert steps[0] <= 0.001
    assert steps[-1] <= 0.002
    assert steps.max() <= 0.01 + 1e-12
    assert (steps > 0).all()


@pytest.mark.parametrize("distance", [0.0, 0.0063, 0.0826, 0.1])
def test_the_published_formula_is_refused_outside_its_range(distance: float) -> None:
    with pytest.raises(OutsideValidity, match=r"from 0\.635 to 8\.255 cm"):
        slanted.published_current_density(distance, 1.0)


def test_the_mean_of_the_formula_is_that_of_its_values() -> None:
    at = np.linspace(0.01, 0.05, 2001)
    values = [slanted.published_current_density(float(x), 2.0) for x in at]
    assert slanted.published_mean(0.01, 0.05, 2.0) == pytest.approx(
        np.trapezoid(values, at) / 0.04, rel=1e-6
    )


def test_unknown_words_are_refused() -> None:
    with pytest.raises(BadInput, match="linear"):
        cells.electrodes_of("tafel")
    with pytest.raises(BadInput, match="heatley"):
        throwing.index("luke", 5.0, 3.0)


def test_a_face_that_is_not_there_is_named() -> None:
    field = recess._field("trench", 1.0, "linear")
    with pytest.raises(KeyError, match="ceiling"):
        field.mean("ceiling")
