"""The Parquet table holds every live panel, column by column as the contract says."""

import io
import json

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from tankside.plan.plan import Plan
from tankside.sheets.panel_table import panels_parquet

COLUMNS = [
    "body", "x_m", "y_m", "z_m", "nx", "ny", "nz", "area_m2",
    "current_density_A_m2", "fraction_of_limit", "thickness_um",
]  # fmt: skip


@pytest.fixture(scope="module")
def table(plan: Plan) -> pa.Table:
    return pq.read_table(io.BytesIO(panels_parquet(plan)))


def test_columns_are_those_of_the_contract(table: pa.Table) -> None:
    assert table.column_names == COLUMNS
    assert table.schema.types == [pa.string()] + [pa.float64()] * 10


def test_insulators_are_left_out_and_the_others_in_order(table: pa.Table, plan: Plan) -> None:
    labels = table["body"].to_pylist()
    assert list(dict.fromkeys(labels)) == ["part 1", "wire 1", "thief 1", "anode 1", "anode 2"]
    for result in plan.results:
        wanted = 0 if result.body.role.insulates else len(result.thickness)
        assert labels.count(result.label) == wanted


def test_values_come_back_bit_by_bit(table: pa.Table, plan: Plan) -> None:
    live = [result for result in plan.results if not result.body.role.insulates]
    centroids = np.concatenate([result.body.surface.centroids for result in live])
    normals = np.concatenate([result.body.surface.normals for result in live])
    for k, axis in enumerate("xyz"):
        np.testing.assert_array_equal(table[f"{axis}_m"].to_numpy(), centroids[:, k])
        np.testing.assert_array_equal(table[f"n{axis}"].to_numpy(), normals[:, k])
    for column, name, factor in (
        ("current_density_A_m2", "current_density", 1.0),
        ("fraction_of_limit", "fraction_of_limit", 1.0),
        ("thickness_um", "thickness", 1e6),
    ):
        expected = factor * np.concatenate([getattr(result, name) for result in live])
        np.testing.assert_allclose(table[column].to_numpy(), expected, rtol=1e-15)


def test_normals_of_the_sphere_point_into_the_solution(table: pa.Table) -> None:
    part = table.filter(pa.compute.equal(table["body"], "part 1"))
    place = np.column_stack([part[f"{axis}_m"].to_numpy() for axis in "xyz"]) - [0, 0, 0.13]
    normal = np.column_stack([part[f"n{axis}"].to_numpy() for axis in "xyz"])
    assert (np.einsum("ij,ij->i", place, normal) > 0).all()
    assert part["area_m2"].to_numpy().sum() == pytest.approx(4 * np.pi * 0.02**2, rel=0.02)


def test_signs_and_units_are_told_in_the_metadata(table: pa.Table, plan: Plan) -> None:
    field = table.schema.field("current_density_A_m2")
    assert field.metadata[b"unit"] == b"A/m^2"
    assert b"positive where copper is deposited" in field.metadata[b"meaning"]
    assert all(table.schema.field(name).metadata[b"meaning"] for name in COLUMNS)
    origin = json.loads(table.schema.metadata[b"origin"])
    assert origin["current_A"] == plan.current
    assert origin["sources"][0].startswith("Newman, J. (1966)")
    assert table.schema.metadata[b"made_by"].startswith(b"Tankside ")


def test_the_same_plan_gives_the_same_bytes(plan: Plan) -> None:
    assert panels_parquet(plan) == panels_parquet(plan)
