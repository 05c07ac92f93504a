"""The overlapping-block preconditioner: exact where one block holds all, cheap to update."""

import numpy as np
import pytest

from tankside.base.arrays import Floats
from tankside.field import preconditioner
from tankside.field.dense import dense_operators
from tankside.field.hierarchical import HierarchicalOperators, build_operators
from tankside.field.krylov import gmres
from tankside.field.panels import Panels
from tankside.field.preconditioner import CORE, OVERLAP, local_blocks
from tankside.field.preconditioner_kernels import surround
from tankside.validation.closed_shapes import box, turned

WALL, PART, ANODE = 0, 1, 2


def cell(cells: int) -> Panels:
    """A box-shaped part in a box, all graded to the edges; the box's end x- is the anode."""
    graded = (1 - np.cos(np.linspace(0, np.pi, cells + 1))) / 2
    tank = box(0.2 * graded, 0.1 * graded, 0.1 * graded)
    part = box(0.1 + 0.04 * graded, 0.04 + 0.01 * graded, 0.03 + 0.03 * graded)
    pieces = [(ANODE if name == "x-" else WALL, face) for name, face in tank.items()]
    pieces += [(PART, turned(face)) for face in part.values()]
    return Panels(
        corners=np.concatenate([face for _, face in pieces]),
        group=np.repeat([group for group, _ in pieces], [len(face) for _, face in pieces]),
    )


def weights(panels: Panels, wagner: float = 1.0) -> tuple[Floats, Floats]:
    """Of a linear law on the part, a fixed potential on the anode, and insulating walls."""
    potential = np.select([panels.group == PART, panels.group == ANODE], [wagner, 0.0], 1.0)
    return potential, np.where(panels.group == WALL, 0.0, 1.0 / np.sqrt(panels.areas))


@pytest.fixture(scope="module")
def operators() -> HierarchicalOperators:
    return build_operators(cell(6))


def test_where_a_block_holds_all_panels_it_is_the_exact_inverse(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    panels = cell(2)
    monkeypatch.setattr(preconditioner, "OVERLAP", len(panels))
    potential, flux = weights(panels)
    inverse = build_operators(panels).preconditioner(potential, flux)
    local, order = inverse.local, inverse.local.order
    whole = np.zeros((len(panels), len(panels)))
    for block, index in enumerate(local.index):
        matrix = local.half_less_double[block] * potential[order][index]
        matrix = matrix + local.single[block] * flux[order][index]
        whole[np.ix_(order[index], order[index])] = matrix
    residual = np.random.default_rng(0).normal(size=len(panels))
    expected = np.linalg.solve(whole, residual)
    assert inverse(residual) == pytest.approx(expected, abs=1e-3 * np.abs(expected).max())


def test_local_parts_are_those_of_the_operators(operators: HierarchicalOperators) -> None:
    panels = operators.panels
    dense = dense_operators(panels)
    local = operators.preconditioner(*weights(panels)).local
    places = local.order[local.index[3]]
    single = dense.single[np.ix_(places, places)]
    assert local.single[3] == pytest.approx(single, rel=1e-2)
    assert local.own[3] == pytest.approx(single.diagonal(), rel=1e-5)


def test_cores_hold_every_panel_once_and_overlaps_surround_them(
    operators: HierarchicalOperators,
) -> None:
    geometry, clusters = operators.geometry, operators.clusters
    local = local_blocks(clusters, geometry, mirrored=False)
    cores = [index[:core] for index, core in zip(local.index, local.core, strict=True)]
    assert sorted(np.concatenate(cores)) == list(range(len(operators.panels)))
    assert local.core.max() <= CORE
    assert local.index.shape[1] == CORE + OVERLAP
    centres = geometry[:3].T
    for index, core in zip(local.index, local.core, strict=True):
        assert len(set(index)) == len(index)
        middle = centres[index[:core]].mean(axis=0)
        distance = np.linalg.norm(centres - middle, axis=1)
        inside = np.zeros(len(centres), dtype=bool)
        inside[index] = True
        assert distance[inside].mean() < distance[~inside].mean()


def solve_count(
    operators: HierarchicalOperators, preconditioner: object, a: Floats, b: Floats
) -> int:
    right = np.where(operators.panels.group == ANODE, 1.0, 0.3)
    answer = gmres(
        lambda x: a * x / 2 + operators.applied(b * x, a * x),
        right,
        preconditioner,  # type: ignore[arg-type]
        tolerance=1e-6,
    )
    assert answer.converged
    return answer.iterations


def test_an_overlap_is_what_lies_closest_to_the_cores_box() -> None:
    rng = np.random.default_rng(8)
    flat = rng.uniform(size=(600, 3)) * [1.0, 0.3, 0.0]
    apart = rng.uniform(size=(40, 3)) * 0.01 + [5.0, 0.0, 0.0]  # a small body far away
    centres = np.concatenate([flat[flat[:, 0].argsort()], apart])
    first = np.array([*range(0, 600, 30), 600, 620])
    last = np.append(first[1:], 640)
    low, high = (
        np.array([f(centres[a:b], axis=0) for a, b in zip(first, last, strict=True)])
        for f in (np.min, np.max)
    )
    index = np.zeros((len(first), 64), dtype=np.int64)
    surround(centres, first, last, low, high, 0, index)
    for core, places in enumerate(index):
        own = np.arange(first[core], last[core])
        assert (places[: len(own)] == own).all()
        past = np.maximum(np.maximum(low[core] - centres, centres - high[core]), 0.0)
        distance = np.linalg.norm(past, axis=1)
        distance[own] = np.inf
        wanted = np.sort(distance)[: 64 - len(own)]
        assert distance[places[len(own) :]] == pytest.approx(wanted, abs=1e-12)


@pytest.mark.parametrize("wagner", [1e-3, 1.0, 1e3])
def test_it_saves_iterations_at_every_wagner_number(
    operators: HierarchicalOperators, wagner: float
) -> None:
    a, b = weights(operators.panels, wagner)
    with_it = solve_count(operators, operators.preconditioner(a, b), a, b)
    without = solve_count(operators, lambda residual: residual, a, b)
    assert with_it <= 25
    assert with_it < without / 2


def test_an_update_by_a_common_factor_is_exact_and_factors_nothing(
    operators: HierarchicalOperators,
) -> None:
    a, b = weights(operators.panels)
    first = operators.preconditioner(a, b)
    factor = np.random.default_rng(1).uniform(0.1, 10, size=len(a))
    updated = first.updated(a * factor, b * factor)
    assert updated.inverse is first.inverse
    residual = np.random.default_rng(2).normal(size=len(a))
    assert updated(residual) == pytest.approx(first(residual) / factor, rel=1e-5)


def test_an_update_factors_only_blocks_whose_balance_changed(
    operators: HierarchicalOperators,
) -> None:
    a, b = weights(operators.panels)
    first = operators.preconditioner(a, b)
    changed = a.copy()
    panel = int(np.flatnonzero(operators.panels.group == PART)[0])
    changed[panel] *= 30
    updated = first.updated(changed, b)
    fresh = operators.preconditioner(changed, b)
    place = int(np.flatnonzero(first.local.order == panel)[0])
    holds = (first.local.index == place).any(axis=1)
    assert 0 < holds.sum() < len(holds)
    assert (updated.inverse[holds] == fresh.inverse[holds]).all()
    assert (updated.inverse[~holds] == first.inverse[~holds]).all()
    residual = np.random.default_rng(3).normal(size=len(a))
    assert updated(residual) == pytest.approx(fresh(residual), rel=1e-4)
    # Nothing of the first was changed.
    assert first(residual) == pytest.approx(operators.preconditioner(a, b)(residual))


def test_an_update_below_notice_still_serves(operators: HierarchicalOperators) -> None:
    a, b = weights(operators.panels)
    slightly = a * np.random.default_rng(4).uniform(0.8, 1.25, size=len(a))
    updated = operators.preconditioner(a, b).updated(slightly, b)
    fresh = solve_count(operators, operators.preconditioner(slightly, b), slightly, b)
    assert solve_count(operators, updated, slightly, b) <= fresh + 2


def test_dense_updates_are_exact() -> None:
    operators = dense_operators(cell(3))
    a, b = weights(operators.panels)
    updated = operators.preconditioner(a, b).updated(2 * a, 3 * b)
    residual = np.random.default_rng(5).normal(size=len(a))
    x = updated(residual)
    product = a * x + operators.applied(3 * b * x, 2 * a * x)
    assert product == pytest.approx(residual, abs=1e-9)
