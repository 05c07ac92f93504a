"""The panels as a Parquet table: one row a panel, the unit in every column's name.

Columns and their meaning are the open contract of `tankside plan --out`. Insulating bodies carry no
current and are left out. The file's metadata says what each column means, and what the plan stands
on.
"""

import io
import json

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq

from tankside.base.units import in_unit
from tankside.plan.plan import BodyResult, Plan
from tankside.sheets.provenance import made_by, plan_origin

_COLUMNS = {
    "body": ("", "role and number: part, wire, thief or anode"),
    "x_m": ("m", "centroid of the panel; origin at the centre of the tank's floor"),
    "y_m": ("m", "centroid of the panel"),
    "z_m": ("m", "centroid of the panel; upwards"),
    "nx": ("1", "unit normal out of the body into the solution"),
    "ny": ("1", "unit normal out of the body into the solution"),
    "nz": ("1", "unit normal out of the body into the solution"),
    "area_m2": ("m^2", "area of the panel"),
    "current_density_A_m2": ("A/m^2", "total, positive where copper is deposited"),
    "fraction_of_limit": ("1", "current density over the mass-transfer limit of copper"),
    "thickness_um": ("um", "copper grown over the run; negative where an anode has worn"),
}


def panels_parquet(plan: Plan) -> bytes:
    """The table of all panels that carry current, as the bytes of a Parquet file."""
    live = [result for result in plan.results if not result.body.role.insulates]
    table = (
        pa.concat_tables([_rows(result) for result in live]) if live else _schema().empty_table()
    )
    table = table.replace_schema_metadata(
        {"made_by": made_by(), "origin": json.dumps(plan_origin(plan), ensure_ascii=False)}
    )
    stream = io.BytesIO()
    pq.write_table(table, stream, compression="zstd", use_dictionary=["body"])
    return stream.getvalue()


def _rows(result: BodyResult) -> pa.Table:
    """One body's panels, in the order of its surface's triangles."""
    mesh = result.body.surface
    columns = [
        np.full(len(mesh.triangles), result.label),
        *mesh.centroids.T,
        *mesh.normals.T,
        mesh.areas,
        result.current_density,
        result.fraction_of_limit,
        in_unit(1.0, "um") * result.thickness,
    ]
    return pa.table(columns, schema=_schema())


def _schema() -> pa.Schema:
    return pa.schema(
        [
            pa.field(
                name,
                pa.string() if name == "body" else pa.float64(),
                nullable=False,
                metadata={"unit": unit, "meaning": meaning},
            )
            for name, (unit, meaning) in _COLUMNS.items()
        ]
    )
