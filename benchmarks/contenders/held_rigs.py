"""Three parts for the rig search, each with the rig that comes to mind first.

A deep cup, an angle bracket between two fins, a bowl like a shell. Each is hung in the middle of
the tank on one wire, between two equal anodes at equal distance. All have a recess that a rod fits
into. The first bracket and bowl had none: slots 7 mm wide between four fins, and a shell a third as
deep as wide. No rig that was tried, by the search or by hand, gave them more than 5 and 16 %.
"""

from typing import Any

import manifold3d
import numpy as np

from tankside.base.arrays import Floats, Ints

JOB = """\
[bath]
family = "acid sulfate"
copper_sulfate_pentahydrate = "75 g/L"
sulfuric_acid = "190 g/L"
chloride = "70 mg/L"
temperature = "25 degC"
agitation = "gentle air"

[tank]
shape = "box"
inside = ["30 cm", "20 cm", "25 cm"]
liquid_depth = "20 cm"

[[anode]]
shape = "plate"
size = ["12 cm", "12 cm"]
at = ["-13 cm", "0 cm", "10 cm"]
facing = [1, 0, 0]

[[anode]]
shape = "plate"
size = ["12 cm", "12 cm"]
at = ["13 cm", "0 cm", "10 cm"]
facing = [-1, 0, 0]

[part]
file = "{name}.stl"
unit = "mm"
at = ["0 cm", "0 cm", "10 cm"]
rotate = [0, 0, 0]
surface = "metal"

[[contact]]
near = {near}
wire = "0.8 mm"

[supply]
current_limit = "5 A"
voltage_limit = "8 V"

[goal]
thickness = "100 um"
measured_at = "thinnest 5 percent"

[detail]
part_panels = {panels}
"""

NEAR = {
    "cup": '["2.4 cm", "0 cm", "13 cm"]',
    "bracket": '["-2.8 cm", "0 cm", "13.5 cm"]',
    "bowl": '["0 cm", "4.3 cm", "12.9 cm"]',
}
"""Where the wire holds each part in the tank."""


def names() -> tuple[str, ...]:
    """Of the parts."""
    return tuple(NEAR)


def job(name: str, panels: int) -> str:
    """The naive rig's job file."""
    return JOB.format(name=name, near=NEAR[name], panels=panels)


def coated_job(name: str, panels: int, ohms: float) -> str:
    """The same with a part that conducts only through a coat of `ohms` by square."""
    seed = f'seed = {{ sheet_resistance = "{ohms:g} ohm" }}'
    return job(name, panels).replace('surface = "metal"', seed)


def mesh(name: str) -> tuple[Floats, Ints]:
    """Corners (n, 3) [mm] about the middle of the part, and triangles."""
    solid = {"cup": _cup, "bracket": _bracket, "bowl": _bowl}[name]()
    found = solid.to_mesh()
    corners = np.asarray(found.vert_properties[:, :3], float)
    corners -= (corners.min(axis=0) + corners.max(axis=0)) / 2
    return corners, np.asarray(found.tri_verts, np.int64)


def stl(name: str) -> bytes:
    """The part as a binary STL in millimetres."""
    corners, triangles = mesh(name)
    facets = np.zeros(
        len(triangles),
        np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")]),
    )
    facets["corners"] = corners[triangles]
    return name.encode().ljust(80) + np.uint32(len(triangles)).tobytes() + facets.tobytes()


def _cup() -> Any:
    """60 mm deep, 50 mm across, walls of 3 mm, mouth upwards."""
    outside = manifold3d.Manifold.cylinder(60, 25, 25, 96)
    return outside - manifold3d.Manifold.cylinder(60, 22, 22, 96).translate((0, 0, 3))


def _bracket() -> Any:
    """An L of 70 by 60 mm, 50 mm wide, 5 mm thick, with a fin at each side of its corner."""
    cube = manifold3d.Manifold.cube
    solid = cube((5, 50, 70)) + cube((60, 50, 5))
    for place in (0.0, 46.0):
        solid += cube((50, 4, 55)).translate((4, place, 4))
    return solid


def _bowl() -> Any:
    """A shell that closes over itself: 90 mm across, 60 mm deep, walls of 2.5 mm, lip upwards."""
    ball = manifold3d.Manifold.sphere(45, 96)
    hollow = ball - manifold3d.Manifold.sphere(42.5, 96)
    return hollow.trim_by_plane((0, 0, -1), -15.0).scale((0.9, 1.0, 1.0))
