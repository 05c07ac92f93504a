"""Time and memory of the field solver against the number of panels.

A bracket (60 x 42 x 51 mm, walls of 3 mm, a gusset, windows) hangs in a round tank of 11 litres
under a mirror surface, between two plate anodes. For each size, in a process of its own: build of
the operators, one product, the preconditioner, and a Butler-Volmer solve at 200 A m⁻². Wall time is
what a person waits; processor time over all threads tells what it would be on a quiet machine.

    python benchmarks/operators.py [cuts ...]     cuts of the 3 mm wall: 1 2 3 4 5 7 by default
"""

import argparse
import json
import math
import os
import platform
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from itertools import pairwise

import numba
import numpy as np

from tankside.base.arrays import Bools, Floats
from tankside.field.hierarchical import build_operators
from tankside.field.kernels import prepared
from tankside.field.kinetics import (
    ButlerVolmer,
    CopperCathode,
    CopperDeposition,
    CopperDissolution,
    Hydrogen,
)
from tankside.field.panels import Panels
from tankside.field.pieces import CorrectionPiece, FarPiece, NearPiece
from tankside.field.problem import Electrode, FieldProblem
from tankside.field.solve import solve
from tankside.field.threads import thread_count

CUTS = (1, 2, 3, 4, 5, 7)
VOXEL = 3e-3
"""Thickness of the bracket's walls [m]."""

RT_F = 0.025693  # V, at 298.15 K
PART, WALL, ANODE = 0, 1, 2


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("cuts", nargs="*", type=int, default=CUTS)
    parser.add_argument("--one", type=int, help="measure one size here and print it as JSON")
    arguments = parser.parse_args()
    if arguments.one:
        print(json.dumps(measured(arguments.one)))
        return
    print(
        f"{platform.machine()}, {thread_count()} threads, Python {platform.python_version()}, numba"
        f" {numba.__version__}, numpy {np.__version__}, load at the start {os.getloadavg()[0]:.1f}"
    )
    print(f"kernels ready in {prepared():.1f} s (compiled once, read from disk afterwards)")
    rows = [_in_own_process(cuts) for cuts in arguments.cuts]
    print("exponent of growth over all sizes: " + ", ".join(_exponents(rows)))


HEAD = (
    " panels | build s (cpu) | far near slopes MB | product ms | local factor s |"
    " solve s (cpu) | steps its | all s | RSS MB | closure | load"
)


def _in_own_process(cuts: int) -> dict[str, float]:
    done = subprocess.run(
        [sys.executable, __file__, "--one", str(cuts)], capture_output=True, text=True, check=True
    )
    row: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    if cuts == CUTS[0]:
        print(HEAD)
    print(
        "{panels:7.0f} | {build:6.2f} ({build_cpu:5.2f}) | {far:5.0f} {near:5.0f} {slopes:5.0f}  |"
        " {product:8.1f}   | {local:6.2f} {factor:6.2f}  | {solve:5.2f} ({solve_cpu:5.2f}) |"
        " {newton:2.0f} {linear:4.0f}   | {total:5.1f} | {rss:6.0f} | {closure:.1e} | {load:.1f}"
        "".format(**row),
        flush=True,
    )
    return row


def _exponents(rows: list[dict[str, float]]) -> list[str]:
    if len(rows) < 2:
        return ["one size only"]
    first, last = rows[0], rows[-1]
    span = math.log(last["panels"] / first["panels"])
    return [
        f"{name} {math.log(last[key] / first[key]) / span:.2f}"
        for name, key in (
            ("build", "build_cpu"),
            ("solve", "solve_cpu"),
            ("memory", "stored"),
            ("product", "product"),
        )
    ]


def measured(cuts: int) -> dict[str, float]:
    """Everything about one size."""
    prepared()
    panels = bracket_in_tank(cuts)
    load = os.getloadavg()[0]
    started, cpu = time.perf_counter(), time.process_time()
    operators = build_operators(panels)
    build, build_cpu = time.perf_counter() - started, time.process_time() - cpu
    size = {
        kind: sum(piece.nbytes for piece in operators.stored.pieces if isinstance(piece, kind))
        for kind in (FarPiece, NearPiece, CorrectionPiece)
    }
    # The first preconditioner integrates the local blocks too, later ones only factor them.
    started = time.perf_counter()
    operators.preconditioner(np.ones(len(panels)), np.ones(len(panels)))
    local = time.perf_counter() - started
    problem = cell_problem(panels)
    solve_started, cpu = time.perf_counter(), time.process_time()
    solution = solve(problem, operators)
    solved, solve_cpu = time.perf_counter() - solve_started, time.process_time() - cpu
    flux = np.random.default_rng(0).normal(size=len(panels))
    ones = np.ones(len(panels))
    return {
        "panels": len(panels),
        "build": build,
        "build_cpu": build_cpu,
        "far": size[FarPiece] / 2**20,
        "near": size[NearPiece] / 2**20,
        "slopes": size[CorrectionPiece] / 2**20,
        "stored": operators.nbytes,
        "product": 1e3 * _seconds(lambda: operators.applied(flux, ones), 10),
        "local": local,
        "factor": _seconds(lambda: operators.preconditioner(ones, ones), 2),
        "solve": solved,
        "solve_cpu": solve_cpu,
        "newton": solution.newton_iterations,
        "linear": solution.linear_iterations,
        "total": build + local + solved,
        "rss": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
        "closure": operators.closure,
        "load": load,
    }


def _seconds(work: Callable[[], object], times: int) -> float:
    """Mean time of `work` [s], after one run that is not counted."""
    work()
    started = time.perf_counter()
    for _ in range(times):
        work()
    return (time.perf_counter() - started) / times


def cell_problem(panels: Panels) -> FieldProblem:
    """Copper at 200 A m⁻² on the part, limited at 500; conductivity 40 S m⁻¹."""
    cathode = CopperCathode(
        copper=CopperDeposition(
            exchange_current_density=20.0,
            cathodic_transfer=0.5,
            anodic_transfer=1.5,
            limiting_current_density=500.0,
            thermal_voltage=RT_F,
        ),
        hydrogen=Hydrogen(
            exchange_current_density=1e-3, transfer=0.5, equilibrium=-0.34, thermal_voltage=RT_F
        ),
    )
    anode = CopperDissolution(
        transfer=ButlerVolmer(
            exchange_current_density=20.0,
            cathodic_transfer=0.5,
            anodic_transfer=1.5,
            thermal_voltage=RT_F,
        ),
        passivation_limit=300.0,
    )
    return FieldProblem(
        panels=panels,
        conductivity=40.0,
        electrodes=(
            Electrode(group=PART, anode=False, law=cathode),
            Electrode(group=ANODE, anode=True, law=anode),
            Electrode(group=ANODE + 1, anode=True, law=anode),
        ),
        total_current=200.0 * float(panels.areas[panels.group == PART].sum()),
    )


# Geometry -----------------------------------------------------------------------------------------


def bracket_in_tank(cuts: int) -> Panels:
    """The bracket in its tank, its voxels cut `cuts` times along each side."""
    pieces = [
        _skin(_bracket().repeat(cuts, 0).repeat(cuts, 1).repeat(cuts, 2)) * VOXEL / cuts
        - np.array([0.030, 0.021, 0.1455]),
        _tank(0.12, 0.24, 24 + 4 * cuts, 8 + cuts, 4),
    ]
    for x in (-0.085, 0.085):
        plate = _skin(np.ones((1, 10 * cuts, 20 * cuts), dtype=bool))
        plate = plate * np.array([0.002, 0.008 / cuts, 0.008 / cuts])
        pieces.append(plate + np.array([x - 0.001, -0.04, -0.19]))
    return Panels(
        corners=np.concatenate(pieces),
        group=np.repeat([PART, WALL, ANODE, ANODE + 1], [len(piece) for piece in pieces]),
        mirror_level=0.0,
    )


def _bracket() -> Bools:
    """Which voxels are bracket."""
    filled = np.zeros((20, 14, 17), dtype=bool)
    filled[:, :, 0] = filled[0, :, :] = True
    for x in range(1, 9):
        filled[x, 6:8, 1 : 10 - x] = True
    for x, y in ((15, 2), (15, 10), (11, 2), (11, 10)):
        filled[x : x + 2, y : y + 2, 0] = False
    for y in (2, 10):
        filled[0, y : y + 2, 12:14] = False
    return filled


def _skin(filled: Bools) -> Floats:
    """Surface of unit voxels (n, 3, 3): two right triangles a face, normals out of the solid."""
    padded = np.pad(filled, 1)
    skin = []
    for axis in range(3):
        along, u, v = np.eye(3, dtype=int)[[axis, (axis + 1) % 3, (axis + 2) % 3]]
        for side in (1, -1):
            bare = np.argwhere(padded & ~np.roll(padded, -side, axis=axis)) - 1
            a = bare + (along if side > 0 else 0)
            b, c, d = a + u, a + u + v, a + v
            one = (bare.sum(axis=1) % 2 == 0)[:, None, None]  # diagonals to and fro
            first = np.where(one, np.stack([a, b, c], 1), np.stack([a, b, d], 1))
            second = np.where(one, np.stack([a, c, d], 1), np.stack([b, c, d], 1))
            triangles = np.concatenate([first, second])
            skin.append(triangles if side > 0 else triangles[:, ::-1])
    return np.concatenate(skin).astype(np.float64)


def _tank(radius: float, depth: float, around: int, down: int, across: int) -> Floats:
    """Side and floor of a round tank below z = 0, normals inward."""
    angle = np.arange(around + 1) % around * 2 * np.pi / around
    rings = [(radius, -depth * k / down) for k in range(down + 1)]
    rings += [(radius * (1 - k / across), -depth) for k in range(1, across + 1)]
    triangles = []
    for (r, z), (s, w) in pairwise(rings):
        a = np.stack([r * np.cos(angle), r * np.sin(angle), np.full(around + 1, z)], -1)
        b = np.stack([s * np.cos(angle), s * np.sin(angle), np.full(around + 1, w)], -1)
        triangles.append(np.stack([a[:-1], a[1:], b[1:]], 1))
        if s > 0:
            triangles.append(np.stack([a[:-1], b[1:], b[:-1]], 1))
    return np.concatenate(triangles)


if __name__ == "__main__":
    main()
