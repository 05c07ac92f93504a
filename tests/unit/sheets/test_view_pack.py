"""The packed view holds the mesh to the last corner, and what lies on it."""

import json
import struct
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from tankside.cell.bodies import Role
from tankside.part.mesh import TriangleMesh
from tankside.plan.plan import CourseMoment, Plan
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


def test_a_steady_course_keeps_times_alone(plan: Plan) -> None:
    header, _ = opened(view_of_plan(plan))
    times = header["course"]["times_s"]
    assert header["course"]["steady"]
    assert times[0] == 0.0
    assert times[-1] == pytest.approx(plan.duration)
    assert not any("course" in body for body in header["bodies"])


def test_moments_of_a_changing_course_come_back_to_a_step(plan: Plan) -> None:
    half = tuple(replace(result, thickness=result.thickness / 2) for result in plan.results)
    moments = (
        CourseMoment(time=60.0, results=half),
        CourseMoment(time=plan.duration, results=plan.results),
    )
    header, content = opened(view_of_plan(replace(plan, course=moments)))
    assert header["course"] == {"times_s": [60.0, plan.duration], "steady": False}
    part = next(body for body in header["bodies"] if body["role"] == "part")
    kept = part["course"]["thickness"]
    assert kept["span"][0] % 4 == 0
    numbers = array(content, kept["span"], "<u2").reshape(2, -1)
    values = kept["low"] + kept["step"] * numbers
    result = next(one for one in plan.results if one.body.role is Role.PART)
    assert values[1] == pytest.approx(1e6 * result.thickness, abs=kept["step"])
    assert values[0] == pytest.approx(0.5e6 * result.thickness, abs=kept["step"])


def test_the_extreme_places_are_told_in_words_and_contacts_by_name(plan: Plan) -> None:
    header, _ = opened(view_of_plan(plan))
    height = header["quantities"][0]["least"]["where"].split(",")[0]
    assert height in ("near the top", "half way up", "near the bottom")
    assert len(header["contacts"]) == len(plan.cell.contacts)
