"""A bar that shows how long a unit is on the paper."""

from tankside.sheets import svg
from tankside.sheets.rig.lettering import SMALL, unit_sign
from tankside.sheets.svg import Point
from tankside.sheets.wording import figure, marked, worded


def scale_bar(at: Point, scale: float) -> list[str]:
    """A bar in the reader's unit of about 90 points: five fields, black and white."""
    unit = unit_sign()
    per = 1.0 / figure(1.0, "mm")
    steps = [m * 10.0**k for k in range(-2, 4) for m in (1, 2, 5)]
    step = max((s for s in steps if 5 * s * per * scale <= 100.0), default=steps[0])
    wide = step * per * scale
    shapes = []
    for k in range(5):
        fill = svg.INK if k % 2 == 0 else svg.PAPER
        corner = (at[0] + k * wide, at[1])
        shapes.append(svg.rectangle(corner, wide, 3.2, fill=fill, stroke=svg.INK, stroke_width=0.5))
    for k in (0, 5):
        words = marked(f"{k * step:.6g}") + (f" {unit}" if k else "")
        shapes.append(
            svg.text((at[0] + k * wide, at[1] + 10.5), words, size=SMALL, anchor="middle")
        )
    length = f"{5 * step * per:.6f}"
    told = worded("scale bar, {length}", length=marked(f"{5 * step:.6g} {unit}"))
    return [svg.told(shapes, told, scale_bar_m=length)]
