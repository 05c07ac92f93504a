"""Clusters: whole groups, full leaves, every pair of panels once, far pairs far."""

import numpy as np
import pytest

from tankside.field.clusters import (
    CLEARANCE,
    RATIO,
    Clusters,
    all_near,
    clustered,
    far_and_near,
    leaves_within,
)
from tankside.field.panels import Panels
from tankside.validation.closed_shapes import box, sphere, turned


@pytest.fixture(scope="module")
def panels() -> Panels:
    lines = np.linspace(-0.15, 0.15, 8)
    pieces = [
        turned(sphere(0.02, 6)),
        np.concatenate(list(box(lines, lines, lines).values())),
        sphere(0.004, 3) + np.array([0.027, 0, 0]),  # nearly touching, and much finer
    ]
    return Panels(
        corners=np.concatenate(pieces),
        group=np.repeat([5, 2, 9], [len(piece) for piece in pieces]),
    )


@pytest.fixture(scope="module")
def clusters(panels: Panels) -> Clusters:
    return clustered(panels, 16)


def test_each_panel_is_in_one_leaf_and_each_leaf_in_one_group(
    panels: Panels, clusters: Clusters
) -> None:
    assert sorted(clusters.order) == list(range(len(panels)))
    leaves = clusters.leaves
    assert clusters.first[leaves][0] == 0
    assert list(clusters.first[leaves][1:]) == list(clusters.last[leaves][:-1])
    assert clusters.last[leaves][-1] == len(panels)
    for leaf in leaves:
        inside = clusters.order[clusters.first[leaf] : clusters.last[leaf]]
        assert len(set(panels.group[inside])) == 1


def test_leaves_are_nearly_full(clusters: Clusters) -> None:
    counts = clusters.count[clusters.leaves]
    assert counts.max() <= 16
    assert counts.min() >= 12


def test_boxes_hold_whole_panels(panels: Panels, clusters: Clusters) -> None:
    for node in range(len(clusters.first)):
        corners = panels.corners[clusters.order[clusters.first[node] : clusters.last[node]]]
        assert (corners.min(axis=(0, 1)) == clusters.low[node]).all()
        assert (corners.max(axis=(0, 1)) == clusters.high[node]).all()


def test_far_and_near_pairs_hold_every_pair_of_panels_once(
    panels: Panels, clusters: Clusters
) -> None:
    met = np.zeros((len(panels), len(panels)), dtype=int)
    far, near = far_and_near(clusters)
    assert len(far) > 100
    for target, source in np.concatenate([far, near]):
        rows = slice(clusters.first[target], clusters.last[target])
        met[rows, clusters.first[source] : clusters.last[source]] += 1
    assert (met == 1).all()


def test_where_none_are_far_all_pairs_of_leaves_are_near(clusters: Clusters) -> None:
    far, near = all_near(clusters)
    assert len(far) == 0
    pairs = {(int(target), int(source)) for target, source in near}
    assert pairs == {(int(a), int(b)) for a in clusters.leaves for b in clusters.leaves}


def test_far_pairs_are_far_by_both_rules(clusters: Clusters) -> None:
    target, source = far_and_near(clusters)[0].T
    low, high = clusters.low, clusters.high
    apart = np.maximum(low[target] - high[source], low[source] - high[target])
    gap = np.linalg.norm(np.maximum(apart, 0.0), axis=1)
    smaller = np.minimum(clusters.diagonal[target], clusters.diagonal[source])
    assert (smaller <= RATIO * gap).all()
    assert (gap > CLEARANCE * clusters.edge[source]).all()


def test_far_pairs_cross_the_gap_between_bodies_of_unlike_size(
    panels: Panels, clusters: Clusters
) -> None:
    groups = panels.group[clusters.order[clusters.first]]
    target, source = far_and_near(clusters)[0].T
    met = set(zip(groups[target].tolist(), groups[source].tolist(), strict=True))
    assert {(5, 9), (9, 5), (2, 9), (9, 2), (5, 5)} <= met


def test_shuffled_panels_make_the_same_clusters(panels: Panels, clusters: Clusters) -> None:
    shuffle = np.random.default_rng(2).permutation(len(panels))
    other = clustered(Panels(corners=panels.corners[shuffle], group=panels.group[shuffle]), 16)
    assert (shuffle[other.order] == clusters.order).all()


def test_leaves_within_reach_hold_every_near_pair(panels: Panels, clusters: Clusters) -> None:
    level = 0.16
    centres, sizes = panels.centroids[clusters.order], panels.sizes[clusters.order]
    for plane in (None, level):
        targets = centres.copy()
        if plane is not None:
            targets[:, 2] = 2 * plane - targets[:, 2]
        near = np.linalg.norm(targets[:, None] - centres, axis=2) < 3 * sizes
        held = np.zeros_like(near)
        pairs = leaves_within(clusters, 3.0, plane)
        for target, source in pairs:
            rows = slice(clusters.first[target], clusters.last[target])
            held[rows, clusters.first[source] : clusters.last[source]] = True
        assert near.any()
        assert (held | ~near).all()
        assert held.mean() < 0.6
