"""The current density along the slanted panel by the field solver, and the table made of it.

`python -m tests.unit.diagnosis.panel.solved_shapes` writes data/shapes.csv anew; the slow test
solves some of its rows again. Both cells are prisms, so that depth has no part in the shape; each
is solved with linear polarisation and with Tafel's law of the same slope at the panel's mean.
"""

import csv
import sys
from dataclasses import dataclass
from math import hypot
from pathlib import Path

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.constants import thermal_voltage
from tankside.field.kinetics import ButlerVolmer, LinearPolarisation, fixed_potential
from tankside.field.problem import Electrode, ElectrodeLaw
from tankside.validation.cells import ANODE, CATHODE, WALL, DrawnCell, floor, spaced, upright

TABLE = Path(__file__).parents[4] / "src/tankside/diagnosis/panel/data/shapes.csv"
WAGNER = (0.001, 0.003, 0.01, 0.03, 0.1, 0.3, 1.0)
WINDOW = 0.01
"""Half the width over which the current is averaged about a place, over the panel's length."""
PLACES = (0.02, 0.03, 0.04, 0.06, 0.08, *np.arange(0.1, 0.96, 0.05).round(2), 0.97)
CONDUCTIVITY, CURRENT = 20.0, 1.0
WHERE = "the field solver, panels of 0.4 mm at the edge"
HEAD = """\
# Current density along the panel of a slanted test cell over the panel's mean, by the field
# solver, at shares of the panel's length from its high-current edge; averages over 2 % of it.
# law: linear or Tafel polarisation of the cathode, of the Wagner number `wagner` on the panel's
# length at its mean. Written by tests/unit/diagnosis/panel/solved_shapes.py, never by hand.
"""
TAFEL_SLOPE = thermal_voltage(298.15) / 0.5


@dataclass(frozen=True, kw_only=True)
class Prism:
    """Plan of a test cell: its parallel sides, and the distance between them [m]."""

    near: float
    far: float
    apart: float
    depth: float

    @property
    def slant(self) -> float:
        return hypot(self.far - self.near, self.apart)

    @property
    def mean(self) -> float:
        """Current density over the whole panel at CURRENT [A m⁻²]."""
        return CURRENT / (self.slant * self.depth)


CELLS = {
    "267 mL": Prism(near=47.6e-3, far=127.0e-3, apart=63.5e-3, depth=0.04815),
    "1000 mL": Prism(near=119.0e-3, far=213.0e-3, apart=86.0e-3, depth=0.07005),
}


def solved(cell: str, law: str, wagner: float) -> Floats:
    """Current density at PLACES over its mean on the panel, from the high-current edge [-]."""
    prism = CELLS[cell]
    conductivity = CONDUCTIVITY
    if law == "tafel":
        conductivity = wagner * prism.slant * prism.mean / TAFEL_SLOPE
    electrodes = (
        Electrode(
            group=ANODE,
            anode=True,
            law=fixed_potential(conductivity=conductivity, length=prism.slant),
        ),
        Electrode(group=CATHODE, anode=False, law=_cathode(prism, law, wagner)),
    )
    field = drawn(prism).electrolysed(electrodes, conductivity=conductivity, total_current=CURRENT)
    mean = field.mean("cathode")
    return np.array(
        [field.mean_between("cathode", 1 - s - WINDOW, 1 - s + WINDOW) / mean for s in PLACES]
    )


def _cathode(prism: Prism, law: str, wagner: float) -> ElectrodeLaw:
    if law == "linear":
        return LinearPolarisation(resistance=wagner * prism.slant / CONDUCTIVITY)
    return ButlerVolmer(
        exchange_current_density=1e-5 * prism.mean,
        cathodic_transfer=0.5,
        anodic_transfer=0.5,
        thermal_voltage=thermal_voltage(298.15),
    )


def drawn(prism: Prism) -> DrawnCell:
    """Its boundary."""
    unit = prism.slant / 101.6e-3
    a, b = (0.0, 0.0), (prism.near, 0.0)
    c, d = (prism.far, prism.apart), (0.0, prism.apart)
    z = -prism.depth + prism.depth * spaced(prism.depth, 5e-3 * unit)
    along = spaced(prism.slant, 3e-3 * unit, start=0.4e-3 * unit, end=1.5e-3 * unit)
    near = spaced(prism.near, 5e-3 * unit, start=3e-3 * unit, end=0.5e-3 * unit)
    far = spaced(prism.far, 5e-3 * unit, start=3e-3 * unit, end=1.5e-3 * unit)
    facing = spaced(prism.apart, 5e-3 * unit, start=2e-3 * unit, end=3e-3 * unit)
    across = spaced(prism.apart, 5e-3 * unit, start=3e-3 * unit, end=1e-3 * unit)
    faces = (
        upright("anode", ANODE, a, d, facing, z),
        upright("far side", WALL, d, c, far, z),
        upright("cathode", CATHODE, c, b, 1 - along[::-1], z),
        upright("near side", WALL, b, a, 1 - near[::-1], z),
        floor((a, b, c, d), across, along, prism.depth),
    )
    return DrawnCell(faces=faces, mirror_level=0.0)


def main() -> None:
    """Writes the table."""
    with TABLE.open("w", encoding="utf-8", newline="") as file:
        rows = csv.writer(file, lineterminator="\n")
        file.write(HEAD)
        provenance = ["evidence", "source", "locator"]
        rows.writerow(["cell", "law", "wagner", *(f"at_{s:g}" for s in PLACES), *provenance])
        for cell in CELLS:
            for law in ("linear", "tafel"):
                for wagner in WAGNER:
                    ratios = solved(cell, law, wagner)
                    shown = [f"{one:.4f}" for one in ratios]
                    rows.writerow([cell, law, f"{wagner:g}", *shown, "derived", "", WHERE])
                    file.flush()
                    sys.stdout.write(f"{cell} {law} {wagner:g}: {ratios[0]:.3f}\n")


if __name__ == "__main__":
    main()
