"""How copper creeps over a coated part: the part at four times, copper where it has come."""

from dataclasses import replace

import numpy as np

from tankside.base.arrays import Floats
from tankside.cell.bodies import Role
from tankside.plan.plan import Plan
from tankside.plan.start import SeedStart
from tankside.sheets import svg
from tankside.sheets.camera import Camera, fitted_camera, two_views
from tankside.sheets.colours import ThicknessScale
from tankside.sheets.png import png
from tankside.sheets.render import rendered
from tankside.sheets.skin import Skin, skin_of
from tankside.sheets.start_words import minutes
from tankside.sheets.wording import clock, percent, worded

WIDTH = 490.0
_VIEW, _GAP, _CAPTION = 116.0, 8.6, 26.0
_TALLEST, _LOWEST = 150.0, 80.0
_PIXELS_A_POINT = 4
_COPPER, _COAT = 0.55, 0.0
_SCALE = ThicknessScale(low=0.0, high=1.0, ticks=(), below=False, above=False)
"""Copper's own colour where it has come, dark coat where it has not."""


def front_picture(plan: Plan, start: SeedStart) -> str:
    """Four views from one side, as SVG text, `WIDTH` points wide."""
    skin = skin_of(plan)
    covered_at = _by_skin(plan, start.covering.covered_at)
    camera = _camera(skin, plan)
    shapes = []
    for k, (time, share) in enumerate(start.front):
        drawn = png(rendered(_at(skin, covered_at, time), camera.enlarged(_PIXELS_A_POINT), _SCALE))
        inside = [
            svg.image((0, 0), _VIEW, float(camera.height), drawn),
            svg.text((_VIEW / 2, camera.height + 11), _when(time), anchor="middle", bold=True),
            svg.text(
                (_VIEW / 2, camera.height + 21),
                worded("{share} of the coat", share=percent(share)),
                anchor="middle",
                size=7.5,
                colour=svg.GREY,
            ),
        ]
        shapes.append(svg.moved((k * (_VIEW + _GAP), 0), inside))
    title = worded("The part at four times, with copper where it has come by then")
    return svg.drawing(WIDTH, camera.height + _CAPTION, shapes, title=title)


def _when(time: float) -> str:
    if not np.isfinite(time):
        return worded("never")
    told = f"{minutes(time)} min" if time < 3600 else clock(time)
    return worded("after {time}", time=told)


def _at(skin: Skin, covered_at: Floats, time: float) -> Skin:
    """The skin with copper where it has come by a time [s]."""
    covered = np.where(covered_at <= time, _COPPER, _COAT)
    nothing = np.zeros(len(covered), dtype=bool)
    return replace(
        skin,
        thickness=covered,
        corner_thickness=np.repeat(covered[:, None], 3, axis=1),
        burning=nothing,
        bare=nothing,
    )


def _by_skin(plan: Plan, values: Floats) -> Floats:
    """Values on all panels of a plan, in the order of the skin: parts, then wires."""
    counts = [len(result.thickness) for result in plan.results]
    ends = np.cumsum(counts)
    pieces = {
        role: [
            values[end - count : end]
            for result, count, end in zip(plan.results, counts, ends, strict=True)
            if result.body.role is role
        ]
        for role in (Role.PART, Role.WIRE)
    }
    return np.concatenate([*pieces[Role.PART], *pieces[Role.WIRE]])


def _camera(skin: Skin, plan: Plan) -> Camera:
    """The first of the two views that the plan's picture has, smaller."""
    part = skin.of_part
    points = skin.corners[part].reshape(-1, 3)
    thin = skin.thickness[part] <= plan.thickness.p05
    view = two_views(skin.corners[part], skin.areas[part], thin)[0]
    wide = fitted_camera(points, *view, width=1000, height=1000, margin=(0, 0))
    spans = np.ptp(wide.projected(points), axis=0)
    height = np.clip(_VIEW * spans[1] / max(spans[0], 1e-9), _LOWEST, _TALLEST)
    return fitted_camera(points, *view, width=round(_VIEW), height=round(height), margin=(6.0, 6.0))
