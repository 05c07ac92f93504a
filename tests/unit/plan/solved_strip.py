"""How far a bent strip burns, by the field solver, and the table made of it.

`python -m tests.unit.plan.solved_strip` writes plan/data/bent_strip.csv anew; a slow test solves
some of its rows again. The section of the trough is a rectangle of the liquid's depth by three of
them; half the strip stands on the end wall, half lies on the floor with its tip towards the anode.
Copper is deposited by Tafel's law under a mass-transfer limit.
"""

import csv
import sys
from itertools import product
from pathlib import Path

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.constants import thermal_voltage
from tankside.field.kinetics import CopperDeposition, fixed_potential
from tankside.field.problem import Electrode
from tankside.validation.cells import (
    ANODE,
    CATHODE,
    WALL,
    DrawnCell,
    Electrolysis,
    floor,
    rectangle,
    spaced,
    upright,
)

TABLE = Path(__file__).parents[3] / "src/tankside/plan/data/bent_strip.csv"
DEPTH, WIDTH = 0.04, 0.03
LIMIT = 500.0
WAGNER = (0.003, 0.01, 0.03, 0.1, 0.3, 1.0)
FRACTIONS = (0.7, 0.9, 0.97)
SHARES = (*np.arange(0.125, 0.98, 0.025).round(3), 0.985, 0.993)
"""Mean current density on the strip over the limit, at which the field is solved."""
PLACES = (0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.7)
THERMAL = thermal_voltage(298.15)
TAFEL_SLOPE = THERMAL / 0.5
WINDOW = 0.01
WHERE = "the field solver, panels of 0.4 mm at the tip"
HEAD = """\
# Mean current density on a bent strip over the limiting one at which a fraction of the limit is
# reached at a place on its foot: places as distance from the tip over the liquid's depth; `wagner`
# is conductivity times Tafel slope over mean current density and depth. Empty where no mean below
# 0.993 of the limit reaches so far. Written by tests/unit/plan/solved_strip.py, never by hand.
"""


def solved(wagner: float, share: float, fine: float = 0.4e-3) -> Electrolysis:
    """The field at a mean current density of `share` of the limit."""
    mean = share * LIMIT
    conductivity = wagner * mean * DEPTH / TAFEL_SLOPE
    cathode = CopperDeposition(
        exchange_current_density=1e-4 * LIMIT,
        cathodic_transfer=0.5,
        anodic_transfer=1.5,
        limiting_current_density=LIMIT,
        thermal_voltage=THERMAL,
    )
    anode = fixed_potential(conductivity=conductivity, length=DEPTH)
    electrodes = (
        Electrode(group=ANODE, anode=True, law=anode),
        Electrode(group=CATHODE, anode=False, law=cathode),
    )
    return drawn(fine).electrolysed(
        electrodes, conductivity=conductivity, total_current=mean * 2 * DEPTH * WIDTH
    )


def drawn(fine: float) -> DrawnCell:
    """The trough's boundary."""
    length = 3 * DEPTH
    coarse = 2.5 * fine
    z = -WIDTH + WIDTH * spaced(WIDTH, 5e-3)
    foot = spaced(DEPTH, coarse, start=fine, end=4 * fine)
    leg = spaced(DEPTH, coarse, start=4 * fine, end=coarse)
    bare = spaced(length - DEPTH, 5e-3, start=3e-3, end=fine)
    top, side = spaced(length, 5e-3), spaced(DEPTH, 4e-3)
    faces = (
        upright("leg", CATHODE, (0.0, 0.0), (0.0, DEPTH), leg, z),
        upright("surface", WALL, (0.0, DEPTH), (length, DEPTH), top, z),
        upright("anode", ANODE, (length, DEPTH), (length, 0.0), side, z),
        upright("bare floor", WALL, (length, 0.0), (DEPTH, 0.0), bare, z),
        upright("foot", CATHODE, (DEPTH, 0.0), (0.0, 0.0), foot, z),
        floor(rectangle(0.0, length, 0.0, DEPTH), top, side, WIDTH),
    )
    return DrawnCell(faces=faces, mirror_level=0.0)


def profile(field: Electrolysis) -> Floats:
    """Current density at PLACES over the limit [-]."""
    return np.array([field.mean_between("foot", s - WINDOW, s + WINDOW) / LIMIT for s in PLACES])


def shares_at_places(wagner: float, fractions: tuple[float, ...]) -> Floats:
    """The mean over the limit at which each fraction is reached at each place (fractions, places);
    nan where none is."""
    profiles = np.array([profile(solved(wagner, share)) for share in SHARES])
    return np.array([[_reached(column, f) for column in profiles.T] for f in fractions])


def _reached(rising: Floats, fraction: float) -> float:
    return float(np.interp(fraction, rising, SHARES, left=np.nan, right=np.nan))


def main() -> None:
    """Writes the table."""
    TABLE.parent.mkdir(exist_ok=True)
    with TABLE.open("w", encoding="utf-8", newline="") as file:
        rows = csv.writer(file, lineterminator="\n")
        file.write(HEAD)
        heads = [f"at_{s:g}" for s in PLACES]
        rows.writerow(["wagner", "fraction", *heads, "evidence", "source", "locator"])
        found = {wagner: shares_at_places(wagner, FRACTIONS) for wagner in WAGNER}
        for wagner, (number, fraction) in product(WAGNER, enumerate(FRACTIONS)):
            cells = ["" if np.isnan(u) else f"{u:.4f}" for u in found[wagner][number]]
            rows.writerow([f"{wagner:g}", f"{fraction:g}", *cells, "derived", "", WHERE])
            sys.stdout.write(f"{wagner:g} {fraction:g}: {cells}\n")


if __name__ == "__main__":
    main()
