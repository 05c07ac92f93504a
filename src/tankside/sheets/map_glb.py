"""The map for any 3D viewer: a binary glTF 2.0 scene with one named node a body.

Every panel keeps its own three corners and one colour, so that no averaging hides the thinnest or
thickest place. Parts, wires and thieves are coloured by thickness on the scale of the parts, anodes
are copper brown, shields translucent; the vessel is left out. Burning panels carry a black net,
bare ones a white triangle inside each, as nodes of their own: a marking that needs no colour.
glTF has y upwards; the root node turns our z upwards into it.
"""

from dataclasses import dataclass, replace

import numpy as np

from tankside.base.arrays import Bools, Floats
from tankside.base.units import in_unit
from tankside.cell.bodies import Role
from tankside.plan.plan import BodyResult, Plan
from tankside.sheets.colours import (
    ThicknessScale,
    bare,
    burning,
    decoded,
    hexadecimal,
    thickness_scale,
)
from tankside.sheets.corners import corner_means
from tankside.sheets.gltf import Geometry, Material, Node, glb
from tankside.sheets.provenance import made_by, plan_origin

_ANODE_COLOUR = (0.48, 0.29, 0.19)
_LIFT = 2e-3
"""How far markings stand off the surface, as a share of the part's size [-]."""

_COATED = Material(name="coated", colour=(1.0, 1.0, 1.0, 1.0))
_SHIELD = Material(name="shield", colour=(0.55, 0.60, 0.65, 0.35))
_NET = Material(name="burning", colour=(0.0, 0.0, 0.0, 1.0), unlit=True)
_SPOT = Material(name="bare", colour=(1.0, 1.0, 1.0, 1.0), unlit=True)


def map_glb(plan: Plan) -> bytes:
    """The bodies coloured by thickness, as the bytes of a .glb file; metres."""
    scale = thickness_scale(plan)
    nodes = [
        node
        for result in plan.results
        if result.body.role is not Role.VESSEL
        for node in (_body(result, scale), *_markings(result))
    ]
    extras = {"legend": _legend(scale), "made_by": made_by(), "origin": plan_origin(plan)}
    return glb(nodes, root="cell", generator=made_by(), extras=extras)


def _body(result: BodyResult, scale: ThicknessScale) -> Node:
    """A body as loose panels: flat colours, normals smoothed except over edges."""
    mesh = result.body.surface
    role = result.body.role
    normals = corner_means(mesh, mesh.normals)
    lengths = np.linalg.norm(normals, axis=2, keepdims=True)
    geometry = Geometry(
        positions=mesh.corners.reshape(-1, 3),
        normals=(normals / np.where(lengths > 0, lengths, 1.0)).reshape(-1, 3),
    )
    extras = {"name": result.body.name, "role": role.value, "panels": len(result.thickness)}
    if role.insulates:
        return Node(name=result.label, geometry=geometry, material=_SHIELD, extras=extras)
    thickness = np.repeat(result.thickness, 3)
    colours = (
        scale.colours(thickness) if role.is_cathode else np.tile(_ANODE_COLOUR, (len(thickness), 1))
    )
    return Node(
        name=result.label,
        geometry=replace(
            geometry,
            colours=decoded(colours),
            scalars={"_THICKNESS_UM": in_unit(1.0, "um") * thickness},
        ),
        material=_COATED,
        extras=extras,
    )


@dataclass(frozen=True, slots=True)
class _Marking:
    """Which panels, drawn how: inset 0 draws a panel's edges, 0.5 a triangle half its size."""

    suffix: str
    panels: Bools
    material: Material
    inset: float


def _markings(result: BodyResult) -> list[Node]:
    """Line nodes over the burning and bare panels of a part."""
    if result.body.role is not Role.PART:
        return []
    markings = (
        _Marking("burning", burning(result), _NET, 0.0),
        _Marking("bare", bare(result), _SPOT, 0.5),
    )
    return [_lines(result, marking) for marking in markings if marking.panels.any()]


def _lines(result: BodyResult, marking: _Marking) -> Node:
    mesh = result.body.surface
    low, high = mesh.box
    lift = _LIFT * float(np.linalg.norm(high - low))
    corners = mesh.corners[marking.panels] + lift * mesh.normals[marking.panels][:, None]
    middle = corners.mean(axis=1, keepdims=True)
    corners = corners + marking.inset * (middle - corners)
    ends: Floats = np.stack([corners, np.roll(corners, -1, axis=1)], axis=2).reshape(-1, 3)
    return Node(
        name=f"{result.label} {marking.suffix}",
        geometry=Geometry(positions=ends, lines=True),
        material=marking.material,
        extras={"panels": int(marking.panels.sum())},
    )


def _legend(scale: ThicknessScale) -> dict[str, object]:
    """What a viewer needs to draw the legend: ends, ticks and nine colours between the ends."""
    values = np.linspace(scale.low, scale.high, 9)
    return {
        "quantity": "thickness",
        "unit": "um",
        "low_um": in_unit(scale.low, "um"),
        "high_um": in_unit(scale.high, "um"),
        "ticks_um": [round(in_unit(tick, "um"), 9) for tick in scale.ticks],
        "colours_low_to_high": [hexadecimal(colour) for colour in scale.colours(values)],
        "beyond_the_ends": "takes the end's colour",
        "values_above_high": scale.above,
        "burning": "black net",
        "bare": "white triangles",
    }
