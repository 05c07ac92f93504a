"""The remesher's parts against slow or exact ways to the same answers."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside.base.arrays import Ints
from tankside.base.errors import MeshDefect
from tankside.part.mesh import TriangleMesh
from tankside.part.remesh_checks import Reference
from tankside.part.remesh_halfedges import HalfEdges, compacted, edge_list, half_edges, soup
from tankside.part.remesh_lines import mark_lines, turns
from tankside.part.remesh_passes import collapse_short, flip_edges, split_long
from tankside.part.remesh_rays import ray_lengths
from tankside.part.remesh_tree import nearest, tree_of
from tankside.part.surface_quality import surface_quality
from tests.unit.part.solids import box, cup, sphere

NOTHING = tree_of(np.zeros((0, 3, 3)))
NOWHERE = Reference(NOTHING, NOTHING, np.zeros((0, 3)), np.zeros(0))


def nearest_by_samples(mesh: TriangleMesh, point: np.ndarray) -> float:
    """The distance to a mesh from a fine grid of points on every triangle."""
    steps = np.linspace(0, 1, 60)
    u, v = (w.reshape(-1) for w in np.meshgrid(steps, steps))
    u, v = u[u + v <= 1 + 1e-12], v[u + v <= 1 + 1e-12]
    a, b, c = (mesh.corners[:, None, k] for k in range(3))
    points = a + u[:, None] * (b - a) + v[:, None] * (c - a)
    return float(np.linalg.norm(points - point, axis=2).min())


@pytest.mark.parametrize("mesh", [box(), sphere(0.01, 12)], ids=["box", "sphere"])
def test_the_nearest_point_against_samples(mesh: TriangleMesh) -> None:
    points = np.random.default_rng(1).normal(size=(40, 3)) * 0.01
    triangle, distance, foot = nearest(tree_of(mesh.corners), points)
    for k, point in enumerate(points):
        sampled = nearest_by_samples(mesh, point)
        assert distance[k] <= sampled + 1e-15
        assert distance[k] == pytest.approx(sampled, abs=3e-4)
        assert np.linalg.norm(foot[k] - point) == pytest.approx(distance[k])
        height = (foot[k] - mesh.corners[triangle[k], 0]) @ mesh.normals[triangle[k]]
        assert abs(height) < 1e-12


def test_the_nearest_point_of_segments_and_of_nothing() -> None:
    segment = np.array([[[0.0, 0, 0], [1, 0, 0], [1, 0, 0]]])
    _, distance, foot = nearest(tree_of(segment), np.array([[0.5, 2, 0], [3.0, 0, 0]]))
    assert distance == pytest.approx([2, 2])
    assert foot == pytest.approx(np.array([[0.5, 0, 0], [1, 0, 0]]))


def test_rays_measure_walls_and_gaps() -> None:
    mesh = cup(0.04, 0.015, 0.013, 0.002, 360)
    tree = tree_of(mesh.corners)
    origin = np.array([[0.015, 0, 0.02], [0.013, 0, 0.02], [0.0, 0.0, 0.002]])
    inward = np.array([[-1.0, 0, 0], [1.0, 0, 0], [0.0, 0, -1]])
    walls = ray_lengths(tree, origin - 1e-9 * inward, inward, leaving=True)
    assert walls == pytest.approx([0.002, 0.002, 0.002], rel=1e-3)
    gaps = ray_lengths(tree, origin[1:] + 1e-9 * -inward[1:], -inward[1:], leaving=False)
    assert gaps[0] == pytest.approx(0.026, rel=1e-3)
    assert gaps[1] == np.inf


def test_open_or_twisted_surfaces_have_no_half_edges() -> None:
    with pytest.raises(MeshDefect, match="open"):
        half_edges(box().vertices, box().triangles[1:])
    twisted = box().triangles.copy()
    twisted[0] = twisted[0, ::-1]
    with pytest.raises(MeshDefect):
        half_edges(box().vertices, twisted)


def assert_sound(mesh: HalfEdges) -> None:
    points, triangles = soup(compacted(mesh))
    whole = TriangleMesh(vertices=points, triangles=triangles)
    assert surface_quality(whole).manifold
    assert len(points) - len(triangles) / 2 == 2
    packed = compacted(mesh)
    edges = np.arange(3 * int(packed.used[1]))
    assert (packed.twin[packed.twin[edges]] == edges).all()
    assert (packed.sharp[packed.twin[edges]] == packed.sharp[edges]).all()
    leaving = packed.leaving[: int(packed.used[0])]
    assert (packed.start[leaving] == np.arange(int(packed.used[0]))).all()


@given(seed=st.integers(0, 10_000))
def test_changes_in_any_order_keep_a_closed_surface(seed: int) -> None:
    """Split, flip and collapse at random on a cube: it stays one closed surface of a ball's kind
    with the cube's volume, and its twelve sharp edges keep their length."""
    random = np.random.default_rng(seed)
    mesh = compacted(half_edges(box().vertices / 0.01, box().triangles), 60.0)
    mark_lines(mesh, 0.1)
    mesh.size[:] = 0.4
    mesh.slack[:] = 1e-9
    for _ in range(3):
        split_long(mesh, NOWHERE, shuffled(mesh, random), 1.0)
        flip_edges(mesh, NOWHERE, shuffled(mesh, random))
        collapse_short(mesh, NOWHERE, shuffled(mesh, random), 0.8, 1.4, 0.1)
        assert_sound(mesh)
    points, triangles = soup(compacted(mesh))
    assert TriangleMesh(vertices=points, triangles=triangles).signed_volume == pytest.approx(1)
    lines = edge_list(mesh)[mesh.sharp[edge_list(mesh)]]
    ends = mesh.points[mesh.start[lines]] - mesh.points[mesh.start[mesh.twin[lines]]]
    assert np.linalg.norm(ends, axis=1).sum() == pytest.approx(12)


def shuffled(mesh: HalfEdges, random: np.random.Generator) -> Ints:
    return random.permutation(edge_list(mesh))


def test_turns_are_positive_outwards_and_negative_inwards() -> None:
    mesh = cup(0.04, 0.015, 0.013, 0.002)
    shell = half_edges(mesh.vertices / 0.05, mesh.triangles)
    edges = edge_list(shell)
    turn = np.degrees(turns(shell, edges))
    ends = np.stack([shell.start[edges], shell.start[shell.twin[edges]]])
    inner_floor = (np.abs(mesh.vertices[ends][:, :, 2] - 0.002) < 1e-9).all(axis=0)
    assert turn[inner_floor].min() == pytest.approx(-90, abs=1e-6)
    top = (np.abs(mesh.vertices[ends][:, :, 2] - 0.04) < 1e-9).all(axis=0)
    assert turn[top].max() == pytest.approx(90, abs=1e-6)
    assert (np.abs(turn) > 80).sum() == 4 * 64


def test_lines_are_marked_with_their_corners() -> None:
    shell = half_edges(box().vertices / 0.01, box().triangles)
    mark_lines(shell, 0.1)
    assert shell.sharp.sum() == 24
    assert shell.fixed.tolist() == [2] * 8
    mesh = cup(0.04, 0.015, 0.013, 0.002)
    shell = half_edges(mesh.vertices / 0.05, mesh.triangles)
    mark_lines(shell, 0.1)
    assert np.bincount(shell.fixed).tolist() == [0, 4 * 64]
    mark_lines(shell, 3.0)
    assert not shell.sharp.any()
