"""GLB, the binary form of glTF 2.0: metres by the standard, a scene of nodes that place meshes.

Read are triangles, strips and fans of every mesh that the scene shows, plain or quantized, with
sparse accessors. Corners at exactly the same place within one mesh are one corner, because the
format must repeat a corner wherever its normal or its colour changes. Compressed meshes are refused
with the way out. The standard has y up; the numbers are left as they stand, and a note says so.
"""

import json
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.base.errors import BadInput, MeshDefect
from tankside.base.messages import said
from tankside.base.wording import strung
from tankside.part.formats.file_mesh import (
    FileMesh,
    Placed,
    checked_corners,
    checked_count,
    joined,
    moved,
)
from tankside.part.formats.glb_accessor import Buffers
from tankside.part.welding import same_place

_MAGIC = b"glTF"
_JSON, _BINARY = 0x4E4F534A, 0x004E4942
_TRIANGLES, _STRIP, _FAN = 4, 5, 6
_READABLE = (
    "KHR_mesh_quantization",
    "KHR_materials_",
    "KHR_texture_",
    "KHR_lights_",
    "EXT_texture_",
    "KHR_node_visibility",
)

_Json = dict[str, Any]


@dataclass
class _Scene:
    """The JSON, the buffers, each mesh once, and what was placed so far."""

    json: _Json
    buffers: Buffers
    meshes: dict[int, tuple[Floats, Ints]] = field(default_factory=dict)
    placed: list[Placed] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    visited: set[int] = field(default_factory=set)
    triangles: int = 0
    corners_joined: int = 0


def read_glb(data: bytes) -> FileMesh:
    """The triangles that a GLB's scene shows; BadInput or MeshDefect where it is damaged."""
    content, binary = _chunks(data)
    try:
        scene = _Scene(content, Buffers(content, binary))
        _refuse_unreadable(content)
        for node in _roots(content):
            _place(scene, node, np.eye(4))
    except (KeyError, IndexError, TypeError, AttributeError, RecursionError) as error:
        raise BadInput("the GLB's description is damaged: {error!r}", error=error) from error
    except ValueError as error:
        if isinstance(error, BadInput):
            raise
        raise BadInput("the GLB's description is damaged: {error}", error=error) from error
    if not scene.placed:
        raise MeshDefect(strung((said("the GLB shows no triangles"), *scene.notes)))
    if scene.corners_joined:
        scene.notes.append(
            said(
                "a GLB repeats corners where normals or colours change: {corners_joined} "
                "corners at exactly the place of another were joined with it",
                corners_joined=scene.corners_joined,
            )
        )
    scene.notes.append(
        said(
            "a GLB has y up by its standard; the numbers are used as they stand, so turn "
            "the part by 90 degrees about x if it lies on its side"
        )
    )
    return joined(scene.placed, unit="m", notes=scene.notes)


def _chunks(data: bytes) -> tuple[_Json, bytes]:
    if data[:4] != _MAGIC or len(data) < 20:
        raise BadInput("the file is not a GLB: it does not begin with 'glTF' and a whole head")
    version, length = (int.from_bytes(data[k : k + 4], "little") for k in (4, 8))
    if version != 2:
        raise BadInput(
            "the GLB is of version {version}, and only version 2 is read", version=version
        )
    if length > len(data):
        raise BadInput(
            "the GLB is cut short: it announces {length:,} bytes and holds {data:,}",
            length=length,
            data=len(data),
        )
    chunks: dict[int, bytes] = {}
    place = 12
    while place + 8 <= length:
        size, kind = (int.from_bytes(data[k : k + 4], "little") for k in (place, place + 4))
        if place + 8 + size > length:
            raise BadInput("the GLB is cut short inside a chunk; copy or export it again")
        chunks.setdefault(kind, data[place + 8 : place + 8 + size])
        place += 8 + size
    try:
        content = json.loads(chunks[_JSON].decode("utf-8"))
    except (KeyError, ValueError, RecursionError) as error:
        raise BadInput("the GLB's description is no whole JSON") from error
    if not isinstance(content, dict):
        raise BadInput("the GLB's description is no JSON object")
    return content, chunks.get(_BINARY, b"")


def _refuse_unreadable(content: _Json) -> None:
    for name in content.get("extensionsRequired", []):
        if not str(name).startswith(_READABLE):
            raise BadInput(
                "the GLB needs the extension {name!r}, which is not read; export it again without "
                "compression",
                name=name,
            )


def _roots(content: _Json) -> list[int]:
    scenes = content.get("scenes", [])
    if scenes:
        return list(scenes[content.get("scene", 0)].get("nodes", []))
    nodes = content.get("nodes", [])
    children = {child for node in nodes for child in node.get("children", [])}
    return [number for number in range(len(nodes)) if number not in children]


def _place(scene: _Scene, number: int, outer: Floats) -> None:
    if number in scene.visited:
        raise BadInput("the GLB hangs a node at two places, or in a circle; export it again")
    scene.visited.add(number)
    node = scene.json["nodes"][number]
    matrix = outer @ _matrix(node)
    if "mesh" in node:
        _add_mesh(scene, node, matrix)
    if "skin" in node and "skin" not in " ".join(scene.notes):
        scene.notes.append(said("the GLB holds a skin; the shape is read as it stands at rest"))
    for child in node.get("children", []):
        _place(scene, child, matrix)


def _add_mesh(scene: _Scene, node: _Json, matrix: Floats) -> None:
    if "EXT_mesh_gpu_instancing" in node.get("extensions", {}):
        raise BadInput("the GLB repeats a mesh by an instancing extension, which is not read")
    number = node["mesh"]
    if number not in scene.meshes:
        scene.meshes[number] = _mesh(scene, scene.json["meshes"][number])
    vertices, triangles = scene.meshes[number]
    if not len(triangles):
        return
    name = str(node.get("name") or scene.json["meshes"][number].get("name") or f"mesh {number + 1}")
    vertices, triangles = moved(vertices, triangles, matrix)
    scene.placed.append(Placed(name=name, vertices=vertices, triangles=triangles))
    scene.triangles += len(triangles)
    checked_count(scene.triangles)


def _mesh(scene: _Scene, mesh: _Json) -> tuple[Floats, Ints]:
    """All triangles of a mesh's primitives over one set of corners."""
    points, faces, start = [np.zeros((0, 3))], [np.zeros((0, 3), np.int64)], 0
    for primitive in mesh["primitives"]:
        mode = primitive.get("mode", _TRIANGLES)
        if mode not in (_TRIANGLES, _STRIP, _FAN) or "POSITION" not in primitive["attributes"]:
            scene.notes.append(said("points or lines of the GLB are left out"))
            continue
        for name in primitive.get("extensions", {}):
            if "draco" in name.lower() or "meshopt" in name.lower():
                raise BadInput(
                    "the GLB's mesh is compressed ({name}); export it again without compression",
                    name=name,
                )
        corners = scene.buffers.array(primitive["attributes"]["POSITION"], columns=3)
        if not np.isfinite(corners).all():
            raise MeshDefect("the GLB holds a corner that is not made of finite numbers")
        triangles = _triangles(scene.buffers, primitive, mode, len(corners))
        faces.append(checked_corners(triangles, len(corners)) + start)
        points.append(corners)
        start += len(corners)
    vertices, triangles = np.concatenate(points), np.concatenate(faces)
    first, number = same_place(vertices)
    scene.corners_joined += len(vertices) - len(first)
    return vertices[first], number[triangles]


def _triangles(buffers: Buffers, primitive: _Json, mode: int, count: int) -> Ints:
    if "indices" in primitive:
        run = buffers.array(primitive["indices"], columns=1).reshape(-1).astype(np.int64)
    else:
        run = np.arange(count)
    if mode == _TRIANGLES:
        if len(run) % 3:
            raise MeshDefect("the GLB lists corners of triangles whose number is no multiple of 3")
        return run.reshape(-1, 3)
    if mode == _FAN:
        return np.stack([run[1:-1], run[2:], np.full(max(len(run) - 2, 0), run[:1])], axis=1)
    strip = np.stack([run[:-2], run[1:-1], run[2:]], axis=1)
    strip[1::2] = strip[1::2, ::-1]
    repeated = (strip == np.roll(strip, 1, axis=1)).any(axis=1)
    kept: Ints = strip[~repeated]
    return kept


def _matrix(node: _Json) -> Floats:
    if "matrix" in node:
        return np.array(node["matrix"], dtype=np.float64).reshape(4, 4).T
    matrix = np.eye(4)
    x, y, z, w = np.array(node.get("rotation", [0, 0, 0, 1]), dtype=np.float64)
    turn = np.array(
        [
            [1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w)],
            [2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w)],
            [2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y)],
        ]
    )
    matrix[:3, :3] = turn * np.array(node.get("scale", [1, 1, 1]), dtype=np.float64)
    matrix[:3, 3] = np.array(node.get("translation", [0, 0, 0]), dtype=np.float64)
    return matrix
