"""A coated sphere held at its pole, linear kinetics: it has no closed form, so its one-dimensional
equation is solved by scipy's solve_bvp beside ours."""

from functools import cache
from math import acos, pi
from typing import Any

import numpy as np
from scipy.integrate import solve_bvp

from tankside.base.arrays import Floats
from tankside.field.kinetics import LinearPolarisation
from tankside.field.seed.contacts import ShellContact
from tankside.validation.cases import quantity
from tankside.validation.closed_shapes import patch, turned
from tankside.validation.coated_surfaces import RADIUS, RESISTANCE, Held, coated, held


@quantity("coated sphere held at its pole: current over the exact one")
def sphere_current(nu: float, frequency: int, cap: float) -> float:
    """All that is collected beyond a cap of a share of the radius [-]."""
    found, theta, exact = _sphere(nu, frequency, cap)
    areas = found.problem.panels.areas
    slope = float(exact.sol(theta)[1])
    collected = -2 * pi * np.sin(theta) * slope * 0.1 * RADIUS**2 / (nu**2 * RESISTANCE)
    return float(found.mean * areas[found.beyond].sum() / collected)


@quantity("coated sphere held at its pole: current at the other pole over the exact one")
def sphere_far(nu: float, frequency: int, cap: float) -> float:
    """Of the twentieth of the sphere around the other pole [-]."""
    found, _, exact = _sphere(nu, frequency, cap)
    polar = np.arccos(np.clip(-found.problem.panels.centroids[:, 2] / RADIUS, -1, 1))
    far = found.beyond & (polar > acos(-0.9))
    ours = found.mean_where(far)
    theirs = 0.1 / RESISTANCE * exact.sol(np.minimum(polar[far], pi - 1e-6))[0]
    return ours / float(np.average(theirs, weights=found.problem.panels.areas[far]))


@cache
def _sphere(nu: float, frequency: int, cap: float) -> tuple[Held, float, Any]:
    """The coat, the angle of the covered cap, and V over the bar's by (V' sin)' = nu² V sin."""
    surface = _ringed_sphere(frequency, cap)
    pole = np.array([0.0, 0.0, -RADIUS])
    contact = ShellContact(
        name="the cup", position=pole, radius=2 * RADIUS * float(np.sin(cap / 2))
    )
    law = LinearPolarisation(resistance=RESISTANCE)
    found = held(coated(surface, law, nu**2 * RESISTANCE / RADIUS**2, (contact,)), bar=-0.1)
    theta = cap

    def equations(x: Floats, y: Floats) -> Floats:
        return np.array([y[1], nu**2 * y[0] - y[1] / np.tan(x)])

    def ends(first: Floats, last: Floats) -> Floats:
        return np.array([first[0] - 1.0, last[1] - nu**2 * last[0] * 5e-7])

    mesh = np.linspace(theta, pi - 1e-6, 400)
    guess = np.array([np.exp(-nu * (mesh - theta)), -nu * np.exp(-nu * (mesh - theta))])
    exact = solve_bvp(equations, ends, mesh, guess, tol=1e-8, max_nodes=100_000)
    return found, theta, exact


def _ringed_sphere(frequency: int, cap: float) -> Floats:
    """A sphere in rings about its lower pole, one of them the cap's rim; normals outward."""
    beyond = cap + (pi - cap) * np.linspace(0, 1, 2 * frequency + 1) ** 1.5
    polar = np.concatenate([np.linspace(0, cap, 3)[:-1], beyond])
    count = len(polar) - 1

    def position(u: Floats, v: Floats) -> tuple[Floats, Floats, Floats]:
        angle = np.interp(u * count, np.arange(count + 1), polar)
        across = RADIUS * np.sin(angle)
        return across * np.cos(2 * pi * v), across * np.sin(2 * pi * v), -RADIUS * np.cos(angle)

    return turned(patch(position, count, 3 * frequency))
