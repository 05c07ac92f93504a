"""The cell along one axis: outlines, the tank's box, the scale, and the gaps worth a dimension."""

from dataclasses import dataclass, replace

import numpy as np

from tankside.base.arrays import Floats
from tankside.cell.bodies import Body, Role
from tankside.plan.plan import Plan
from tankside.sheets.outline import FROM_THE_FRONT, Gap, Outline, gap, outline
from tankside.sheets.svg import Point

DRAWN = (Role.ANODE, Role.SHIELD, Role.THIEF, Role.WIRE, Role.PART)
"""What is drawn in the tank, the last on top."""
_MOST_GAPS = 4


@dataclass(frozen=True, kw_only=True)
class CellView:
    """Outlines of all bodies along one axis, the box of the tank's inside [m], and the scale
    [pt m⁻¹]; pictures have their origin at the box's upper left corner."""

    axes: tuple[int, int]
    low: Floats
    high: Floats
    outlines: tuple[tuple[Body, Outline], ...]
    scale: float = 1.0

    @property
    def span(self) -> Floats:
        """Width and height of the tank's inside [m]."""
        return self.high - self.low

    @property
    def width(self) -> float:
        """[pt]."""
        return float(self.span[0]) * self.scale

    @property
    def height(self) -> float:
        """[pt]."""
        return float(self.span[1]) * self.scale

    def at_scale(self, scale: float) -> "CellView":
        """The same view at another scale."""
        return replace(self, scale=scale)

    def drawn(self, points: Floats) -> Floats:
        """Points (..., 2) [m] in the picture [pt]."""
        flat = np.asarray(points)
        x = (flat[..., 0] - self.low[0]) * self.scale
        y = (self.high[1] - flat[..., 1]) * self.scale
        return np.stack([x, y], axis=-1)

    def of(self, *roles: Role) -> list[tuple[Body, Outline]]:
        """Bodies of these roles that show in this view."""
        return [entry for entry in self.outlines if entry[0].role in roles and entry[1]]


def cell_view(plan: Plan, axes: tuple[int, int]) -> CellView:
    bodies = plan.cell.bodies
    frame = plan.cell.of_role(Role.VESSEL) or bodies
    points = np.vstack([body.surface.vertices[:, axes] for body in frame])
    low, high = points.min(axis=0), points.max(axis=0)
    if axes == FROM_THE_FRONT:
        high[1] = plan.cell.liquid_level
    return CellView(
        axes=axes,
        low=low,
        high=high,
        outlines=tuple((body, outline(body.surface, axes)) for body in bodies),
    )


def gaps_to_anodes(view: CellView) -> list[Gap]:
    """From each anode to the part nearest to it; of more than four anodes, only the nearest."""
    parts = view.of(Role.PART)
    lines = [
        min((gap(part, anode) for _, part in parts), key=lambda line: line.length)
        for _, anode in view.of(Role.ANODE)
        if parts
    ]
    return lines if len(lines) <= _MOST_GAPS else [min(lines, key=lambda line: line.length)]


def gap_to_wall(view: CellView) -> list[Gap]:
    """From the parts to the nearest wall."""
    walls = view.of(Role.VESSEL)
    lines = [gap(part, wall) for _, part in view.of(Role.PART) for _, wall in walls]
    return [min(lines, key=lambda line: line.length)] if lines else []


def gaps_up_and_down(view: CellView) -> list[Gap]:
    """From the parts' highest point to the liquid's surface, and from the lowest to the floor."""
    parts = [polygon for _, polygons in view.of(Role.PART) for polygon in polygons]
    if not parts:
        return []
    points = np.vstack(parts)
    top, bottom = points[points[:, 1].argmax()], points[points[:, 1].argmin()]
    right = float(points[:, 0].max())
    lines = [
        Gap(start=np.array([right, top[1]]), end=np.array([right, view.high[1]])),
        Gap(start=bottom, end=np.array([bottom[0], view.low[1]])),
    ]
    return [line for line in lines if line.length * view.scale > 1.0]


def as_point(pair: Floats) -> Point:
    return float(pair[0]), float(pair[1])
