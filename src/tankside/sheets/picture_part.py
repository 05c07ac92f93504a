"""The parts seen from two opposite sides, coloured by thickness, with a legend.

Hidden surfaces are truly hidden. The thinnest and the thickest panel are marked where they are
seen; a broken ring means that the place lies behind what is shown. Both views have one scale.
"""

from dataclasses import dataclass
from math import floor, log10, pi

import numpy as np

from tankside.base.arrays import Bools, Floats
from tankside.plan.plan import Plan
from tankside.sheets import svg
from tankside.sheets.camera import Camera, View, fitted_camera, two_views
from tankside.sheets.colours import thickness_scale
from tankside.sheets.labels import leader, placed
from tankside.sheets.legend import legend
from tankside.sheets.png import png
from tankside.sheets.raster import seen
from tankside.sheets.render import rendered
from tankside.sheets.skin import Skin, skin_of
from tankside.sheets.wording import figure, measured, rounded, sign, worded

WIDTH = 490.0
_VIEW_WIDTH, _GAP, _LEGEND_WIDTH = 204.0, 10.0, 62.0
_TALLEST, _LOWEST, _CAPTION = 214.0, 146.0, 24.0
_MARGIN = (30.0, 8.0)
_PIXELS_A_POINT = 4
"""Fineness of the picture in a drawing whose cameras count in points."""


def part_picture(plan: Plan) -> str:
    """The two views with legend, as SVG text, `WIDTH` points wide."""
    skin, scale = skin_of(plan), thickness_scale(plan)
    cameras = _cameras(skin, plan)
    height = float(cameras[0].height)
    marks = _marks(skin, cameras, plan)
    shapes = []
    for k, camera in enumerate(cameras):
        picture = png(rendered(skin, camera.enlarged(_PIXELS_A_POINT), scale))
        inside = [
            svg.image((0, 0), _VIEW_WIDTH, height, picture),
            *_marked(skin, camera, [mark for mark in marks if mark.view == k]),
            _caption(camera, height),
        ]
        shapes.append(svg.moved((k * (_VIEW_WIDTH + _GAP), 0), inside))
    shapes.append(_scale_bar(cameras[0], height))
    left = 2 * (_VIEW_WIDTH + _GAP) + 6
    shapes.append(svg.moved((left, 14), legend(plan, scale, height - 14)))
    title = worded(
        "The part from two sides, coloured by copper thickness from {low} to {high}",
        low=measured(scale.low, "um"),
        high=measured(scale.high, "um"),
    )
    return svg.drawing(WIDTH, height + _CAPTION, shapes, title=title)


def _cameras(skin: Skin, plan: Plan) -> tuple[Camera, Camera]:
    """Two opposite cameras of one size and scale, round the parts alone."""
    part = skin.of_part
    points = skin.corners[part].reshape(-1, 3)
    thin = skin.thickness[part] <= plan.thickness.p05
    views = two_views(skin.corners[part], skin.areas[part], thin)
    height = _view_height(points, views)
    first, second = (
        fitted_camera(
            points,
            *view,
            width=round(_VIEW_WIDTH),
            height=round(height),
            margin=_MARGIN,
        )
        for view in views
    )
    scale = min(first.scale, second.scale)
    return first.at_scale(scale), second.at_scale(scale)


def _view_height(points: Floats, views: tuple[View, View]) -> float:
    """As tall as the parts need at full width, within bounds [pt]."""
    needs = []
    for view in views:
        camera = fitted_camera(points, *view, width=1000, height=1000, margin=(0, 0))
        flat = camera.projected(points)
        spans = np.ptp(flat, axis=0)
        needs.append(spans[1] / max(spans[0], 1e-9))
    across, down = _MARGIN
    wanted = (_VIEW_WIDTH - 2 * across) * max(needs) + 2 * down
    return float(np.clip(wanted, _LOWEST, _TALLEST))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Mark:
    """A place to point at: in which view, where [pt], whether it is seen there, and its words."""

    view: int
    at: svg.Point
    visible: bool
    words: tuple[str, str]


def _marks(skin: Skin, cameras: tuple[Camera, Camera], plan: Plan) -> list[_Mark]:
    """The thinnest and thickest place, each in the view that shows it."""
    least = measured(plan.thickness.minimum, "um", 2)
    most = measured(plan.thickness.maximum, "um")
    return [
        _mark(skin, cameras, skin.thinnest, (worded("thinnest"), least)),
        _mark(skin, cameras, skin.thickest, (worded("thickest"), most)),
    ]


def _mark(skin: Skin, cameras: tuple[Camera, Camera], panel: int, words: tuple[str, str]) -> _Mark:
    middle = skin.corners[panel].mean(axis=0)
    found = []
    for k, camera in enumerate(cameras):
        x, y, depth = camera.projected(middle)
        sight = seen(camera.projected(skin.corners), width=camera.width, height=camera.height)
        front = sight.depth[int(y), int(x)]
        facing = float(skin.normals[panel] @ camera.axes()[2])
        visible = bool(front - depth <= 1.5)
        mark = _Mark(view=k, at=(float(x), float(y)), visible=visible, words=words)
        found.append((visible, facing, mark))
    return max(found, key=lambda entry: entry[:2])[2]


def _marked(skin: Skin, camera: Camera, marks: list[_Mark]) -> list[str]:
    """Rings, leaders and labels of one view."""
    taken = _coverage(skin, camera)
    shapes = []
    for mark in marks:
        words = [*mark.words, *([] if mark.visible else [worded("hidden")])]
        box, taken = placed([mark.at], 4.3 * max(map(len, words)), 10.0 * len(words), taken)
        start, end = leader(mark.at, box, 3.6)
        left_of_mark = box.middle[0] < mark.at[0]
        x = box.left + box.width if left_of_mark else box.left
        anchor: svg.Anchor = "end" if left_of_mark else "start"
        shapes += [
            svg.line(start, end, colour=svg.PAPER, width=1.8),
            svg.line(start, end, width=0.6),
            svg.circle(mark.at, 3.2, stroke=svg.PAPER, stroke_width=2.4),
            svg.circle(mark.at, 3.2, stroke_width=1.0, dash="" if mark.visible else "1.6 1.4"),
        ]
        for row, line in enumerate(words):
            at, main = (x, box.top + 8.0 + 10.0 * row), row == 1
            colour = svg.INK if main else svg.GREY
            shapes.append(
                svg.text(
                    at, line, size=8.5, anchor=anchor, bold=main, colour=colour, halo=svg.PAPER
                )
            )
    return shapes


def _coverage(skin: Skin, camera: Camera) -> Bools:
    """Points of the view that the part or a wire covers, one entry a point (h, w)."""
    return seen(camera.projected(skin.corners), width=camera.width, height=camera.height).covered


def _caption(camera: Camera, height: float) -> str:
    """From where this view looks, in words."""
    above = (
        worded("from the right, above"),
        worded("from the back right, above"),
        worded("from the back, above"),
        worded("from the back left, above"),
        worded("from the left, above"),
        worded("from the front left, above"),
        worded("from the front, above"),
        worded("from the front right, above"),
    )
    below = (
        worded("from the right, below"),
        worded("from the back right, below"),
        worded("from the back, below"),
        worded("from the back left, below"),
        worded("from the left, below"),
        worded("from the front left, below"),
        worded("from the front, below"),
        worded("from the front right, below"),
    )
    sides = above if camera.elevation > 0 else below
    words = sides[round(camera.azimuth / (pi / 4)) % 8]
    return svg.text(
        (_VIEW_WIDTH / 2, height + 13),
        words,
        anchor="middle",
        italic=True,
        colour=svg.GREY,
    )


def _scale_bar(camera: Camera, height: float) -> str:
    """A bar of round length under the gap between the views."""
    metre = camera.scale
    rough = 0.22 * _VIEW_WIDTH / metre
    unit = 1.0 / figure(1.0, "mm")
    power = unit * 10.0 ** floor(log10(rough / unit))
    length = power * max(nice for nice in (1, 2, 5) if nice * power <= rough)
    words = f"{rounded(round(figure(length, 'mm'), 6))} {sign('mm')}"
    middle = _VIEW_WIDTH + _GAP / 2
    left, right, y = middle - length * metre / 2, middle + length * metre / 2, height + 8
    return "".join(
        [
            svg.line((left, y), (right, y), width=0.8),
            svg.line((left, y - 2.5), (left, y + 2.5), width=0.8),
            svg.line((right, y - 2.5), (right, y + 2.5), width=0.8),
            svg.text((middle, y + 12), words, anchor="middle", size=8),
        ]
    )
