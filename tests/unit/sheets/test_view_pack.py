"""The packed view holds the mesh to the last corner, and what lies on it."""

import json
import struct
from typing import Any

import numpy as np
import pytest

from tankside.part.mesh import TriangleMesh
from tankside.plan.plan import Plan
from tankside.sheets.view_pack import MAGIC, view_of_part, view_of_plan


def opened(packed: bytes) -> tuple[dict[str, Any], bytes]:
    assert packed[:4] == MAGIC
    (length,) = struct.unpack("<I", packed[4:8])
    assert length % 4 == 0
    return json.loads(packed[8 : 8 + length]), packed[8 + length :]


def array(content: bytes, span: list[int], kind: str) -> np.ndarray[Any, Any]:
    offset, count = span
    return np.frombuffer(content, kind, count, offset)


def test_a_mesh_comes_back() -> None:
    mesh = TriangleMesh(
        vertices=np.array([[0, 0, 0], [1, 0, 0], [0, 2, 0], [0, 0, 3]]) * 0.01,
        triangles=np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]]),
    )
    header, content = opened(view_of_part(mesh))
    (body,) = header["bodies"]
    vertices = array(content, body["vertices_m"], "<f4").reshape(-1, 3)
    assert vertices == pytest.approx(mesh.vertices, abs=1e-8)
    assert (array(content, body["triangles"], "<u4").reshape(-1, 3) == mesh.triangles).all()
    assert len(content) == 4 * (12 + 12)


def test_a_plan_holds_its_values_and_extreme_places(plan: Plan) -> None:
    header, content = opened(view_of_plan(plan))
    assert {body["role"] for body in header["bodies"]} >= {"part", "anode"}
    assert "vessel" not in {body["role"] for body in header["bodies"]}
    parts = [body for body in header["bodies"] if body["role"] == "part"]
    thickness = np.concatenate(
        [array(content, body["values"]["thickness"], "<f4") for body in parts]
    )
    legend = header["quantities"][0]
    assert legend["least"]["value"] == pytest.approx(1e6 * plan.thickness.minimum)
    assert legend["greatest"]["value"] == pytest.approx(1e6 * plan.thickness.maximum)
    assert thickness.min() == pytest.approx(legend["least"]["value"], rel=1e-6)
    assert legend["low"] == legend["ticks"][0] < legend["ticks"][-1] == legend["high"]
    assert header["goal_um"] == pytest.approx(1e6 * plan.goal.thickness)
