"""What the closed-form cells are made of: their surfaces, and the roots their rows quote."""

from math import exp, pi

import numpy as np
import pytest
from scipy.optimize import brentq

from tankside.base.arrays import Floats
from tankside.base.constants import thermal_voltage
from tankside.validation import closed_shapes as shapes
from tankside.validation.cases import cases


def area_vectors(corners: Floats) -> Floats:
    return np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]) / 2


def volume(corners: Floats) -> float:
    """Enclosed, positive for normals outward."""
    return float(np.einsum("ij,ij->i", corners[:, 0], area_vectors(corners)).sum()) / 3


def flux(corners: Floats) -> float:
    """Largest component of the sum of area vectors: zero for a closed surface."""
    return float(np.abs(area_vectors(corners).sum(axis=0)).max())


def test_sphere() -> None:
    corners = shapes.sphere(2.0, 5)
    assert len(corners) == 20 * 25
    assert flux(corners) < 1e-12
    assert volume(corners) == pytest.approx(4 / 3 * pi * 8, rel=1e-12)


def test_half_spheroid_and_disc_share_a_rim() -> None:
    dome, lid = shapes.half_spheroid(2.0, 1.0, 6), shapes.disc(2.0, 6, 1.5)
    assert (len(dome), len(lid)) == (216, 216)
    assert volume(dome) == pytest.approx(2 / 3 * pi * 4, rel=1e-12)
    assert area_vectors(lid).sum(axis=0) == pytest.approx([0, 0, -4 * pi], abs=1e-9)
    assert dome[:, :, 2].max() == pytest.approx(0, abs=1e-12)
    assert (lid[:, :, 2] == 0).all()


def test_rings_of_the_disc_come_from_the_centre_out() -> None:
    lid = shapes.disc(1.0, 4, 1.5)
    radii = np.linalg.norm(lid[:, :, :2], axis=2).max(axis=1)
    for ring in range(1, 5):
        inside = radii[: 6 * ring**2]
        end = (1 - (1 - ring / 4) ** 1.5) * radii.max()
        assert inside.max() == pytest.approx(end, rel=1e-12)


def test_box() -> None:
    faces = shapes.box(np.array([1.0, 2, 4]), np.array([0.0, 1]), np.array([0.0, 2, 5]))
    corners = np.concatenate(list(faces.values()))
    assert len(corners) == 2 * 2 * (1 * 2 + 2 * 2 + 2 * 1)
    assert flux(corners) < 1e-12
    assert volume(corners) == pytest.approx(-15.0, rel=1e-12)
    assert (faces["x+"][:, :, 0] == 4.0).all()


def test_annulus() -> None:
    faces = shapes.annulus(1.0, 2.0, 3.0, (24, 3, 2))
    corners = np.concatenate(list(faces.values()))
    assert flux(corners) < 1e-12
    assert volume(corners) == pytest.approx(-pi * 9, rel=1e-12)


def test_turned() -> None:
    corners = shapes.sphere(1.0, 2)
    assert volume(shapes.turned(corners)) == pytest.approx(-volume(corners), rel=1e-12)


@pytest.mark.parametrize("current", [20, 200, 450, 800])
def test_rows_of_the_copper_cell_are_scalar_roots(current: int) -> None:
    """eta of each electrode from its rate law, written out anew, by bracketing; plus i L/kappa."""
    volt = thermal_voltage(298.15)

    def deposited(eta: float) -> float:
        drive = 20 * (exp(-0.5 * eta / volt) - exp(1.5 * eta / volt))
        return drive / (1 + 20 / 500 * exp(-0.5 * eta / volt))

    def cathode(eta: float) -> float:
        hydrogen = 1e-3 * (exp(-0.5 * (eta + 0.34) / volt) - 1) if eta < -0.34 else 0.0
        return deposited(eta) + hydrogen - current

    def anode(eta: float) -> float:
        return 20 * (exp(-0.5 * eta / volt) - exp(1.5 * eta / volt)) + current

    at_cathode, at_anode = brentq(cathode, -3, 0, xtol=1e-14), brentq(anode, 0, 1, xtol=1e-14)
    rows = {case.id: case for case in cases()}
    voltage = at_anode + current * 0.08 / 50 - at_cathode
    assert rows[f"plates.voltage.{current}"].expected == pytest.approx(voltage, rel=1e-9)
    if current == 800:
        share = deposited(at_cathode) / current
        assert rows["plates.copper.800"].expected == pytest.approx(share, rel=1e-9)
