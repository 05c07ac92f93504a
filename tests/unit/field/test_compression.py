"""Compressed far blocks against the blocks in full, where cross approximation is known to fail."""

import numpy as np
import pytest

from tankside.base.arrays import Floats, Ints
from tankside.field.checks import BASIS, check_panels
from tankside.field.compression import compressed, crossed, set_local
from tankside.field.integrals import ROWS, by_points, packed
from tankside.field.panels import Panels
from tankside.validation.closed_shapes import sphere

TOLERANCE = 1e-4


class Block:
    """Targets first, then sources, as one far block in the plane z = 0 or about it."""

    def __init__(self, targets: Floats, sources: Floats, mirror_level: float | None = None) -> None:
        corners = np.concatenate([targets, sources])
        self.panels = Panels(
            corners=corners, group=np.zeros(len(corners), dtype=int), mirror_level=mirror_level
        )
        self.geometry = packed(self.panels, np.arange(len(corners)))
        self.mirrored = mirror_level is not None
        self.bounds = np.array([0, len(targets), len(targets), len(corners)])
        self.m, self.n = len(targets), len(sources)
        span = sources.reshape(-1, 3)
        self.scale = float(np.linalg.norm(np.ptp(span, axis=0)))

    def in_full(self) -> Floats:
        """(m, 2 n): the single layer, and the double layer times the scale."""
        rows = np.zeros((self.m, 2 * self.n))
        for i in range(self.m):
            x, y, z = self.geometry[:3, i]
            for side in (z, -z) if self.mirrored else (z,):
                layers = [by_points(self.geometry, self.m + j, x, y, side) for j in range(self.n)]
                rows[i] += np.array(layers).T.reshape(-1)
        rows[:, self.n :] *= self.scale
        return rows

    def checks(self) -> tuple[Ints, Ints]:
        first = np.array([0, self.m])
        last = np.array([self.m, self.m + self.n])
        targets, sources = check_panels(self.geometry, first, last)
        return targets[0], sources[1]

    def crossed(self, row_checks: Ints, column_checks: Ints) -> Floats:
        """The approximation of the block by crosses, (m, 2 n)."""
        limit = min(self.m, 90)
        u, w, sources, targets = (
            np.zeros(shape, dtype=np.float32)
            for shape in ((limit + 1, self.m), (limit + 1, 2 * self.n), (ROWS, self.n), (4, self.m))
        )
        set_local(self.geometry, self.bounds, sources, targets, np.zeros(self.n, dtype=int))
        used, norm = np.zeros(self.m, dtype=bool), np.zeros(1)
        rank = crossed(
            sources, targets, self.m, self.n, self.mirrored, row_checks, column_checks,
            self.scale, TOLERANCE, limit, u, w, used, norm,
        )  # fmt: skip
        assert rank > 0
        return np.asarray(u[:rank].T @ w[:rank])

    def stored(self) -> tuple[int, Floats]:
        """Rank, and the block out of the codes and factors (m, 2 n), not scaled."""
        ranks = np.zeros(1, dtype=np.int64)
        codes, factors = np.zeros(1 << 20, dtype=np.int16), np.zeros(1 << 10, dtype=np.float32)
        row_checks, column_checks = self.checks()
        end = compressed(
            self.geometry, self.mirrored, self.bounds[None], row_checks[None],
            column_checks[None], np.array([self.scale]), TOLERANCE, 0, ranks, codes, factors,
        )  # fmt: skip
        assert end == 1
        rank = int(ranks[0])
        u = codes[: rank * self.m].reshape(rank, self.m).astype(float)
        w = codes[rank * self.m : rank * (self.m + 2 * self.n)].reshape(rank, 2, self.n)
        by_layer = w * factors[: 2 * rank].reshape(rank, 2, 1)
        return rank, np.concatenate([u.T @ by_layer[:, 0], -u.T @ by_layer[:, 1]], axis=1)


def worst_row(block: Floats, other: Floats) -> float:
    """Largest error of a row over the root mean square of the rows' norms [-]."""
    typical = np.sqrt((block**2).sum() / len(block))
    return float(np.linalg.norm(block - other, axis=1).max() / typical)


def flat(x: Floats, y: Floats) -> Floats:
    """Triangles in the plane z = 0, normals up, two to each cell of the lines x and y."""
    a, b = np.meshgrid(x, y, indexing="ij")
    p = np.stack([a, b, 0 * a], axis=-1)
    lower = np.stack([p[:-1, :-1], p[1:, :-1], p[1:, 1:]], axis=-2)
    upper = np.stack([p[:-1, :-1], p[1:, 1:], p[:-1, 1:]], axis=-2)
    return np.concatenate([lower.reshape(-1, 3, 3), upper.reshape(-1, 3, 3)])


def facing_plates_with_one_panel_off() -> Block:
    """Targets and sources in one plane, where the double layer is zero, but for one target that
    stands up from it."""
    targets = flat(np.linspace(0, 1, 9), np.linspace(0, 1, 9))
    sources = flat(np.linspace(2, 3, 9), np.linspace(0, 1, 9))
    odd = np.array([[[0.5, 0.4, 0], [0.5, 0.5, 0], [0.5, 0.45, 0.4]]])
    return Block(np.concatenate([targets, odd]), sources)


def test_plain_crosses_overlook_the_one_panel_off_the_plane_and_checked_ones_do_not() -> None:
    block = facing_plates_with_one_panel_off()
    full = block.in_full()
    assert np.abs(full[:-1, block.n :]).max() < 1e-15
    assert np.abs(full[-1, block.n :]).max() > 0.05 * full[-1, : block.n].max()
    none = np.full(BASIS, -1)
    start = none.copy()
    start[0] = block.m // 2
    assert worst_row(full, block.crossed(start, none)) > 0.02
    assert worst_row(full, block.crossed(*block.checks())) < 3 * TOLERANCE
    # Each of the two checks alone would have found it.
    rows, columns = block.checks()
    assert worst_row(full, block.crossed(rows, none)) < 3 * TOLERANCE
    assert worst_row(full, block.crossed(start, columns)) < 10 * TOLERANCE


def random_plates(seed: int) -> Block:
    """Targets and sources on several coordinate planes each, some holding a panel or two only."""
    rng = np.random.default_rng(seed)

    def cluster(shift: float) -> Floats:
        pieces = []
        for cells in (rng.integers(1, 9), rng.integers(1, 3), 1):
            lines = np.linspace(0, 0.1 * cells, int(cells) + 1)
            piece = flat(lines, lines)
            turn = rng.permutation(3)
            pieces.append(piece[:, :, turn] * rng.choice([-1, 1]) + 0.4 * rng.random(3))
        corners = np.concatenate(pieces)
        return corners + np.array([shift, 0, 0])

    return Block(cluster(0.0) - [0, 0, 2], cluster(1.9) - [0, 0, 2], mirror_level=0.0)


@pytest.mark.parametrize("seed", range(40))
def test_no_row_of_blocks_with_few_odd_panels_is_missed(seed: int) -> None:
    block = random_plates(seed)
    full = block.in_full()
    assert worst_row(full, block.crossed(*block.checks())) < 6 * TOLERANCE


@pytest.mark.parametrize("seed", range(10))
def test_stored_blocks_are_within_tolerance_at_every_row(seed: int) -> None:
    block = random_plates(100 + seed)
    full = block.in_full()
    rank, stored = block.stored()
    assert 0 < rank < min(block.m, block.n)
    stored[:, block.n :] *= block.scale
    assert worst_row(full, stored) < 4 * TOLERANCE


def test_smooth_blocks_take_few_terms() -> None:
    block = Block(sphere(0.1, 6), sphere(0.1, 6) + np.array([0.6, 0, 0]))
    rank, stored = block.stored()
    assert rank < 30
    stored[:, block.n :] *= block.scale
    assert worst_row(block.in_full(), stored) < 4 * TOLERANCE


def test_blocks_that_take_too_many_terms_are_left_whole() -> None:
    # Two by two panels: whatever the rank, terms would take more room than the block.
    lines = np.linspace(0, 0.1, 2)
    targets = np.concatenate([flat(lines, lines), flat(lines, lines) + np.array([0, 0, 0.3])])
    block = Block(targets[:1], targets[2:3])
    rank, _ = block.stored()
    assert rank in (-1, 1)


def test_compression_stops_at_a_full_store_and_goes_on_from_there() -> None:
    block = random_plates(3)
    row_checks, column_checks = (np.stack([checks] * 3) for checks in block.checks())
    ranks = np.zeros(3, dtype=np.int64)
    room = min(block.m, 96) * (block.m + 2 * block.n)  # for one block at its worst
    ends, begin = [], 0
    while begin < 3:
        codes, factors = np.zeros(room, dtype=np.int16), np.zeros(1 << 10, dtype=np.float32)
        begin = compressed(
            block.geometry, True, np.stack([block.bounds] * 3), row_checks, column_checks,
            np.full(3, block.scale), TOLERANCE, begin, ranks, codes, factors,
        )  # fmt: skip
        ends.append(begin)
    assert ends[-1] == 3
    assert len(ends) >= 2
    assert len(set(ranks)) == 1


def test_checked_panels_pin_down_harmonic_polynomials() -> None:
    corners = sphere(1.0, 4)
    panels = Panels(corners=corners, group=np.zeros(len(corners), dtype=int))
    geometry = packed(panels, np.arange(len(corners)))
    targets, sources = check_panels(geometry, np.array([0]), np.array([len(corners)]))
    x, y, z = panels.centroids[targets[0]].T
    basis = np.stack(
        [1 + 0 * x, x, y, z, x * y, x * z, y * z, x * x - y * y, 2 * z * z - x * x - y * y]
    )
    assert (targets[0] >= 0).all()
    assert np.linalg.cond(basis) < 50
    assert (sources[0] >= 0).sum() == BASIS - 1  # a constant has no normal derivative


def test_the_odd_panel_is_among_the_checked() -> None:
    block = facing_plates_with_one_panel_off()
    targets, _ = block.checks()
    assert block.m - 1 in targets


def test_one_panel_is_checked_once() -> None:
    corners = sphere(1.0, 1)[:1]
    geometry = packed(Panels(corners=corners, group=np.zeros(1, dtype=int)), np.arange(1))
    targets, sources = check_panels(geometry, np.array([0]), np.array([1]))
    assert list(targets[0]) == [0] + [-1] * (BASIS - 1)
    assert list(sources[0]) == [0] + [-1] * (BASIS - 1)
