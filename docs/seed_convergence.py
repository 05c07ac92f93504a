"""Draws the table of rates in theory/seed.md as theory/seed_convergence.svg.

python3 docs/seed_convergence.py

Each line is one error against the panel's size, or the step's, halved from column to column; the
pale line falls by four a halving, as second order does.
"""

import re
from itertools import pairwise
from math import log10
from pathlib import Path

from tankside.sheets import svg

FOLDER = Path(__file__).parent / "theory"
WIDTH, HEIGHT, LEFT, TOP, STEP = 490.0, 230.0, 52.0, 18.0, 62.0
DECADES = (-4.5, -1.0)
DASHES = ("", "6 3", "2 2", "8 3 2 3", "1 3")


def main() -> None:
    lines = (FOLDER / "seed.md").read_text("utf-8").splitlines()
    rows = [line for line in lines if re.match(r"^\| [a-z][^|]*(\| \d+(\.\d+)?e-\d ){3}", line)]
    curves = [
        (cells[0], [float(cell) for cell in cells[1:] if cell])
        for cells in ([cell.strip() for cell in row.strip("|").split("|")] for row in rows)
    ]
    (FOLDER / "seed_convergence.svg").write_text(picture(curves), "utf-8")


def picture(curves: list[tuple[str, list[float]]]) -> str:
    """The curves as SVG text."""
    shapes = []
    for decade in range(-4, 0):
        y = up(10.0**decade)
        shapes.append(svg.line((LEFT, y), (LEFT + 3 * STEP, y), colour=svg.PALE, width=0.5))
        shapes.append(svg.text((LEFT - 4, y + 2.6), f"1e{decade}", size=8, anchor="end"))
    for number in range(4):
        words = "first" if number == 0 else f"÷ {2**number}"
        shapes.append(svg.text((LEFT + number * STEP, HEIGHT - 14), words, size=8, anchor="middle"))
    slope = [(LEFT + k * STEP, up(0.03 / 4**k)) for k in range(4)]
    shapes.append(svg.polyline(slope, colour=svg.PALE, width=3.0))
    for number, (words, errors) in enumerate(curves):
        points = [(LEFT + k * STEP, up(error)) for k, error in enumerate(errors)]
        for start, end in pairwise(points):
            shapes.append(svg.line(start, end, width=1.2, dash=DASHES[number]))
        shapes += [svg.circle(point, 2.0, fill=svg.PAPER) for point in points]
        y = TOP + 14 * number
        shapes.append(svg.line((256, y - 3), (280, y - 3), width=1.2, dash=DASHES[number]))
        shapes.append(svg.text((284, y), words.split(", from")[0][:52], size=8))
    shapes.append(svg.text((LEFT, HEIGHT - 2), "panel or step over the first", size=8))
    return svg.drawing(WIDTH, HEIGHT, shapes, title="Errors of the seed coat against refinement")


def up(error: float) -> float:
    """Height of an error on the logarithmic scale [pt]."""
    share = (log10(error) - DECADES[0]) / (DECADES[1] - DECADES[0])
    return HEIGHT - 28 - share * (HEIGHT - 28 - TOP)


if __name__ == "__main__":
    main()
