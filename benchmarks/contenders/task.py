"""What every contender is asked, and how it answers: constants, input, and one line of JSON.

    div(kappa grad phi) = 0;  i = i0 (exp(-alpha_c eta / V_T) - exp(alpha_a eta / V_T)) on metal;
    eta = metal's potential - phi; anodes at 0 V, cathode at the V that takes the given current.

"one" asks for the field at one current; "growth" for twenty, one after the other, on one mesh, as
a deposit's growth under a rising current does. Seconds run from the surface mesh in memory to the
current density of every patch; before the clock stand imports, just-in-time compilation and one
solve of a small mesh, by which threads are started and memory has been touched.
"""

import json
import resource
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

WALL, ANODE, CATHODE, LID = 0, 1, 2, 3
CONDUCTIVITY = 20.0
CATHODIC, ANODIC, THERMAL_VOLTAGE = 0.5, 1.5, 8.314462618 * 298.15 / 96485.33212
EXCHANGE = {CATHODE: 20.0, ANODE: 100.0}
MEAN = {"one": [200.0], "growth": list(np.linspace(40.0, 230.0, 20))}
"""Mean current density on the cathode, step by step [A m⁻²]."""
STEP_SECONDS = 720.0
THICKNESS_PER_CHARGE = 63.546e-3 / (2 * 96485.33212 * 8960.0)
RESIDUAL = 1e-5
"""Asked of the nonlinear equations, relative to the cell's voltage."""


@dataclass(frozen=True)
class Surface:
    """Points [m], triangles with normals into the solution, body and patch of each."""

    points: np.ndarray
    triangles: np.ndarray
    body: np.ndarray
    patch: np.ndarray
    mirror: float

    @property
    def areas(self) -> np.ndarray:
        a, b, c = (self.points[self.triangles[:, k]] for k in range(3))
        return np.linalg.norm(np.cross(b - a, c - a), axis=1) / 2

    @property
    def cathode_area(self) -> float:
        return float(self.areas[self.body == CATHODE].sum())


def surface_of(path: str) -> Surface:
    held = np.load(path)
    return Surface(held["points"], held["triangles"], held["body"], held["patch"],
                   float(held["mirror"]))  # fmt: skip


def butler_volmer(eta: np.ndarray, exchange: float) -> tuple[np.ndarray, np.ndarray]:
    """Current density [A m⁻²] and its slope [A m⁻² V⁻¹]."""
    reduced = np.exp(-CATHODIC * eta / THERMAL_VOLTAGE)
    oxidised = np.exp(ANODIC * eta / THERMAL_VOLTAGE)
    slope = -(CATHODIC * reduced + ANODIC * oxidised) / THERMAL_VOLTAGE
    return exchange * (reduced - oxidised), exchange * slope


def at_current(current: float, exchange: float) -> float:
    """Overpotential of a current density [V]."""
    low, high = -2.0, 2.0
    for _ in range(100):
        middle = (low + high) / 2
        value = butler_volmer(np.array([middle]), exchange)[0][0]
        low, high = (middle, high) if value > current else (low, middle)
    return (low + high) / 2


class Clock:
    """Wall and processor seconds since it was made; laps by name."""

    def __init__(self) -> None:
        self.laps: dict[str, float] = {}
        self._wall = self._last = time.perf_counter()
        self._cpu = time.process_time()

    def lap(self, name: str) -> None:
        now = time.perf_counter()
        self.laps[name] = self.laps.get(name, 0.0) + now - self._last
        self._last = now

    def stop(self) -> dict[str, object]:
        return {
            "seconds": time.perf_counter() - self._wall,
            "cpu_seconds": time.process_time() - self._cpu,
            "laps": self.laps,
        }


Solver = Callable[[Surface, str, dict[str, str], Clock], tuple[np.ndarray, float, dict]]
"""From a surface, what is asked, settings and a clock to the current density (or thickness) on the
cathode's triangles or patches, the cell's voltage and what else to tell."""


def main(solver: Solver) -> None:
    """Answers what the command line asks: SURFACE one|growth SMALL [NAME=VALUE ...]."""
    settings = dict(word.split("=", 1) for word in sys.argv[4:])
    surface, what = surface_of(sys.argv[1]), sys.argv[2]
    solver(surface_of(sys.argv[3]), "one", settings, Clock())
    clock = Clock()
    current, voltage, more = solver(surface, what, settings, clock)
    answer(surface, current, voltage, clock.stop(), **more)


def answer(surface: Surface, current: np.ndarray, voltage: float, took: dict, **more) -> None:
    """Prints the answer: current density on the cathode's triangles (in their order) or patches."""
    cathode = surface.body == CATHODE
    areas, patch = surface.areas[cathode], surface.patch[cathode]
    numbers = np.unique(patch)
    if len(current) == len(areas):
        at = np.searchsorted(numbers, patch)
        current = np.bincount(at, areas * current) / np.bincount(at, areas)
    print(json.dumps({
        "panels": len(surface.triangles),
        "patches": [float(value) for value in current],
        "patch_areas": [float(v) for v in np.bincount(np.searchsorted(numbers, patch), areas)],
        "voltage": voltage,
        "peak_MB": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
        **took, **more,
    }))  # fmt: skip
