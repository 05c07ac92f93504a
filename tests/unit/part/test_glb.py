"""GLB: nodes, strips, fans, quantized and sparse numbers, and what is refused."""

import json
import struct
from typing import Any

import numpy as np
import pytest

from tankside.base.errors import BadInput, MeshDefect
from tankside.part.formats.glb import read_glb
from tankside.part.mesh import TriangleMesh
from tests.unit.part.solids import box

CODES = {"i1": 5120, "u1": 5121, "i2": 5122, "u2": 5123, "u4": 5125, "f4": 5126}
CUBE = box((1.0, 1.0, 1.0))


def glb(content: dict[str, Any], binary: bytes = b"") -> bytes:
    text = json.dumps(content).encode()
    text += b" " * (-len(text) % 4)
    binary += b"\0" * (-len(binary) % 4)
    chunks = struct.pack("<I4s", len(text), b"JSON") + text
    if binary:
        chunks += struct.pack("<I4s", len(binary), b"BIN\0") + binary
    return b"glTF" + struct.pack("<II", 2, 12 + len(chunks)) + chunks


def scene(
    points: Any, faces: Any, node: dict[str, Any] | None = None, mode: int | None = None
) -> tuple[dict[str, Any], bytes]:
    """A GLB's description and numbers: one mesh on one node."""
    points, faces = np.asarray(points, "<f4"), np.asarray(faces, "<u2").reshape(-1)
    primitive: dict[str, Any] = {"attributes": {"POSITION": 0}, "indices": 1}
    if mode is not None:
        primitive["mode"] = mode
    content = {
        "asset": {"version": "2.0"},
        "scene": 0,
        "scenes": [{"nodes": [0]}],
        "nodes": [{"mesh": 0, "name": "cap", **(node or {})}],
        "meshes": [{"primitives": [primitive]}],
        "accessors": [
            {"bufferView": 0, "componentType": 5126, "count": len(points), "type": "VEC3"},
            {"bufferView": 1, "componentType": 5123, "count": len(faces), "type": "SCALAR"},
        ],
        "bufferViews": [
            {"buffer": 0, "byteOffset": 0, "byteLength": points.nbytes},
            {"buffer": 0, "byteOffset": points.nbytes, "byteLength": faces.nbytes},
        ],
        "buffers": [{"byteLength": points.nbytes + faces.nbytes}],
    }
    return content, points.tobytes() + faces.tobytes()


def mesh_of(data: bytes) -> TriangleMesh:
    read = read_glb(data)
    return TriangleMesh(vertices=read.vertices, triangles=read.triangles)


def test_a_cube_is_in_metres() -> None:
    read = read_glb(glb(*scene(CUBE.vertices, CUBE.triangles)))
    assert read.unit == "m"
    assert read.object_names == ("cap",)
    assert any("y up by its standard" in note for note in read.notes)
    assert np.array_equal(read.vertices, CUBE.vertices)


def test_corners_repeated_for_their_normals_are_joined_and_named() -> None:
    data = glb(*scene(CUBE.corners.reshape(-1, 3), np.arange(36)))
    read = read_glb(data)
    assert len(read.vertices) == 8
    assert any("28 corners at exactly the place of another" in note for note in read.notes)
    assert mesh_of(data).signed_volume == pytest.approx(1.0)


HALF = float(np.sqrt(0.5))
NODES = [
    ({"translation": [1, 2, 3], "scale": [2, 3, 4]}, 24.0, [1, 2, 3]),
    (
        {"rotation": [0, 0, HALF, HALF], "scale": [2, 4, 1]},
        8.0,
        [0, 0, 0],
    ),
    ({"matrix": [2, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 5, 6, 7, 1]}, 2.0, [5, 6, 7]),
    ({"scale": [-1, 1, 1]}, 1.0, [0, 0, 0]),
]


@pytest.mark.parametrize(("node", "volume", "middle"), NODES)
def test_nodes_place_their_mesh(node: dict[str, Any], volume: float, middle: list[int]) -> None:
    mesh = mesh_of(glb(*scene(CUBE.vertices, CUBE.triangles, node)))
    assert mesh.signed_volume == pytest.approx(volume, rel=1e-6)
    low, high = mesh.box
    assert (low + high) / 2 == pytest.approx(middle, abs=1e-6)


def test_a_quarter_turn_takes_x_to_y() -> None:
    turn = {"rotation": [0, 0, HALF, HALF], "scale": [2, 1, 1]}
    low, high = mesh_of(glb(*scene(CUBE.vertices, CUBE.triangles, turn))).box
    assert high - low == pytest.approx([1, 2, 1], rel=1e-6)


def test_children_stand_in_their_parents() -> None:
    content, binary = scene(CUBE.vertices, CUBE.triangles, {"translation": [1, 0, 0]})
    content["nodes"] += [{"children": [0, 2], "scale": [2, 2, 2]}, {"mesh": 0}]
    content["scenes"][0]["nodes"] = [1]
    low, high = mesh_of(glb(content, binary)).box
    assert low.tolist() == [-1, -1, -1]
    assert high.tolist() == [3, 1, 1]


def test_without_scenes_the_roots_are_shown() -> None:
    content, binary = scene(CUBE.vertices, CUBE.triangles)
    del content["scenes"], content["scene"]
    content["nodes"].append({"children": [0], "translation": [7, 0, 0]})
    assert mesh_of(glb(content, binary)).box[0][0] == 6.5


@pytest.mark.parametrize(
    ("mode", "run"), [(4, [0, 1, 2, 0, 2, 3]), (5, [0, 1, 3, 2]), (6, [0, 1, 2, 3])]
)
def test_lists_strips_and_fans_give_one_square(mode: int, run: list[int]) -> None:
    points = [[0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0]]
    mesh = mesh_of(glb(*scene(points, run, mode=mode)))
    assert mesh.area_vectors[:, 2].sum() == 1.0
    assert mesh.area == 1.0


def test_quantized_corners_follow_the_standard() -> None:
    """Normalized signed shorts: c / 32767, and not below -1."""
    content, _ = scene(CUBE.vertices, CUBE.triangles)
    points = np.array([[-32768, 0, 0, 0], [32767, 0, 0, 0], [0, 32767, 0, 0]], "<i2")
    content["extensionsRequired"] = ["KHR_mesh_quantization"]
    content["accessors"][0] |= {"componentType": 5122, "count": 3, "normalized": True}
    content["accessors"][1] |= {"count": 3}
    content["bufferViews"][0] |= {"byteStride": 8, "byteLength": 24}
    content["bufferViews"][1] |= {"byteOffset": 24}
    mesh = mesh_of(glb(content, points.tobytes() + np.array([0, 1, 2], "<u2").tobytes()))
    assert mesh.vertices.tolist() == [[-1, 0, 0], [1, 0, 0], [0, 1, 0]]


def test_sparse_accessors_are_filled_in() -> None:
    content, binary = scene(CUBE.vertices, CUBE.triangles)
    content["bufferViews"] += [
        {"buffer": 0, "byteOffset": len(binary), "byteLength": 2},
        {"buffer": 0, "byteOffset": len(binary) + 4, "byteLength": 12},
    ]
    content["accessors"][0]["sparse"] = {
        "count": 1,
        "indices": {"bufferView": 2, "componentType": 5123},
        "values": {"bufferView": 3},
    }
    binary += struct.pack("<H2x3f", 7, 9.0, 8.0, 7.0)
    assert mesh_of(glb(content, binary)).vertices[7].tolist() == [9.0, 8.0, 7.0]


def changed(**paths: Any) -> bytes:
    """The cube's GLB with some entries replaced, named as accessors__0__count."""
    content, binary = scene(CUBE.vertices, CUBE.triangles)
    for path, value in paths.items():
        steps = [int(step) if step.isdigit() else step for step in path.split("__")]
        place: Any = content
        for step in steps[:-1]:
            place = place[step]
        place[steps[-1]] = value
    return glb(content, binary)


WHOLE = glb(*scene(CUBE.vertices, CUBE.triangles))
NAN = glb(*scene(np.where(CUBE.vertices > 0, np.nan, 0), CUBE.triangles))


@pytest.mark.parametrize(
    ("data", "kind", "words"),
    [
        (b"glTF", BadInput, "a whole head"),
        (WHOLE[:-60], BadInput, "cut short: it announces"),
        (WHOLE.replace(b"\2\0\0\0", b"\1\0\0\0", 1), BadInput, "version 1"),
        (WHOLE.replace(b'{"asset"', b'["asset"', 1), BadInput, "no whole JSON"),
        (glb({}), MeshDefect, "shows no triangles"),
        (NAN, MeshDefect, "not made of finite numbers"),
        (changed(accessors__0__count=9999), BadInput, "runs past its end"),
        (changed(accessors__0__count=-1), BadInput, "runs past its end"),
        (changed(accessors__0__type="VEC2"), BadInput, "not of 3 numbers a row"),
        (changed(accessors__0__componentType=1), BadInput, "description is damaged"),
        (changed(accessors__1__count=35), MeshDefect, "no multiple of 3"),
        (changed(bufferViews__0__byteStride=2), BadInput, "runs past its end"),
        (changed(buffers__0__uri="other.bin"), BadInput, "in another file"),
        (changed(nodes__0__mesh=5), BadInput, "description is damaged"),
        (changed(nodes__0__children=[0]), BadInput, "at two places, or in a circle"),
        (changed(nodes__0__matrix=[1, 2, 3]), BadInput, "description is damaged"),
        (changed(nodes__0__scale=[0, 1, 1]), MeshDefect, "flattens it"),
        (changed(meshes__0__primitives__0__mode=1), MeshDefect, "points or lines"),
        (changed(extensionsRequired=["KHR_draco_mesh_compression"]), BadInput, "draco"),
        (changed(meshes__0__primitives__0__extensions={"EXT_meshopt_compression": {}}), BadInput,
         "compressed"),
        (changed(nodes__0__extensions={"EXT_mesh_gpu_instancing": {}}), BadInput, "instancing"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_refused(data: bytes, kind: type[BadInput], words: str) -> None:
    with pytest.raises(kind, match=words):
        read_glb(data)
