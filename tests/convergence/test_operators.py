"""Boundary problems with exact answers, solved on finer and finer panels by the operators alone."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import pytest

from tankside.base.arrays import Bools, Floats
from tankside.field.hierarchical import build_operators
from tankside.field.krylov import gmres
from tankside.field.operators import Operators
from tankside.field.panels import Panels
from tankside.validation.closed_shapes import box, disc, sphere, turned


@dataclass
class Answer:
    """flux = dphi/dn into the solution, and potential, on every panel."""

    panels: Panels
    flux: Floats
    potential: Floats

    def total(self, chosen: Bools) -> float:
        return float((self.flux * self.panels.areas)[chosen].sum())


def solved(operators: Operators, outside: Floats, resistance: Floats, insulator: Bools) -> Answer:
    """The field with phi - resistance dphi/dn = outside on electrodes, dphi/dn = 0 on insulators.

    The unknown is phi on insulators and the flux, times a length, on electrodes.
    """
    panels = operators.panels
    length = np.sqrt(panels.areas) + resistance
    flux_weight = np.where(insulator, 0.0, 1.0 / length)
    potential_weight = np.where(insulator, 1.0, resistance / length)
    fixed = np.where(insulator, 0.0, outside)
    right = -(fixed / 2 + operators.applied(0 * fixed, fixed))

    def operator(x: Floats) -> Floats:
        u = potential_weight * x
        return np.asarray(u / 2 + operators.applied(flux_weight * x, u))

    preconditioner = operators.preconditioner(potential_weight, flux_weight)
    answer = gmres(operator, right, preconditioner, tolerance=1e-7)
    assert answer.converged
    x = answer.solution
    return Answer(panels=panels, flux=flux_weight * x, potential=potential_weight * x + fixed)


def rates(errors: list[float]) -> list[float]:
    """Orders of convergence when the panels' size is halved."""
    return [float(np.log2(coarse / fine)) for coarse, fine in pairwise(errors)]


INNER, OUTER = 0.03, 0.10


def between_spheres(frequency: int, wagner: float) -> tuple[Floats, float]:
    """Deviations from the exact flux on the inner sphere, and of the total; phi - W a dphi/dn = 0
    there and phi = 1 on the outer one."""
    pieces = [sphere(INNER, frequency), turned(sphere(OUTER, frequency))]
    panels = Panels(
        corners=np.concatenate(pieces), group=np.repeat([0, 1], [len(p) for p in pieces])
    )
    inner = panels.group == 0
    answer = solved(
        build_operators(panels),
        np.where(inner, 0.0, 1.0),
        np.where(inner, wagner * INNER, 0.0),
        np.zeros(len(panels), dtype=bool),
    )
    # phi = A + B / r: elementary.
    flux = 1 / INNER / (1 - INNER / OUTER + wagner)
    total = answer.total(inner) / (4 * np.pi * INNER**2 * flux) - 1
    return answer.flux[inner] / flux - 1, total


@pytest.mark.slow
def test_primary_current_between_spheres_converges() -> None:
    runs = [between_spheres(frequency, 0.0) for frequency in (4, 8, 16)]
    rms = [float(np.sqrt(np.mean(deviation**2))) for deviation, _ in runs]
    totals = [abs(total) for _, total in runs]
    assert rms[-1] < 3e-3
    assert totals[-1] < 1e-3
    assert min(rates(rms)) > 1.0
    assert min(rates(totals)) > 1.7


@pytest.mark.slow
def test_linear_kinetics_between_spheres_converge_to_a_few_ten_thousandths() -> None:
    runs = [between_spheres(frequency, 1.0) for frequency in (4, 8, 16)]
    rms = [float(np.sqrt(np.mean(deviation**2))) for deviation, _ in runs]
    # 10 240 panels: 0.5 % rms and 1 % at most on the surface, 0.1 % in total are the goal.
    deviation, total = runs[-1]
    assert rms[-1] < 1e-3
    assert np.abs(deviation).max() < 2e-3
    assert abs(total) < 5e-4
    assert min(rates(rms)) > 1.5


def disc_conductance(rings: int, grading: float) -> tuple[float, Floats, Panels]:
    """Current over 4 kappa a and the flux of a disc of radius 1 at phi = 1 in an insulating plane:
    the disc lies in the plane of the mirror."""
    corners = disc(1.0, rings, grading)
    panels = Panels(corners=corners, group=np.zeros(len(corners), dtype=int), mirror_level=0.0)
    ones = np.ones(len(panels))
    answer = solved(build_operators(panels, closed=False), ones, 0 * ones, ones < 0)
    return -answer.total(ones > 0) / 4, -answer.flux, panels


def test_resistance_of_a_disc_in_an_insulating_plane() -> None:
    # R = 1 / (4 kappa a), Newman 1966.
    uniform = [abs(disc_conductance(rings, 1.0)[0] - 1) for rings in (6, 12, 24)]
    assert uniform[-1] < 7e-3
    assert min(rates(uniform)) > 0.9  # the rim's singularity, on panels of one size
    graded = [abs(disc_conductance(rings, 2.0)[0] - 1) for rings in (6, 12, 24)]
    assert graded[-1] < 5e-4
    assert min(rates(graded)) > 1.8


def test_primary_profile_on_the_disc() -> None:
    # i / i_mean = 1 / (2 sqrt(1 - (r/a)^2)), Newman 1966; away from the rim.
    _, flux, panels = disc_conductance(24, 2.0)
    radius = np.linalg.norm(panels.centroids[:, :2], axis=1)
    away = radius < 0.9
    exact = 2 / np.pi / np.sqrt(1 - radius[away] ** 2)
    assert np.abs(flux[away] / exact - 1).max() < 0.02
    assert np.sqrt(np.mean((flux[away] / exact - 1) ** 2)) < 0.006


def between_plates(cells: int) -> tuple[float, float]:
    """Largest deviation from uniform flux, beside insulating corners too, and of the total."""
    lines = np.linspace(0, 0.02, cells + 1)
    faces = box(np.linspace(0, 0.06, 3 * cells + 1), lines, lines)
    order = ["z-", "z+", "x-", "x+", "y-", "y+"]
    panels = Panels(
        corners=np.concatenate([faces[name] for name in order]),
        group=np.repeat([1, 2, 0, 0, 0, 0], [len(faces[name]) for name in order]),
    )
    bottom = panels.group == 1
    answer = solved(
        build_operators(panels),
        np.where(panels.group == 2, 1.0, 0.0),
        np.zeros(len(panels)),
        panels.group == 0,
    )
    total = answer.total(bottom) / (0.06 * 0.02 / 0.02) - 1
    return float(np.abs(answer.flux[bottom] * 0.02 - 1).max()), abs(total)


@pytest.mark.slow
@pytest.mark.parametrize("cells", [4, 8, 16])
def test_current_between_plates_is_uniform_into_the_corners(cells: int) -> None:
    # Electrodes that meet insulating walls at right angles: uniform, whatever the mesh.
    largest, total = between_plates(cells)
    assert largest < 0.01
    assert total < 0.002
