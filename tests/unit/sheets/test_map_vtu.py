"""The VTU map, read again by meshio."""

from pathlib import Path
from xml.etree import ElementTree

import meshio
import numpy as np
import pytest

from tankside.plan.plan import Plan
from tankside.sheets.map_vtu import map_vtu


@pytest.fixture(scope="module")
def mesh(plan: Plan, tmp_path_factory: pytest.TempPathFactory) -> meshio.Mesh:
    path: Path = tmp_path_factory.mktemp("vtu") / "map.vtu"
    path.write_bytes(map_vtu(plan))
    return meshio.read(path)


def test_it_holds_every_panel_of_every_body(mesh: meshio.Mesh, plan: Plan) -> None:
    cells = mesh.cells_dict["triangle"]
    corners = np.concatenate([result.body.surface.corners for result in plan.results])
    np.testing.assert_array_equal(mesh.points[cells], corners)
    assert len(cells) == plan.panels


def test_fields_are_those_of_the_plan(mesh: meshio.Mesh, plan: Plan) -> None:
    fields = mesh.cell_data_dict
    assert set(fields) == {
        "current_density_A_m2", "fraction_of_limit", "thickness_um", "body", "role",
    }  # fmt: skip
    held = {name: values["triangle"] for name, values in fields.items()}
    for name, attribute, factor in (
        ("current_density_A_m2", "current_density", 1.0),
        ("fraction_of_limit", "fraction_of_limit", 1.0),
        ("thickness_um", "thickness", 1e6),
    ):
        expected = factor * np.concatenate([getattr(r, attribute) for r in plan.results])
        np.testing.assert_allclose(held[name], expected, rtol=1e-15)


def test_bodies_are_numbered_in_the_plans_order(mesh: meshio.Mesh, plan: Plan) -> None:
    number = mesh.cell_data_dict["body"]["triangle"]
    role = mesh.cell_data_dict["role"]["triangle"]
    codes = {"vessel": 0, "shield": 1, "part": 2, "wire": 3, "thief": 4, "anode": 5}
    for k, result in enumerate(plan.results):
        assert (number == k).sum() == len(result.thickness)
        assert set(role[number == k]) == {codes[result.body.role.value]}


def test_it_is_well_formed_and_says_where_it_comes_from(plan: Plan) -> None:
    text = map_vtu(plan)
    assert ElementTree.fromstring(text).attrib["type"] == "UnstructuredGrid"
    comment = text.decode().splitlines()[1]
    assert '"0": "part 1"' in comment
    assert "Newman, J. (1966)" in comment
    assert "--" not in comment.removeprefix("<!--").removesuffix("-->")
