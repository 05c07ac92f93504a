"""The plane figures of the validation cells, meshed with triangles and solved anew.

Dimensions and rate constants are read from the package, so that both sides solve the same cell;
meshes, laws and solution are this folder's own. `size` is the smallest cell of the mesh, beside
corners, over the figure's own length; halving it shows convergence. Every function bears the inputs
of the quantity whose rows it answers, and returns the same number.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from skfem import MeshTri

from tankside.validation import bodies_in_tank as tank
from tankside.validation import cells, recess, slanted, throwing
from tests.validation.finite_elements.electrolysis import (
    Electrode,
    Law,
    Solved,
    butler_volmer,
    linear,
    solved,
)
from tests.validation.finite_elements.grids import four_sided, graded, joined, rectilinear, ring

Floats = NDArray[np.float64]
Where = Callable[[Floats, Floats], NDArray[np.bool_]]

SIZE = 1 / 60
"""Smallest cell over the figure's length, for the rows [-]."""
_TINY = 1e-9
_THERMAL_VOLTAGE = 8.314462618 * 298.15 / 96485.33212


@dataclass(frozen=True)
class Reading:
    """A solved figure, and the facets of its electrodes by name."""

    solution: Solved
    facets: dict[str, NDArray[np.int64]]

    def mean(self, *names: str) -> float:
        return self.solution.average(np.concatenate([self.facets[name] for name in names]))

    def current(self, *names: str) -> float:
        return self.solution.current(np.concatenate([self.facets[name] for name in names]))


def recess_current(
    shape: str, depth_to_width: float, kinetics: str, where: str, size: float = SIZE
) -> float:
    read = _recess(shape, depth_to_width, kinetics, size)
    whole = read.mean("bottom", "wall", "flat")
    if where == "mouth":
        half = recess.WIDTH / 2
        mouth = np.pi * half**2 if shape == "hole" else half
        return read.current("bottom", "wall") / mouth / whole
    return read.mean(where) / whole


@cache
def _recess(shape: str, depth_to_width: float, kinetics: str, size: float) -> Reading:
    half, wide, gap = recess.WIDTH / 2, recess.HALF_CELL, recess.GAP
    depth, smallest = depth_to_width * recess.WIDTH, size * recess.WIDTH
    mesh = rectilinear(
        graded((0, half, wide), smallest),
        graded((-depth, 0, gap), smallest),
        lambda x, y: (y > 0) | (x < half),
    )
    section = np.pi * wide**2 if shape == "hole" else wide
    return _read(
        mesh,
        anodes={"anode": lambda x, y: _same(y, gap)},
        cathodes={
            "bottom": lambda x, y: _same(y, -depth),
            "wall": lambda x, y: _same(x, half) & (y < 0),
            "flat": lambda x, y: _same(y, 0.0) & (x > half),
        },
        laws=_laws(kinetics),
        conductivity=cells.CONDUCTIVITY,
        total_current=recess.MEAN_ON_OPENING * section,
        revolution=shape == "hole",
    )


def plate_current(kinetics: str, where: str, size: float = SIZE) -> float:
    read = _plate(kinetics, size)
    whole = read.mean("rim", "middle", "edge", "back")
    return (read.mean("rim", "middle") if where == "front" else read.mean(where)) / whole


@cache
def _plate(kinetics: str, size: float) -> Reading:
    half, back, front = tank.PLATE_HALF, tank.PLATE_AT, tank.PLATE_AT + tank.PLATE_THICKNESS
    rim, smallest = half - 4e-3, size * 10e-3
    mesh = rectilinear(
        graded((0, rim, half, tank.TANK_HALF), smallest),
        graded((0, back, front, tank.TANK_LENGTH), smallest),
        lambda x, y: (x > half) | (y < back) | (y > front),
    )
    return _read(
        mesh,
        anodes={"anode": lambda x, y: _same(y, tank.TANK_LENGTH)},
        cathodes={
            "middle": lambda x, y: _same(y, front) & (x < rim),
            "rim": lambda x, y: _same(y, front) & (x > rim) & (x < half),
            "edge": lambda x, y: _same(x, half) & (y > back) & (y < front),
            "back": lambda x, y: _same(y, back) & (x < half),
        },
        laws=_laws(kinetics),
        conductivity=cells.CONDUCTIVITY,
        total_current=tank.MEAN * (2 * half + tank.PLATE_THICKNESS),
    )


def wire_share(kinetics: str, size: float = SIZE) -> float:
    read = _pair(kinetics, size)
    return read.current("wire") / read.current("wire", "plate")


@cache
def _pair(kinetics: str, size: float) -> Reading:
    wide, long, box = tank.PAIR_HALF, tank.PAIR_LENGTH, tank.WIRE_BOX
    wire, square = tank.wire_outline()
    sides = graded((0, 1), 10 * size, 1.4)
    around = ring(wire, square, sides, graded((0, 1), size, 1.3))
    low, high = tank.WIRE_AT - box, tank.WIRE_AT + box
    on_square = np.unique(np.round(around.p[0, _same(around.p[1], low)], 12))
    outside = graded((0, wide - box), size * 10e-3)
    x = np.concatenate([-box - outside[:0:-1], on_square, box + outside[1:]])
    y = np.concatenate(
        [graded((0, low), size * 10e-3), (on_square + tank.WIRE_AT)[1:],
         high + graded((0, long - high), size * 10e-3)[1:]]
    )  # fmt: skip
    rest = rectilinear(x, y, lambda x, y: (np.abs(x) > box) | (np.abs(y - tank.WIRE_AT) > box))
    mesh = joined(around, rest)
    return _read(
        mesh,
        anodes={"anode": lambda x, y: _same(y, long)},
        cathodes={
            "plate": lambda x, y: _same(y, 0.0),
            "wire": lambda x, y: np.hypot(x, y - tank.WIRE_AT) < 2 * tank.WIRE_RADIUS,
        },
        laws=_laws(kinetics),
        conductivity=cells.CONDUCTIVITY,
        total_current=tank.MEAN * 2 * wide,
    )


def cup_current(kinetics: str, where: str, size: float = SIZE) -> float:
    read = _cup(kinetics, size)
    return read.mean(where) / read.mean("outside", "base", "inside", "floor of the cup", "rim")


@cache
def _cup(kinetics: str, size: float) -> Reading:
    wall, height, outer = tank.CUP_WALL, tank.CUP_HEIGHT, tank.CUP_RADIUS
    inner, wide, (low, high) = outer - wall, tank.CUP_TANK_RADIUS, tank.CUP_TANK_ENDS
    smallest = size * 10e-3
    mesh = rectilinear(
        graded((0, inner, outer, wide), smallest),
        graded((low, 0, wall, height, high), smallest),
        lambda r, x: (r > outer) | (x < 0) | (x > height) | ((r < inner) & (x > wall)),
    )
    return _read(
        mesh,
        anodes={"anode": lambda r, x: _same(r, wide)},
        cathodes={
            "outside": lambda r, x: _same(r, outer) & (x > 0) & (x < height),
            "inside": lambda r, x: _same(r, inner) & (x > wall) & (x < height),
            "base": lambda r, x: _same(x, 0.0) & (r < outer),
            "floor of the cup": lambda r, x: _same(x, wall) & (r < inner),
            "rim": lambda r, x: _same(x, height) & (r > inner) & (r < outer),
        },
        laws=_laws(kinetics),
        conductivity=cells.CONDUCTIVITY,
        total_current=tank.MEAN * 2 * np.pi * outer * (outer + height),
        revolution=True,
    )


def slanted_current(wagner: float, from_m: float, to_m: float, size: float = SIZE) -> float:
    read = _slanted(wagner, from_m, to_m, size)
    return read.mean("band") / read.mean("before", "band", "behind")


def panel_current(
    cell: str, wagner: float, from_m: float, to_m: float, size: float = SIZE
) -> float:
    """The test panel in the small cell, which is the slanted cell."""
    assert cell == "267 mL"
    return slanted_current(wagner, from_m, to_m, size)


@cache
def _slanted(wagner: float, start: float, end: float, size: float) -> Reading:
    near, far, apart, slant = (
        slanted.NEAR_SIDE, slanted.FAR_SIDE, slanted.APART, slanted.SLANT,
    )  # fmt: skip
    mesh = four_sided(
        np.array([[0, 0], [near, 0], [far, apart], [0, apart]]),
        graded((0, 1), size / 2),
        graded((0, start / slant, end / slant, 1), size / 2),
    )

    def along(x: Floats, y: Floats) -> Floats:
        return np.hypot(x - near, y)

    def on_slant(x: Floats, y: Floats) -> NDArray[np.bool_]:
        return _same((x - near) * apart, (far - near) * y)

    resistance = max(wagner, 1e-8) * slant / slanted.CONDUCTIVITY
    return _read(
        mesh,
        anodes={"anode": lambda x, y: _same(x, 0.0)},
        cathodes={
            "before": lambda x, y: on_slant(x, y) & (along(x, y) < start),
            "band": lambda x, y: on_slant(x, y) & (along(x, y) > start) & (along(x, y) < end),
            "behind": lambda x, y: on_slant(x, y) & (along(x, y) > end),
        },
        laws=(linear(resistance), linear(1e-8 * slant / slanted.CONDUCTIVITY)),
        conductivity=slanted.CONDUCTIVITY,
        total_current=slanted.CURRENT / slanted.DEPTH,
    )


def throwing_ratio(
    near_m: float,
    far_m: float,
    polarisation_ohm_m2: float = 0.0,
    exchange_A_m2: float = 0.0,
    slot_m: float = 0.0,
    size: float = SIZE,
) -> float:
    width, thickness = throwing.WIDTH, throwing.THICKNESS
    tip, end, smallest = width - slot_m, thickness + near_m, size * 10e-3
    mesh = rectilinear(
        graded((-far_m, 0, thickness, end), smallest),
        graded((0, tip, width), smallest),
        lambda x, y: (x < 0) | (x > thickness) | (y > tip),
    )
    cathode = (
        butler_volmer(exchange_A_m2, 0.5, 1.5, _THERMAL_VOLTAGE)
        if exchange_A_m2
        else linear(polarisation_ohm_m2)
    )
    read = _read(
        mesh,
        anodes={
            "face": lambda x, y: (_same(x, 0.0) | _same(x, thickness)) & (y > 0) & (y < tip),
            "tip": lambda x, y: _same(y, tip) & (x > 0) & (x < thickness),
        },
        cathodes={"near": lambda x, y: _same(x, end), "far": lambda x, y: _same(x, -far_m)},
        laws=(cathode, linear(1e-6 * width / throwing.CONDUCTIVITY)),
        conductivity=throwing.CONDUCTIVITY,
        total_current=2 * throwing.MEAN * width,
    )
    return read.mean("near") / read.mean("far")


def _laws(kinetics: str) -> tuple[Law, Law]:
    """Of cathode and anode."""
    if kinetics == "linear":
        return linear(cells.CATHODE_RESISTANCE), linear(cells.ANODE_RESISTANCE)
    return (
        butler_volmer(cells.CATHODE_EXCHANGE, 0.5, 1.5, _THERMAL_VOLTAGE),
        butler_volmer(cells.ANODE_EXCHANGE, 0.5, 1.5, _THERMAL_VOLTAGE),
    )


def _read(
    mesh: MeshTri,
    *,
    anodes: dict[str, Where],
    cathodes: dict[str, Where],
    laws: tuple[Law, Law],
    conductivity: float,
    total_current: float,
    revolution: bool = False,
) -> Reading:
    facets = {
        name: mesh.facets_satisfying(lambda x, where=where: where(x[0], x[1]), boundaries_only=True)
        for name, where in (anodes | cathodes).items()
    }
    electrodes = tuple(
        Electrode(facets=facets[name], law=laws[int(name in anodes)], anode=name in anodes)
        for name in facets
    )
    solution = solved(
        mesh,
        electrodes,
        conductivity=conductivity,
        total_current=total_current,
        revolution=revolution,
    )
    return Reading(solution=solution, facets=facets)


def _same(values: Floats, wanted: float | Floats) -> NDArray[np.bool_]:
    return np.asarray(np.abs(values - wanted) < _TINY)


REFERENCES: dict[str, Callable[..., float]] = {
    "recess: relative current": recess_current,
    "plate: relative current": plate_current,
    "pair: wire's share": wire_share,
    "cup: relative current": cup_current,
    "slanted cell: relative current": slanted_current,
    "test panel: relative current": panel_current,
    "throwing cell: near over far": throwing_ratio,
}
"""The independent answer behind each quantity."""
