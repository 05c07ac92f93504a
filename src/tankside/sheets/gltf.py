"""A small writer of binary glTF 2.0 (specification by the Khronos Group): values in, bytes out.

Knows just what the map needs: triangles or lines with optional normals, colours and scalars, plain
materials, and named nodes with extras under one root that turns z upwards to y upwards.
"""

import json
import struct
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import sqrt
from typing import Any

import numpy as np

from tankside.base.arrays import Floats

_FLOAT, _POINTS_TARGET = 5126, 34962
_LINES, _TRIANGLES = 1, 4
_UNLIT = "KHR_materials_unlit"
_Z_UP_TO_Y_UP = [-sqrt(0.5), 0.0, 0.0, sqrt(0.5)]


@dataclass(frozen=True, kw_only=True)
class Geometry:
    """Loose triangles, or loose lines: positions (3 nt or 2 nl, 3) [m]; per corner normals (., 3),
    colours in linear light (., 3), and named scalars (.,)."""

    positions: Floats
    normals: Floats | None = None
    colours: Floats | None = None
    scalars: Mapping[str, Floats] = field(default_factory=dict)
    lines: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A name, a colour with opacity in linear light, and whether light leaves it as it is."""

    name: str
    colour: tuple[float, float, float, float]
    unlit: bool = False


@dataclass(frozen=True, kw_only=True)
class Node:
    """A named thing in the scene."""

    name: str
    geometry: Geometry
    material: Material
    extras: Mapping[str, Any]


def glb(nodes: Sequence[Node], *, root: str, generator: str, extras: Mapping[str, Any]) -> bytes:
    """The scene as the bytes of a .glb file; `extras` go to the scene."""
    buffer = _Buffer()
    materials = list(dict.fromkeys(node.material for node in nodes))
    meshes = [_mesh(node, materials.index(node.material), buffer) for node in nodes]
    count = len(nodes)
    document: dict[str, Any] = {
        "asset": {"version": "2.0", "generator": generator},
        "scene": 0,
        "scenes": [{"nodes": [count], "extras": dict(extras)}],
        "nodes": [
            {"name": node.name, "mesh": k, "extras": dict(node.extras)}
            for k, node in enumerate(nodes)
        ]
        + [{"name": root, "rotation": _Z_UP_TO_Y_UP, "children": list(range(count))}],
        "meshes": meshes,
        "materials": [_material(material) for material in materials],
        "accessors": buffer.accessors,
        "bufferViews": buffer.views,
        "buffers": [{"byteLength": len(buffer.data)}],
    }
    if any(material.unlit for material in materials):
        document["extensionsUsed"] = [_UNLIT]
    text = json.dumps(document, ensure_ascii=False, allow_nan=False).encode("utf-8")
    return _container(text, bytes(buffer.data))


class _Buffer:
    """The binary chunk while it grows, with the views and accessors into it."""

    def __init__(self) -> None:
        self.data = bytearray()
        self.views: list[dict[str, Any]] = []
        self.accessors: list[dict[str, Any]] = []

    def added(self, values: Floats, *, bounds: bool = False) -> int:
        """Appends float32 scalars (n,) or vectors (n, 3); returns the accessor's number."""
        single = np.ascontiguousarray(values, "<f4")
        self.views.append(
            {
                "buffer": 0,
                "byteOffset": len(self.data),
                "byteLength": single.nbytes,
                "target": _POINTS_TARGET,
            }
        )
        self.data += single.tobytes()
        accessor: dict[str, Any] = {
            "bufferView": len(self.views) - 1,
            "componentType": _FLOAT,
            "count": len(single),
            "type": "SCALAR" if single.ndim == 1 else "VEC3",
        }
        if bounds:
            accessor["min"] = [float(value) for value in single.min(axis=0)]
            accessor["max"] = [float(value) for value in single.max(axis=0)]
        self.accessors.append(accessor)
        return len(self.accessors) - 1


def _mesh(node: Node, material: int, buffer: _Buffer) -> dict[str, Any]:
    geometry = node.geometry
    attributes = {"POSITION": buffer.added(geometry.positions, bounds=True)}
    if geometry.normals is not None:
        attributes["NORMAL"] = buffer.added(geometry.normals)
    if geometry.colours is not None:
        attributes["COLOR_0"] = buffer.added(geometry.colours)
    for name, values in geometry.scalars.items():
        attributes[name] = buffer.added(values)
    primitive = {
        "attributes": attributes,
        "material": material,
        "mode": _LINES if geometry.lines else _TRIANGLES,
    }
    return {"name": node.name, "primitives": [primitive]}


def _material(material: Material) -> dict[str, Any]:
    surface = {
        "baseColorFactor": list(material.colour),
        "metallicFactor": 0.0,
        "roughnessFactor": 0.85,
    }
    entry: dict[str, Any] = {"name": material.name, "pbrMetallicRoughness": surface}
    if material.colour[3] < 1.0:
        entry |= {"alphaMode": "BLEND", "doubleSided": True}
    if material.unlit:
        entry["extensions"] = {_UNLIT: {}}
    return entry


def _container(text: bytes, binary: bytes) -> bytes:
    """Header, JSON chunk and binary chunk, each padded to four bytes."""
    text += b" " * (-len(text) % 4)
    binary += b"\0" * (-len(binary) % 4)
    total = 12 + 8 + len(text) + 8 + len(binary)
    return b"".join(
        [
            struct.pack("<4sII", b"glTF", 2, total),
            struct.pack("<I4s", len(text), b"JSON"),
            text,
            struct.pack("<I4s", len(binary), b"BIN\0"),
            binary,
        ]
    )
