"""An open cup with thin walls: both faces of a wall are a panel or less apart.

No closed form; the finest panels are the reference, and no current may be negative where none is:
every line of current ends on the cup.
"""

from itertools import pairwise

import numpy as np
import pytest

from tankside.base.arrays import Bools, Floats
from tankside.field.hierarchical import build_operators
from tankside.field.krylov import gmres
from tankside.field.panels import Panels

HEIGHT, RADIUS, MIDDLE = 0.030, 0.015, -0.08
TANK_RADIUS, TANK_DEPTH = 0.06, 0.16


def revolved(profile: list[tuple[float, float]], size: float) -> Floats:
    """A surface of revolution in panels of about `size`, normals to the right of the profile as it
    is walked (r right, z up)."""
    path = np.array(profile)
    stops = []
    for start, end in pairwise(path):
        cuts = max(1, round(float(np.linalg.norm(end - start)) / size))
        stops += [start + (end - start) * k / cuts for k in range(cuts)]
    rings = [_ring(r, z, size) for r, z in [*stops, path[-1]]]
    return np.concatenate([_zipped(low, high) for low, high in pairwise(rings)])


def _ring(radius: float, level: float, size: float) -> Floats:
    count = max(6, round(2 * np.pi * radius / size)) if radius > 0 else 1
    angle = np.arange(count) * 2 * np.pi / count
    return np.stack([radius * np.cos(angle), radius * np.sin(angle), np.full(count, level)], -1)


def _zipped(low: Floats, high: Floats) -> Floats:
    """Triangles between two rings with any number of points each."""
    m, n = len(low), len(high)
    triangles = []
    i = j = 0
    while i < (m if m > 1 else 0) or j < (n if n > 1 else 0):
        behind = n == 1 or (m > 1 and i < m and (i + 1) * n <= (j + 1) * m)
        if behind or j >= n:
            triangles.append([low[i % m], low[(i + 1) % m], high[j % n]])
            i += 1
        else:
            triangles.append([low[i % m], high[(j + 1) % n], high[j % n]])
            j += 1
    return np.array(triangles)


class Cup:
    """Solved in a round tank with a mirror surface whose side is the anode; linear kinetics."""

    def __init__(self, wall: float, size: float, wagner: float) -> None:
        half, inside = HEIGHT / 2, RADIUS - wall
        profile = [(0, -half), (RADIUS, -half), (RADIUS, half), (inside, half)]
        cup = revolved([*profile, (inside, -half + wall), (0, -half + wall)], size)
        side = revolved([(TANK_RADIUS, 0), (TANK_RADIUS, -TANK_DEPTH)], 0.012)
        floor = revolved([(TANK_RADIUS, -TANK_DEPTH), (0, -TANK_DEPTH)], 0.012)
        pieces = [cup + np.array([0, 0, MIDDLE]), side, floor]
        self.panels = Panels(
            corners=np.concatenate(pieces),
            group=np.repeat([0, 1, 2], [len(piece) for piece in pieces]),
            mirror_level=0.0,
        )
        self.operators = build_operators(self.panels)
        flux = self._solved(wagner * HEIGHT)
        self.cup = self.panels.group == 0
        self.mean = np.average(flux[self.cup], weights=self.panels.areas[self.cup])
        self.relative = flux / self.mean

    def _solved(self, resistance: float) -> Floats:
        group, areas = self.panels.group, self.panels.areas
        a = np.select([group == 0, group == 1], [resistance, 0.0], 1.0)
        b = np.where(group == 2, 0.0, 1.0)
        scale = np.where(group == 2, 1.0, 1 / (np.sqrt(areas) + a))
        a, b, fixed = a * scale, b * scale, (group == 1) * 1.0
        answer = gmres(
            lambda x: np.asarray(a * x / 2 + self.operators.applied(b * x, a * x)),
            -(fixed / 2 + self.operators.applied(0 * fixed, fixed)),
            self.operators.preconditioner(a, b),
            tolerance=1e-7,
        )
        assert answer.converged
        return np.asarray(b * answer.solution)

    @property
    def inner_wall(self) -> Bools:
        x, y, _ = (self.panels.centroids * self.panels.normals).T
        return np.asarray(self.cup & (x + y < -1e-4))

    @property
    def floor(self) -> Bools:
        z = self.panels.centroids[:, 2] - MIDDLE
        return np.asarray(self.cup & (self.panels.normals[:, 2] > 0.9) & (z < 0))

    def share(self, chosen: Bools) -> float:
        """Mean current density there over that of the whole cup [-]."""
        return float(np.average(self.relative[chosen], weights=self.panels.areas[chosen]))


def test_the_cup_is_a_closed_body_right_side_out() -> None:
    cup = Cup(0.002, 0.004, 0.1)
    corners = cup.panels.corners[cup.cup]
    volume = np.einsum("ij,ij->", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])) / 6
    inside = RADIUS - 0.002
    exact = np.pi * (RADIUS**2 * HEIGHT - inside**2 * (HEIGHT - 0.002))
    assert volume == pytest.approx(exact, rel=0.05)
    assert cup.operators.closure < 5e-5
    assert cup.inner_wall.sum() > 50
    assert cup.floor.sum() > 20


# Walls of a half, a third and a fifth of a panel: nowhere is the current negative.
@pytest.mark.parametrize(("wall", "size"), [(0.002, 0.004), (0.0006, 0.002)])
def test_inside_a_cup_no_current_is_negative(wall: float, size: float) -> None:
    cup = Cup(wall, size, 0.1)
    assert cup.relative[cup.cup].min() > 0
    assert 0.2 < cup.share(cup.inner_wall) < 0.4
    assert 0 < cup.share(cup.floor) < 0.04


@pytest.mark.slow
def test_walls_far_thinner_than_a_panel_still_give_the_recess_its_share() -> None:
    coarse, fine = (Cup(0.0002, size, 0.1) for size in (0.002, 0.001))
    assert coarse.mean == pytest.approx(fine.mean, rel=0.005)
    assert coarse.share(coarse.inner_wall) == pytest.approx(fine.share(fine.inner_wall), rel=0.1)
    # A tenth of a panel: single panels at the rim may dip below zero, by hundredths of the mean.
    assert coarse.relative[coarse.cup].min() > -0.1
    assert fine.relative[fine.cup].min() > 0


@pytest.mark.slow
@pytest.mark.parametrize("wagner", [0.1, 0.001])
def test_total_and_recess_settle_as_panels_shrink(wagner: float) -> None:
    runs = [Cup(0.002, size, wagner) for size in (0.004, 0.002, 0.001)]
    means = [run.mean * run.panels.areas[run.cup].sum() for run in runs]
    assert means[0] == pytest.approx(means[2], rel=0.01)
    assert means[1] == pytest.approx(means[2], rel=0.003)
    shares = [run.share(run.inner_wall) for run in runs]
    assert shares[1] == pytest.approx(shares[2], rel=0.02)
