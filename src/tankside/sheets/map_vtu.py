"""The map for scientific viewers: an unstructured VTK grid (.vtu) of all panels.

Every body is in it, the vessel and shields too, with fields on the cells: current density, fraction
of the limit, thickness, the body's number in the file and its role. Written by hand to the
published file format of VTK: binary data inline as base64, little-endian, uncompressed.
"""

import base64
import json
from typing import Any
from xml.sax.saxutils import escape, quoteattr

import numpy as np
import numpy.typing as npt

from tankside.base.units import in_unit
from tankside.cell.bodies import Role
from tankside.plan.plan import Plan
from tankside.sheets.provenance import made_by, plan_origin

_TRIANGLE = 5
_TYPES = {"f8": "Float64", "i8": "Int64", "i4": "Int32", "u1": "UInt8"}


def map_vtu(plan: Plan) -> bytes:
    """The panels of all bodies with their fields, as the bytes of a .vtu file.

    Cell fields: current_density_A_m2, fraction_of_limit, thickness_um, body (position in
    plan.results, from 0), role (0 vessel, 1 shield, 2 part, 3 wire, 4 thief, 5 anode).
    """
    points, cells = _mesh(plan)
    count = len(cells)
    piece = (
        f'<Piece NumberOfPoints="{len(points)}" NumberOfCells="{count}">\n'
        f"<Points>\n{_array('Points', points)}</Points>\n"
        f"<Cells>\n{_array('connectivity', cells.reshape(-1))}"
        f"{_array('offsets', np.arange(3, 3 * count + 1, 3))}"
        f"{_array('types', np.full(count, _TRIANGLE, np.uint8))}</Cells>\n"
        f'<CellData Scalars="thickness_um">\n'
        + "".join(_array(name, values) for name, values in _fields(plan).items())
        + "</CellData>\n</Piece>\n"
    )
    text = (
        '<?xml version="1.0" encoding="utf-8"?>\n'
        f"<!-- {_comment(plan)} -->\n"
        '<VTKFile type="UnstructuredGrid" version="1.0" byte_order="LittleEndian" '
        f'header_type="UInt64">\n<UnstructuredGrid>\n{piece}</UnstructuredGrid>\n</VTKFile>\n'
    )
    return text.encode("utf-8")


def _mesh(plan: Plan) -> tuple[npt.NDArray[Any], npt.NDArray[Any]]:
    """Points (np, 3) [m] and cells (nc, 3) of all bodies in turn."""
    meshes = [result.body.surface for result in plan.results]
    starts = np.cumsum([0, *(len(mesh.vertices) for mesh in meshes)])
    cells = [mesh.triangles + start for mesh, start in zip(meshes, starts[:-1], strict=True)]
    return np.vstack([mesh.vertices for mesh in meshes]), np.vstack(cells)


def _fields(plan: Plan) -> dict[str, npt.NDArray[Any]]:
    """Cell fields in the order of the cells."""
    results = plan.results
    sizes = [len(result.thickness) for result in results]
    roles = [list(Role).index(result.body.role) for result in results]
    return {
        "current_density_A_m2": np.concatenate([result.current_density for result in results]),
        "fraction_of_limit": np.concatenate([result.fraction_of_limit for result in results]),
        "thickness_um": in_unit(1.0, "um") * np.concatenate([r.thickness for r in results]),
        "body": np.repeat(np.arange(len(results), dtype=np.int32), sizes),
        "role": np.repeat(np.array(roles, dtype=np.int32), sizes),
    }


def _array(name: str, values: npt.NDArray[Any]) -> str:
    """One DataArray element: length in bytes, then the values, in base64."""
    kind = values.dtype.str[1:]
    little = np.ascontiguousarray(values, dtype="<" + kind)
    blob = np.uint64(little.nbytes).astype("<u8").tobytes() + little.tobytes()
    components = f' NumberOfComponents="{values.shape[1]}"' if values.ndim == 2 else ""
    return (
        f'<DataArray type="{_TYPES[kind]}" Name={quoteattr(name)}{components} format="binary">'
        f"{base64.b64encode(blob).decode('ascii')}</DataArray>\n"
    )


def _comment(plan: Plan) -> str:
    """Bodies by number and the plan's origin, in a form that an XML comment may hold."""
    bodies = {number: result.label for number, result in enumerate(plan.results)}
    facts = {"made_by": made_by(), "bodies": bodies, **plan_origin(plan)}
    return escape(json.dumps(facts, ensure_ascii=False)).replace("--", "- -")
