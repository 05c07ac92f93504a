"""The boundary operators as plain matrices: short, slow and exact, to hold the fast ones against.

Closed forms for every pair of panel and target, written differently from those of the kernels:
logarithms as inverse hyperbolic sines and solid angles as sums over the sides (Wilton et al. 1984).
The linear reconstruction near by is defined here; `reconstruction.py` does the same in a fast form.
Refuses more panels than LARGEST_DENSE.
"""

from dataclasses import dataclass

import numpy as np
from scipy.linalg import lu_factor, lu_solve
from scipy.sparse import csr_array, lil_array

from tankside.base.arrays import Floats, Ints, frozen_floats
from tankside.base.errors import BadInput
from tankside.field.closure import closure_warnings
from tankside.field.discretisation import ALIKE, IN_PLANE, REACH
from tankside.field.panels import Panels

LARGEST_DENSE = 3000
"""Most panels of dense operators: their matrices then hold 0.15 GB."""

_ROWS = 64


@dataclass(frozen=True, kw_only=True)
class DenseInverse:
    """The exact inverse of the weighted operator; satisfies `Preconditioner`."""

    factors: tuple[Floats, Ints]
    operators: "DenseOperators"

    def __call__(self, residual: Floats) -> Floats:
        """The solution of J x = residual (n,)."""
        return np.asarray(lu_solve(self.factors, residual))

    def updated(
        self, potential_weight: Floats, flux_weight: Floats, noticeable: float = 0.3
    ) -> "DenseInverse":
        """The inverse for new weights; exact, whatever is `noticeable`."""
        return self.operators.preconditioner(potential_weight, flux_weight)


@dataclass(frozen=True, kw_only=True)
class DenseOperators:
    """Both layers of `panels` (see `operators.py` for the signs) as matrices (n, n).

    single [m], double [-]; defect = 1/2 - K 1 (n,) before it was made good, which it was where
    `closed`.
    """

    panels: Panels
    single: Floats
    double: Floats
    defect: Floats
    closed: bool
    warnings: tuple[str, ...]

    @property
    def closure(self) -> float:
        """max |1/2 - K 1| over the panels, before it was made good [-]."""
        return float(np.abs(self.defect).max())

    @property
    def closure_panel(self) -> int:
        """The panel where the closure is worst."""
        return int(np.abs(self.defect).argmax())

    def applied(self, flux: Floats, potential: Floats) -> Floats:
        """S flux - K potential (n,)."""
        return self.single @ flux - self.double @ potential

    def preconditioner(self, potential_weight: Floats, flux_weight: Floats) -> DenseInverse:
        """Inverse of x -> (1/2 - K)(potential_weight x) + S (flux_weight x)."""
        half = np.eye(len(self.panels)) / 2
        matrix = (half - self.double) * potential_weight + self.single * flux_weight
        return DenseInverse(factors=lu_factor(matrix), operators=self)


def dense_operators(panels: Panels, *, closed: bool = True) -> DenseOperators:
    """The operators of at most LARGEST_DENSE panels.

    closed=False is for boundaries that leave the solution open to infinity. Raises MeshDefect where
    the boundary is said to be closed and is not.
    """
    if not 0 < len(panels) <= LARGEST_DENSE:
        raise BadInput(
            f"dense operators take 1 to {LARGEST_DENSE} panels, not {len(panels)}; build"
            " hierarchical ones"
        )
    gradient = slopes(panels)
    single, double = (np.zeros((len(panels), len(panels))) for _ in range(2))
    for start in range(0, len(panels), _ROWS):
        rows = slice(start, min(start + _ROWS, len(panels)))
        for image in range(1 if panels.mirror_level is None else 2):
            s, k, moment = _layers(panels, rows, image=bool(image))
            single[rows] += s
            double[rows] += k + moment.reshape(len(moment), -1) @ gradient
    defect = 0.5 - double.sum(axis=1)
    if closed:
        double[np.diag_indices_from(double)] += defect
    return DenseOperators(
        panels=panels,
        single=frozen_floats(single),
        double=frozen_floats(double),
        defect=frozen_floats(defect),
        closed=closed,
        warnings=closure_warnings(panels, defect) if closed else (),
    )


def _layers(panels: Panels, rows: slice, *, image: bool) -> tuple[Floats, Floats, Floats]:
    """S and K (t, n) at the panels `rows`, or at their images, and the near first moments
    (t, n, 3) of d/dn 1 / (4 pi r) about the centroids."""
    points = panels.centroids[rows].copy()
    own = np.arange(len(panels))[rows, None] == np.arange(len(panels))
    if image and panels.mirror_level is not None:
        points[:, 2] = 2 * panels.mirror_level - points[:, 2]
    away = points[:, None] - panels.centroids
    height = (away * panels.normals).sum(axis=2)
    in_plane = np.abs(height) < IN_PLANE * panels.sizes
    height[in_plane] = 0.0
    single, angle, along = np.zeros_like(height), np.zeros_like(height), np.zeros_like(away)
    for side in range(3):
        start, end = panels.corners[:, side], panels.corners[:, (side + 1) % 3]
        length = np.linalg.norm(end - start, axis=1)
        direction = (end - start) / length[:, None]
        outward = np.cross(direction, panels.normals)
        to_start = start - points[:, None]
        distance = (to_start * outward).sum(axis=2)
        a = (to_start * direction).sum(axis=2)
        b = a + length
        square = distance**2 + height**2
        line = np.sqrt(np.maximum(square, 1e-60))
        logarithm = np.arcsinh(b / line) - np.arcsinh(a / line)
        single += distance * logarithm
        along += outward * logarithm[:, :, None]
        for end_distance, sign in ((b, 1), (a, -1)):
            reach = np.sqrt(square + end_distance**2)
            below = np.maximum(square + np.abs(height) * reach, 1e-60)
            angle += sign * np.arctan(distance * end_distance / below)
    double = np.sign(height) * angle
    if image:
        # A panel in the liquid's surface: its image is its own back.
        double[own & in_plane & (np.abs(away).max(axis=2) == 0)] = -2 * np.pi
    moment = (away - height[:, :, None] * panels.normals) * double[:, :, None]
    moment -= height[:, :, None] * along
    far = np.linalg.norm(away, axis=2) >= REACH * panels.sizes
    moment[far | in_plane] = 0.0
    per_sphere = 1 / (4 * np.pi)
    return (single - np.abs(height) * angle) * per_sphere, double * per_sphere, moment * per_sphere


def slopes(panels: Panels) -> csr_array:
    """(3 n, n) sparse: from the panels' potentials to the tangential gradient on each [m⁻¹], three
    rows a panel.

    Least squares to the differences from panels of the same group that share a corner and whose
    normals are ALIKE, each weighed by the inverse square of its distance along the panel.
    """
    step = 1e-6 * panels.sizes.min()
    corners = np.rint((panels.corners - panels.corners.min(axis=(0, 1))) / step)
    at_corner: dict[tuple[float, ...], list[int]] = {}
    for panel, three in enumerate(corners):
        for corner in three:
            at_corner.setdefault(tuple(corner), []).append(panel)
    gradient = lil_array((3 * len(panels), len(panels)))
    for panel, three in enumerate(corners):
        around = sorted({other for corner in three for other in at_corner[tuple(corner)]})
        alike = panels.normals[around] @ panels.normals[panel] > ALIKE
        same = panels.group[around] == panels.group[panel]
        near = [other for other, fits in zip(around, alike & same, strict=True) if fits]
        near.remove(panel)
        step_to = panels.centroids[near] - panels.centroids[panel]
        step_to -= np.outer(step_to @ panels.normals[panel], panels.normals[panel])
        unit = step_to / np.linalg.norm(step_to, axis=1, keepdims=True)
        fit = np.linalg.pinv(unit, rcond=1e-3) / np.linalg.norm(step_to, axis=1)
        for axis in range(3):
            gradient[3 * panel + axis, near] = fit[axis]
            gradient[3 * panel + axis, panel] = -fit[axis].sum()
    return csr_array(gradient)
