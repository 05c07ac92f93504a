"""Coated discs with linear kinetics, held at the rim, i = i(1) I0(nu rho) / I0(nu), or at the
centre, where I0 and K0 together are flat at the rim."""

from dataclasses import replace
from functools import cache
from math import pi, sqrt
from typing import Any

import numpy as np
from scipy.special import i0, i1, k0, k1

from tankside.field.kinetics import LinearPolarisation
from tankside.field.seed.contacts import ShellContact
from tankside.validation.cases import quantity
from tankside.validation.closed_shapes import disc
from tankside.validation.coated_surfaces import COATED, RADIUS, RESISTANCE, Held, coated, held


@quantity("coated disc held at its rim: current at the rim")
def disc_rim(nu: float, rings: int) -> float:
    """Over the mean [-]."""
    found = _rim(nu, rings)
    return found.at_contact / found.mean


@quantity("coated disc held at its rim: current at the centre")
def disc_middle(nu: float, rings: int) -> float:
    """Of the six panels about the centre, over the mean [-]."""
    found = _rim(nu, rings)
    away = np.linalg.norm(found.problem.panels.centroids, axis=1)
    return found.mean_where(away <= np.partition(away, 5)[5]) / found.mean


@cache
def _rim(nu: float, rings: int) -> Held:
    """The outermost ring is covered; what counts is the disc within it."""
    surface = disc(RADIUS, rings, 1.0)
    middles = surface.mean(axis=1)
    inner = RADIUS * (1 - 1 / rings)
    outer_ring = np.flatnonzero(np.linalg.norm(surface, axis=2).max(axis=1) > inner * 1.02)
    contacts = tuple(
        ShellContact(name=f"clip {k}", position=middles[k], radius=1e-6) for k in outer_ring
    )
    law = LinearPolarisation(resistance=RESISTANCE)
    problem = coated(surface, law, nu**2 * RESISTANCE / inner**2, contacts)
    shell: Any = problem.metal
    at_bar = np.zeros(shell.network.count, dtype=np.bool_)
    at_bar[shell.network.terminals] = True
    metal = replace(shell, sheet=replace(shell.sheet, held=at_bar))
    return held(replace(problem, metal=metal), bar=-0.1)


@quantity("coated disc held at its centre: current over the exact one")
def disc_centre(nu: float, rings: int, wire_share: float) -> float:
    """All that is collected beyond a wire of a share of the disc's radius [-]."""
    surface = disc(RADIUS, rings, 1.0)
    contact = ShellContact(name="the wire", position=np.zeros(3), radius=wire_share * RADIUS)
    law = LinearPolarisation(resistance=RESISTANCE)
    sheet_resistance = nu**2 * RESISTANCE / RADIUS**2
    found = held(coated(surface, law, sheet_resistance, (contact,)), bar=-0.1)
    areas = found.problem.panels.areas
    under = float(areas[(found.problem.panels.group == COATED) & ~found.beyond].sum())
    a, b = nu * sqrt(under / pi) / RADIUS, nu
    ratio = (i1(b) * k1(a) - k1(b) * i1(a)) / (i1(b) * k0(a) + k1(b) * i0(a))
    exact = 2 * pi * a * ratio * 0.1 / sheet_resistance
    return float(found.mean * areas[found.beyond].sum() / exact)
