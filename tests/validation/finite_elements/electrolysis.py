"""Quadratic finite elements for a cell in two dimensions, planar or with an axis of revolution.

Independent of the package on purpose: its own discretisation, its own rate laws, its own Newton.
    integral(kappa grad phi . grad v) + sum over electrodes of integral(i(V - phi) v) = 0
with i positive in deposition, the anodes' metal at 0 V, and the cathodes' metal at the V for which
their currents sum to the given total. In a cell of revolution the first coordinate is the radius
and every integral is weighed by 2 pi radius; a planar cell is one metre thick.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from math import pi

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import bmat
from scipy.sparse.linalg import splu
from skfem import (
    Basis,
    BilinearForm,
    ElementTriP2,
    FacetBasis,
    LinearForm,
    MeshTri,
)
from skfem.helpers import dot, grad

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Law = Callable[[Floats], tuple[Floats, Floats]]
"""From overpotential [V] to current density [A m⁻²], positive in deposition, and its slope."""


def linear(resistance: float) -> Law:
    """i = -eta / r, with r [ohm m²]."""
    return lambda eta: (-eta / resistance, np.full_like(eta, -1.0 / resistance))


def butler_volmer(exchange: float, cathodic: float, anodic: float, thermal: float) -> Law:
    """i0 [exp(-alpha_c eta / V_T) - exp(alpha_a eta / V_T)]."""

    def law(eta: Floats) -> tuple[Floats, Floats]:
        reduced, oxidised = np.exp(-cathodic * eta / thermal), np.exp(anodic * eta / thermal)
        slope = -exchange / thermal * (cathodic * reduced + anodic * oxidised)
        return exchange * (reduced - oxidised), slope

    return law


@dataclass(frozen=True, kw_only=True)
class Electrode:
    """Boundary facets of one metal, its law, and whether it is an anode (0 V) or a cathode."""

    facets: Ints
    law: Law
    anode: bool


@dataclass(frozen=True, kw_only=True)
class Solved:
    """Potential [V] at the nodes, cathode potential [V], Newton's iterations, and the mesh."""

    mesh: MeshTri
    revolution: bool
    potential: Floats
    cathode_potential: float
    iterations: int
    electrodes: tuple[Electrode, ...] = field(repr=False)

    def average(self, facets: Ints) -> float:
        """Current density averaged over the area of some electrode facets [A m⁻²]."""
        total, area = self._totals(facets)
        return total / area

    def current(self, facets: Ints) -> float:
        """Current that enters some electrode facets [A]."""
        return self._totals(facets)[0]

    def _totals(self, facets: Ints) -> tuple[float, float]:
        total, area = 0.0, 0.0
        for electrode in self.electrodes:
            shared = np.intersect1d(facets, electrode.facets)
            if len(shared):
                part = _Surface.of(self.mesh, electrode, self.revolution, facets=shared)
                current, _ = part.rates(self.potential, self.cathode_potential)
                total += float((current * part.measure).sum())
                area += float(part.measure.sum())
        return total, area


@dataclass(frozen=True, kw_only=True)
class _Surface:
    """Quadrature on an electrode: `weight` 1 or 2 pi r, `measure` weight x length, per point."""

    basis: FacetBasis
    electrode: Electrode
    weight: Floats
    measure: Floats

    @classmethod
    def of(
        cls, mesh: MeshTri, electrode: Electrode, revolution: bool, *, facets: Ints
    ) -> "_Surface":
        basis = FacetBasis(mesh, ElementTriP2(), facets=facets, intorder=8)
        weight = _weight(basis, revolution)
        return cls(basis=basis, electrode=electrode, weight=weight, measure=weight * basis.dx)

    def rates(self, phi: Floats, cathode_potential: float) -> tuple[Floats, Floats]:
        metal = 0.0 if self.electrode.anode else cathode_potential
        return self.electrode.law(metal - np.asarray(self.basis.interpolate(phi)))


def solved(
    mesh: MeshTri,
    electrodes: tuple[Electrode, ...],
    *,
    conductivity: float,
    total_current: float,
    revolution: bool = False,
) -> Solved:
    """Potential for a total current [A]: over the whole turn, or for a thickness of one metre."""
    basis = Basis(mesh, ElementTriP2(), intorder=4)
    stiffness = _stiffness.assemble(basis, factor=conductivity * _weight(basis, revolution))
    surfaces = [_Surface.of(mesh, one, revolution, facets=one.facets) for one in electrodes]
    phi, cathode = _start(basis.N, surfaces, total_current)
    for iteration in range(1, 80):
        residual, tangent = stiffness @ phi, stiffness
        column, row = np.zeros(basis.N), np.zeros(basis.N)
        miss, corner = -total_current, 0.0
        for one in surfaces:
            current, slope = one.rates(phi, cathode)
            residual = residual + _load.assemble(one.basis, factor=current * one.weight)
            tangent = tangent - _mass.assemble(one.basis, factor=slope * one.weight)
            if not one.electrode.anode:
                change = _load.assemble(one.basis, factor=slope * one.weight)
                column, row = column + change, row - change
                miss += float((current * one.measure).sum())
                corner += float(change.sum())
        system = bmat([[tangent, column[:, None]], [row[None, :], [[corner]]]], "csc")
        step = splu(system).solve(np.append(residual, miss))
        damping = min(1.0, 0.3 / max(np.abs(step).max(), 1e-30))
        phi, cathode = phi - damping * step[:-1], cathode - damping * step[-1]
        if np.abs(step).max() < 1e-11 * max(1.0, abs(cathode)):
            return Solved(
                mesh=mesh, revolution=revolution, potential=phi, cathode_potential=float(cathode),
                iterations=iteration, electrodes=electrodes,
            )  # fmt: skip
    raise RuntimeError(f"Newton did not converge: last step {np.abs(step).max():.3g} V")


def _start(size: int, surfaces: list[_Surface], total_current: float) -> tuple[Floats, float]:
    """Uniform current on each pole: its overpotential, and no fall of potential in between."""
    eta = {}
    for anode in (True, False):
        pole = [one for one in surfaces if one.electrode.anode is anode]
        area = sum(float(one.measure.sum()) for one in pole)
        mean = (-1.0 if anode else 1.0) * total_current / area
        eta[anode] = _at_current(pole[0].electrode.law, mean)
    return np.full(size, -eta[True]), eta[False] - eta[True]


def _at_current(law: Law, current: float) -> float:
    low, high = -3.0, 3.0
    for _ in range(80):
        middle = (low + high) / 2
        value = law(np.array([middle]))[0][0]
        low, high = (middle, high) if value > current else (low, middle)
    return (low + high) / 2


def _weight(basis: Basis, revolution: bool) -> Floats:
    x = np.asarray(basis.global_coordinates())
    return 2 * pi * x[0] if revolution else np.ones_like(x[0])


@BilinearForm
def _stiffness(u, v, w):  # type: ignore[no-untyped-def]
    return w.factor * dot(grad(u), grad(v))


@BilinearForm
def _mass(u, v, w):  # type: ignore[no-untyped-def]
    return w.factor * u * v


@LinearForm
def _load(v, w):  # type: ignore[no-untyped-def]
    return w.factor * v
