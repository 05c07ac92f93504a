"""The GLB map, read again by another reader: names, sizes, colours, legend."""

import io
import json
import struct
from typing import Any

import numpy as np
import pytest
import trimesh

from tankside.cell.bodies import Role
from tankside.plan.plan import Plan
from tankside.sheets.colours import decoded, thickness_scale
from tankside.sheets.map_glb import map_glb


@pytest.fixture(scope="module")
def blob(plan: Plan) -> bytes:
    return map_glb(plan)


@pytest.fixture(scope="module")
def scene(blob: bytes) -> trimesh.Scene:
    return trimesh.load(io.BytesIO(blob), file_type="glb")


def document(blob: bytes) -> dict[str, Any]:
    length = struct.unpack_from("<I", blob, 12)[0]
    return json.loads(blob[20 : 20 + length])


def accessor(blob: bytes, node: str, attribute: str) -> np.ndarray:
    """Values of an attribute, read by hand from the specification's description."""
    tree = document(blob)
    mesh = next(entry for entry in tree["meshes"] if entry["name"] == node)
    entry = tree["accessors"][mesh["primitives"][0]["attributes"][attribute]]
    view = tree["bufferViews"][entry["bufferView"]]
    start = 20 + struct.unpack_from("<I", blob, 12)[0] + 8 + view["byteOffset"]
    width = {"SCALAR": 1, "VEC3": 3}[entry["type"]]
    return np.frombuffer(blob, "<f4", entry["count"] * width, start).reshape(-1, width)


def test_every_body_but_the_vessel_is_a_named_node(blob: bytes) -> None:
    names = {node["name"] for node in document(blob)["nodes"]}
    assert names == {
        "cell", "part 1", "part 1 burning", "part 1 bare", "wire 1", "thief 1", "anode 1",
        "anode 2", "shield 1",
    }  # fmt: skip


def test_bodies_stand_in_metres_with_y_upwards(scene: trimesh.Scene, plan: Plan) -> None:
    for result in plan.results:
        if result.body.role is Role.VESSEL:
            continue
        transform, name = scene.graph[result.label]
        box = trimesh.transform_points(scene.geometry[name].bounds, transform)
        low, high = result.body.surface.box
        turned = np.array([[v[0], v[2], -v[1]] for v in (low, high)])
        np.testing.assert_allclose(box.min(axis=0), turned.min(axis=0), atol=1e-7)
        np.testing.assert_allclose(box.max(axis=0), turned.max(axis=0), atol=1e-7)


def test_panels_keep_their_own_thickness_so_extremes_stay_true(blob: bytes, plan: Plan) -> None:
    part = plan.results[0]
    held = accessor(blob, "part 1", "_THICKNESS_UM").reshape(-1, 3)
    np.testing.assert_allclose(held, 1e6 * np.repeat(part.thickness[:, None], 3, 1), rtol=1e-6)
    assert held.min() == pytest.approx(1e6 * plan.thickness.minimum, rel=1e-6)
    assert held.max() == pytest.approx(1e6 * plan.thickness.maximum, rel=1e-6)


def test_colours_follow_thickness_in_linear_light(blob: bytes, plan: Plan) -> None:
    expected = decoded(thickness_scale(plan).colours(plan.results[0].thickness))
    held = accessor(blob, "part 1", "COLOR_0").reshape(-1, 3, 3)
    np.testing.assert_allclose(held, np.repeat(expected[:, None], 3, axis=1), atol=1e-6)


def test_lightness_rises_with_thickness(blob: bytes) -> None:
    light = accessor(blob, "part 1", "COLOR_0") @ [0.2126, 0.7152, 0.0722]
    thickness = accessor(blob, "part 1", "_THICKNESS_UM")[:, 0]
    order = np.argsort(thickness, kind="stable")
    assert (np.diff(light[order]) > -1e-6).all()


def test_normals_of_the_sphere_are_its_radii(blob: bytes) -> None:
    radii = accessor(blob, "part 1", "POSITION") - [0, 0, 0.13]
    radii /= np.linalg.norm(radii, axis=1)[:, None]
    agreement = np.einsum("ij,ij->i", radii, accessor(blob, "part 1", "NORMAL"))
    assert agreement.min() > 0.99


def test_burning_and_bare_are_marked_without_colour(blob: bytes, plan: Plan) -> None:
    tree = document(blob)
    part = plan.results[0]
    for suffix, count in (
        ("burning", (part.fraction_of_limit >= 0.95).sum()),
        ("bare", (part.thickness < 1e-6).sum()),
    ):
        mesh = next(entry for entry in tree["meshes"] if entry["name"] == f"part 1 {suffix}")
        assert mesh["primitives"][0]["mode"] == 1
        assert len(accessor(blob, f"part 1 {suffix}", "POSITION")) == 6 * count


def test_shields_are_translucent_and_the_rest_is_not(blob: bytes) -> None:
    tree = document(blob)
    modes = {}
    for node in tree["nodes"][:-1]:
        primitive = tree["meshes"][node["mesh"]]["primitives"][0]
        modes[node["name"]] = tree["materials"][primitive["material"]].get("alphaMode", "OPAQUE")
    assert [name for name, mode in modes.items() if mode == "BLEND"] == ["shield 1"]


def test_the_scene_carries_the_legend(blob: bytes, plan: Plan) -> None:
    extras = document(blob)["scenes"][0]["extras"]
    scale = thickness_scale(plan)
    legend = extras["legend"]
    assert legend["low_um"] == pytest.approx(1e6 * scale.low)
    assert legend["high_um"] == pytest.approx(1e6 * scale.high)
    assert len(legend["colours_low_to_high"]) == 9
    assert extras["origin"]["current_A"] == plan.current


def test_the_same_plan_gives_the_same_bytes(plan: Plan, blob: bytes) -> None:
    assert map_glb(plan) == blob
