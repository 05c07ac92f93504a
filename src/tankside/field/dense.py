"""The boundary operators as plain matrices: short, slow and exact, to hold the fast ones against.

Closed forms for every pair of panel and target, written differently from those of the kernels:
logarithms as inverse hyperbolic sines and solid angles as sums over the sides (Wilton et al. 1984).
The linear reconstruction near by is defined here; `reconstruction.py` does the same in a fast form.
Refuses more panels than LARGEST_DENSE.
"""

from dataclasses import dataclass

import numpy as np
from scipy.linalg import lu_factor, lu_solve
from scipy.sparse import csr_array, diags_array, lil_array, vstack

from tankside.base.arrays import Floats, Ints, frozen_floats
from tankside.base.errors import BadInput
from tankside.field.closure import closure_warnings
from tankside.field.discretisation import ALIKE, IN_PLANE, REACH, SHELTER
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
            "dense operators take 1 to {largest_dense} panels, not {panels}; build hierarchical "
            "ones",
            largest_dense=LARGEST_DENSE,
            panels=len(panels),
        )
    rise = rises(panels)
    single, double = (np.zeros((len(panels), len(panels))) for _ in range(2))
    for start in range(0, len(panels), _ROWS):
        rows = slice(start, min(start + _ROWS, len(panels)))
        for image in range(1 if panels.mirror_level is None else 2):
            points = _targets(panels, rows, image=bool(image))
            own = np.arange(len(panels))[rows, None] == np.arange(len(panels))
            s, k, _ = _layers(panels, points)
            if image:
                # A panel in the liquid's surface: its image is its own back.
                k[own & (np.abs(points[:, None] - panels.centroids).max(axis=2) == 0)] = -0.5
            single[rows] += s
            double[rows] += k + corner_moments_of(panels, points) @ rise
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


def _targets(panels: Panels, rows: slice, *, image: bool) -> Floats:
    """Collocation points (t, 3) of the panels `rows`, or their images [m]."""
    points = panels.centroids[rows].copy()
    if image and panels.mirror_level is not None:
        points[:, 2] = 2 * panels.mirror_level - points[:, 2]
    return points


def _layers(panels: Panels, points: Floats) -> tuple[Floats, Floats, Floats]:
    """S and K (t, n) at points (t, 3), and the first moments (t, n, 3) of d/dn 1 / (4 pi r) about
    the centroids."""
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
    moment = (away - height[:, :, None] * panels.normals) * double[:, :, None]
    moment -= height[:, :, None] * along
    moment[in_plane] = 0.0
    per_sphere = 1 / (4 * np.pi)
    return (single - np.abs(height) * angle) * per_sphere, double * per_sphere, moment * per_sphere


def _pieces(panels: Panels) -> Panels:
    """Each panel's three pieces between its centroid and its sides (3 n)."""
    ends = np.roll(panels.corners, -1, axis=1)
    middle = np.broadcast_to(panels.centroids[:, None], ends.shape)
    return Panels(
        corners=np.stack([middle, panels.corners, ends], axis=2).reshape(-1, 3, 3),
        group=np.repeat(panels.group, 3),
        mirror_level=panels.mirror_level,
    )


def corner_moments_of(panels: Panels, points: Floats) -> Floats:
    """Double layer (t, 3 n) at points of the functions that are 1 at one corner of a panel, 0 at
    the others and at the centroid, and linear on its pieces; 0 beyond REACH."""
    pieces = _pieces(panels)
    _, double, moment = _layers(pieces, points)
    turned = np.cross(pieces.normals[:, None], np.roll(pieces.corners, 1, axis=1))
    slope = turned - np.roll(turned, -2, axis=1)  # n x (the side opposite each corner)
    slope /= 2 * pieces.areas[:, None, None]
    # On each piece: of the function of its side's start, and of that of the side's end.
    start, end = (double / 3 + np.einsum("tpd,pd->tp", moment, slope[:, k]) for k in (1, 2))
    start, end = (part.reshape(len(points), -1, 3) for part in (start, end))
    found = start + np.roll(end, 1, axis=2)
    away = np.linalg.norm(points[:, None] - panels.centroids, axis=2)
    found[away >= REACH * panels.sizes] = 0.0
    return np.asarray(found.reshape(len(points), -1))


def _numbered(panels: Panels) -> Ints:
    """(n, 3): the same number for corners at the same place."""
    step = 1e-6 * panels.sizes.min()
    corners = np.rint((panels.corners - panels.corners.min(axis=(0, 1))) / step)
    number = np.unique(corners.reshape(-1, 3), axis=0, return_inverse=True)[1]
    return np.asarray(number.reshape(-1, 3))


def rises(panels: Panels) -> csr_array:
    """(3 n, n) sparse: from the panels' potentials to what the potential rises from each centroid
    to the panel's corners, three rows a panel.

    A corner's potential is the mean of its panels', each carried on to it by the panel's own slope,
    by their angles at the corner. It counts for a panel in part, and for the rest the panel's own
    slope: the part is the power SHELTER of the least height (area over longest side) of the
    corner's panels over the panel's own.
    """
    count, number = len(panels), _numbered(panels)
    own = csr_array(np.eye(count))
    to_next, to_last = (np.roll(panels.corners, -k, axis=1) - panels.corners for k in (1, 2))
    cosine = (to_next * to_last).sum(axis=2)
    cosine /= np.linalg.norm(to_next, axis=2) * np.linalg.norm(to_last, axis=2)
    angle = np.arccos(np.clip(cosine, -1, 1))
    whole = np.bincount(number.reshape(-1), angle.reshape(-1))
    way = panels.corners - panels.centroids[:, None]
    gradient = slopes(panels)
    at_corner = csr_array((len(whole), count))
    carried = []
    for side in range(3):
        ways = csr_array(
            (way[:, side].reshape(-1), (np.repeat(np.arange(count), 3), np.arange(3 * count))),
            shape=(count, 3 * count),
        )
        carried.append(csr_array(ways @ gradient))
        share = angle[:, side] / whole[number[:, side]]
        averaged = csr_array((share, (number[:, side], np.arange(count))), shape=at_corner.shape)
        at_corner = at_corner + averaged @ (own + carried[-1])
    height = panels.areas / panels.sizes
    rows = []
    for side in range(3):
        around = [height[(number == corner).any(axis=1)].min() for corner in number[:, side]]
        part = (np.array(around) / height) ** SHELTER
        rise = csr_array(at_corner)[number[:, side]] - own
        rows.append(diags_array(part) @ rise + diags_array(1 - part) @ carried[side])
    by_side = csr_array(vstack(rows))
    return csr_array(by_side[np.arange(3 * count).reshape(3, count).T.reshape(-1)])


def slopes(panels: Panels) -> csr_array:
    """(3 n, n) sparse: from the panels' potentials to the tangential gradient on each [m⁻¹], three
    rows a panel.

    Least squares to the differences from panels of the same group that share a corner and whose
    normals are ALIKE, each weighed by the inverse square of its distance along the panel.
    """
    number = _numbered(panels)
    at_corner: dict[int, list[int]] = {}
    for panel, three in enumerate(number):
        for corner in three:
            at_corner.setdefault(int(corner), []).append(panel)
    gradient = lil_array((3 * len(panels), len(panels)))
    for panel, three in enumerate(number):
        around = sorted({other for corner in three for other in at_corner[int(corner)]})
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
