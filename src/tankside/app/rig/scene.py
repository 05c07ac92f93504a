"""Use case: a rig as bodies to draw, and whether it can be, in one sentence.

The parts are taken coarsely, so that the answer comes while a thing is being moved; a plan looks
again at the full surface. What cannot be is told in the words of the cell.
"""

import re
from dataclasses import dataclass
from typing import Any

from tankside.app.job import schema
from tankside.app.job.baths import electrolyte_of
from tankside.app.job.reading import read_job
from tankside.app.ports import Sheets
from tankside.app.rig.meshes import RigMesh, RigMeshes, StoredFiles
from tankside.app.work.plan_form import JOB_NAME
from tankside.base.errors import TanksideError
from tankside.bath.boundary_layer import DEFAULT_HEIGHT
from tankside.cell.assembling import DEFAULT_PANELS, assembled
from tankside.cell.bodies import Cell, Role
from tankside.cell.description import Basket, CellDescription, MeshShape, PlacedPart, Plate, Rod
from tankside.cell.placing import posed, rotation_matrix
from tankside.cell.polyhedra import coarse_mesh, footprint, polyhedron, tank_height
from tankside.part.mesh import TriangleMesh

FEW_PANELS = 0.15
"""Share of the usual panels that everything but the parts gets in a check [-]."""
MOST_SHOWN = 100_000
"""Triangles of a part beyond which its coarse surface is drawn instead [-]."""


@dataclass(frozen=True, kw_only=True)
class RigScene:
    """A rig to draw.

    refusal    why it cannot be, in one sentence; "" where it can
    blamed     keys of the things that the sentence names, such as "anode.1"
    drawing    tank, bodies, parts and contacts as plain values, with the unit in each key
    notes      what the person should know besides
    """

    refusal: str
    blamed: tuple[str, ...]
    notes: tuple[str, ...]
    drawing: dict[str, Any]

    def as_json(self) -> dict[str, Any]:
        """As one object."""
        return {
            "refusal": self.refusal,
            "blamed": list(self.blamed),
            "notes": list(self.notes),
            **self.drawing,
        }


def meshes_of(job: schema.Job, files: StoredFiles, meshes: RigMeshes) -> tuple[RigMesh, ...]:
    """The mesh of every part of a job."""
    return tuple(
        meshes.of(files, part.file, part.unit, where=f"[part {number}] file")
        for number, part in enumerate(job.parts, 1)
    )


def scene_of(text: str, files: StoredFiles, meshes: RigMeshes) -> RigScene:
    """The scene of a job's text; BadInput where it is no job or a mesh is missing."""
    job = read_job(text, name=JOB_NAME)
    loaded = meshes_of(job, files, meshes)
    description = _description(job, loaded, files)
    cell, refusal = None, ""
    try:
        cell = assembled(description, panels=DEFAULT_PANELS.scaled(FEW_PANELS))
    except TanksideError as error:
        refusal = str(error)
    return RigScene(
        refusal=refusal,
        blamed=tuple(dict.fromkeys(_blamed(refusal))),
        notes=() if cell is None else cell.notes,
        drawing=_drawing(description, cell),
    )


def view_of_mesh(mesh: RigMesh, sheets: Sheets) -> bytes:
    """A part's mesh in the coordinates of its file, packed for a view on a screen."""
    few = len(mesh.mesh.triangles) <= MOST_SHOWN
    return sheets.view_of_part(mesh.mesh if few else mesh.surface.mesh)


def _description(
    job: schema.Job, loaded: tuple[RigMesh, ...], files: StoredFiles
) -> CellDescription:
    placed = tuple(
        PlacedPart(surface=mesh.surface, at=part.at, rotation=part.rotate)
        for part, mesh in zip(job.parts, loaded, strict=True)
    )
    density = electrolyte_of(job.bath, height=DEFAULT_HEIGHT).density.best
    from tankside.app.job.building import description_of  # wakes numba

    return description_of(job, placed, files, density)


def _blamed(refusal: str) -> list[str]:
    found = re.findall(r"\b(anode|shield|thief|part|contact) (\d+)", refusal)
    return [f"{role}.{int(number) - 1}" for role, number in found]


def _drawing(description: CellDescription, cell: Cell | None) -> dict[str, Any]:
    tank = description.tank
    return {
        "tank": {
            "floor_m": footprint(tank).tolist(),
            "height_m": tank_height(tank),
            "liquid_depth_m": description.liquid_depth,
        },
        "bodies": [*_bodies(description), *_wires(cell)],
        "parts": [
            {
                "key": f"part.{number}",
                "at_m": list(part.at),
                "turn": rotation_matrix(part.rotation).tolist(),
            }
            for number, part in enumerate(description.parts)
        ],
        "contacts": [
            {
                "key": f"contact.{number}",
                "at_m": list(contact.near) if cell is None else _held(cell, number),
            }
            for number, contact in enumerate(description.contacts)
        ],
    }


def _held(cell: Cell, number: int) -> list[float]:
    return [float(x) for x in cell.contacts[number].position]


def _bodies(description: CellDescription) -> list[dict[str, Any]]:
    """Anodes, shields and thieves whole, also above the liquid."""
    return [
        {"key": f"{role.value}.{number}", "role": role.value, **_surface(_mesh(shape))}
        for role, shapes in (
            (Role.ANODE, description.anodes),
            (Role.SHIELD, description.shields),
            (Role.THIEF, description.thieves),
        )
        for number, shape in enumerate(shapes)
    ]


def _mesh(shape: object) -> TriangleMesh:
    if isinstance(shape, MeshShape):
        return posed(shape.mesh, shape.at, shape.rotation)
    if isinstance(shape, Plate | Rod | Basket):
        return coarse_mesh(polyhedron(shape))
    raise TypeError(f"a job has no {type(shape).__name__}")


def _wires(cell: Cell | None) -> list[dict[str, Any]]:
    """The wires as they were led, where the rig can be."""
    if cell is None:
        return []
    return [
        {"key": "", "role": Role.WIRE.value, **_surface(body.surface)}
        for body in cell.of_role(Role.WIRE)
    ]


def _surface(mesh: TriangleMesh) -> dict[str, Any]:
    return {
        "vertices_m": [round(float(x), 6) for x in mesh.vertices.ravel()],
        "triangles": mesh.triangles.ravel().tolist(),
    }
