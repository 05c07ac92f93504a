"""The demonstration part: a lantern finial for a community theatre's prop workshop.

A turned profile with everything that makes plating hard: a ring groove deeper than it is wide, four
fins 1.2 mm thick, a blind socket twice as deep as wide, sharp rims and round shoulders. 58 mm tall,
36 mm across. The file stands on its base, axis along z, origin at the centre of the base's face; in
the tank it hangs upside down (finial.toml), so that air leaves the socket and the marks of the
wires end up on the face that nobody sees.
"""

import struct
from importlib import resources
from math import cos, pi, sin
from typing import Any

import numpy as np

from tankside.base.arrays import Floats, Ints

HEIGHT_MM = 58.0
SOCKET_WIDTH_MM, SOCKET_DEPTH_MM = 6.0, 12.0
GROOVE_WIDTH_MM, GROOVE_DEPTH_MM = 3.0, 5.0
STEM_RADIUS_MM = 11.0
FIN_THICKNESS_MM = 1.2
FIN_COUNT = 4
_SEGMENTS = 120


def finial_stl() -> bytes:
    """The finial as a binary STL file, in millimetres, watertight, one body."""
    corners, triangles = _mesh()
    return _binary_stl(corners[triangles])


def finial_job() -> str:
    """The job file that plans the finial, as text; it expects `finial.stl` beside itself."""
    return resources.files("tankside.examples").joinpath("finial.toml").read_text("utf-8")


def _mesh() -> tuple[Floats, Ints]:
    """Corners (nv, 3) [mm] and triangles (nt, 3) of the finished solid."""
    mesh = (_turned_body() + _fins() - _socket()).to_mesh()
    return np.asarray(mesh.vert_properties[:, :3], float), np.asarray(mesh.tri_verts, np.int64)


def _turned_body() -> Any:
    from manifold3d import CrossSection

    return CrossSection([_profile()]).revolve(_SEGMENTS)


def _profile() -> list[tuple[float, float]]:
    """(radius, height) [mm] from the centre of the base round to the tip, anticlockwise."""
    groove = STEM_RADIUS_MM - GROOVE_DEPTH_MM
    return [
        (0.0, 0.0),
        (18.0, 0.0),
        *_arc((16.2, 3.2), 1.8, 0, 90),
        *_arc((13.5, 7.5), 2.5, 270, 180),
        (STEM_RADIUS_MM, 10.0),
        (groove, 10.0),
        (groove, 10.0 + GROOVE_WIDTH_MM),
        (STEM_RADIUS_MM, 10.0 + GROOVE_WIDTH_MM),
        *_curve((STEM_RADIUS_MM, 15.5), (14.5, 16.2), (17.2, 20.0), (16.2, 24.5)),
        *_curve((16.2, 24.5), (14.8, 30.5), (6.0, 33.0), (4.8, 44.5))[1:],
        (7.0, 44.5),
        (7.0, 46.0),
        (4.2, 46.0),
        *_arc((0.0, HEIGHT_MM - 6.2), 6.2, -47, 90),
    ]


def _fins() -> Any:
    """Leaf-shaped fins that spring from the bulb and lean against the collar."""
    from manifold3d import CrossSection, Manifold

    leaf = [
        (3.0, 26.0),
        *_curve((15.0, 26.0), (17.0, 33.0), (12.5, 40.0), (6.5, 45.2)),
        (3.0, 45.2),
    ]
    flat = CrossSection([leaf]).extrude(FIN_THICKNESS_MM).translate((0, 0, -FIN_THICKNESS_MM / 2))
    upright = flat.rotate((90, 0, 0))
    turns = (45 + 360 / FIN_COUNT * number for number in range(FIN_COUNT))
    return sum((upright.rotate((0, 0, turn)) for turn in turns), Manifold())


def _socket() -> Any:
    from manifold3d import Manifold

    radius = SOCKET_WIDTH_MM / 2
    bore = Manifold.cylinder(SOCKET_DEPTH_MM + 1, radius, radius, _SEGMENTS // 2)
    return bore.translate((0, 0, -1))


def _arc(
    centre: tuple[float, float], radius: float, start: float, end: float
) -> list[tuple[float, float]]:
    """Points of an arc from `start` to `end` [degrees], about one every 6 degrees."""
    steps = max(2, round(abs(end - start) / 6))
    angles = [(start + (end - start) * k / steps) * pi / 180 for k in range(steps + 1)]
    points = [(centre[0] + radius * cos(a), centre[1] + radius * sin(a)) for a in angles]
    return [(0.0 if abs(r) < 1e-9 else r, z) for r, z in points]


def _curve(*controls: tuple[float, float]) -> list[tuple[float, float]]:
    """Sixteen points and the end of the cubic Bézier curve with four control points."""
    t = np.linspace(0, 1, 17)[:, None]
    a, b, c, d = (np.array(control) for control in controls)
    points = (1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t**2 * c + t**3 * d
    return [(float(r), float(z)) for r, z in points]


def _binary_stl(corners: Floats) -> bytes:
    """Triangles (nt, 3, 3) in the binary STL form, normals by the right-hand rule."""
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normals = across / np.linalg.norm(across, axis=1)[:, None]
    facet = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
    facets = np.zeros(len(corners), facet)
    facets["normal"], facets["corners"] = normals, corners
    return (
        b"lantern finial, millimetres".ljust(80)
        + struct.pack("<I", len(corners))
        + facets.tobytes()
    )
