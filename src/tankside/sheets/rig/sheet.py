"""A rig's drawing on paper: three views to one scale, a scale bar, the key, and the tables.

The scale is the largest of the usual ones at which views, lengths and tables fit on one sheet;
where the tables are long they go on on further sheets. A sheet is as large as the paper inside its
margins; `on_paper` puts it on the paper whole.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from tankside.app.ports import Paper, SheetRequest
from tankside.base.errors import BadInput
from tankside.base.wording import both
from tankside.cell.bodies import Cell, Role
from tankside.cell.hung import Hung, hung
from tankside.sheets import svg
from tankside.sheets.rig.lengths import Length, Side, lengths
from tankside.sheets.rig.lettering import SMALL, unit_words, width_of
from tankside.sheets.rig.picture import ground, look, marked, patterns, things
from tankside.sheets.rig.scale_bar import scale_bar
from tankside.sheets.rig.tables import (
    ROW,
    Row,
    body_rows,
    contact_rows,
    footnote,
    table,
    told,
)
from tankside.sheets.rig.tracks import Track, drawn, overhang, packed, room, thin_lines
from tankside.sheets.rig.views import AIR, Placed, Sight, View, sights
from tankside.sheets.svg import Point
from tankside.sheets.wording import for_its_reader, worded
from tankside.sheets.wording import marked as with_mark

PAPER_SIZE: Mapping[Paper, Point] = {"a4": (595.28, 841.89), "us-letter": (612.0, 792.0)}
MARGIN: Point = (53.86, 49.0)
"""At the sides, and above and below [pt]: that of the plan's sheet."""
_POINTS = 72 / 0.0254
_RATIOS = (1, 1.5, 2, 2.5, 3, 4, 5, 6, 7, 8, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 500)
_HEAD, _KEY, _NAME, _FOOT, _BETWEEN = 34.0, 26.0, 15.0, 14.0, 24.0
_LEAST_ROWS = 5
_SIDES = {
    View.ABOVE: (Side.TOP, Side.LEFT),
    View.FRONT: (Side.LEFT, Side.BOTTOM),
    View.SIDE: (Side.RIGHT, Side.BOTTOM),
}


@dataclass(frozen=True, kw_only=True)
class _Layout:
    """Views where they go, lengths beside them, and where the views end [pt]."""

    ratio: float
    placed: tuple[Placed, ...]
    tracks: Mapping[tuple[View, Side], tuple[Track, ...]]
    right: float
    foot: float


def rig_files(cell: Cell, how: SheetRequest, *, name: str = "rig") -> dict[str, bytes]:
    """The drawing as SVG files on whole paper: NAME.svg, and NAME-sheet-2.svg and so on where the
    tables go on."""
    sheets = rig_sheets(cell, how)
    names = [f"{name}.svg", *(f"{name}-sheet-{page}.svg" for page in range(2, len(sheets) + 1))]
    return {
        name: on_paper(sheet, how.paper).encode() for name, sheet in zip(names, sheets, strict=True)
    }


@for_its_reader
def rig_sheets(cell: Cell, how: SheetRequest) -> tuple[str, ...]:
    """The drawing as SVG texts, each the size of the paper inside its margins; one, and more where
    the tables go on."""
    if how.paper not in PAPER_SIZE:
        raise BadInput(
            "{paper!r} is no paper; there are {paper_size}",
            paper=how.paper,
            paper_size=both(PAPER_SIZE),
        )
    rig, title = hung(cell), how.title
    size = PAPER_SIZE[how.paper]
    width, height = size[0] - 2 * MARGIN[0], size[1] - 2 * MARGIN[1]
    seen = sights(rig)
    found = lengths(rig, seen)
    rows = len(body_rows(rig)) + len(contact_rows(rig))
    layout = _fitting(seen, found, width, height, rows)
    words = told(rig)
    first = [
        *_head(rig, title, layout.ratio, width),
        *_drawn(rig, layout, found),
        *_key(rig, layout, width),
    ]
    pages = _tabled(rig, first, layout.foot, width, height)
    count = len(pages)
    return tuple(
        svg.drawing(width, height, shapes, title=_name(title, page, count), told=words)
        for page, shapes in enumerate(pages, 1)
    )


def on_paper(sheet: str, paper: Paper) -> str:
    """A sheet on its whole paper, with the margins round it."""
    width, height = PAPER_SIZE[paper]
    x, y = MARGIN
    opening, rest = sheet.split(">", 1)
    opening = opening.replace("<svg ", f'<svg x="{svg.number(x)}" y="{svg.number(y)}" ')
    inner = opening.replace('pt"', '"') + ">" + rest  # a drawing in a drawing counts in its units
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{svg.number(width)}pt" '
        f'height="{svg.number(height)}pt" viewBox="0 0 {svg.number(width)} {svg.number(height)}">\n'
        f'<rect width="100%" height="100%" fill="{svg.PAPER}"/>\n{inner}</svg>\n'
    )


def _name(title: str, page: int, pages: int) -> str:
    if pages == 1:
        return worded("Rig drawing: {title}", title=title)
    return worded(
        "Rig drawing: {title}, sheet {page} of {pages}", title=title, page=page, pages=pages
    )


def _fitting(
    seen: Mapping[View, Sight],
    found: tuple[Length, ...],
    width: float,
    height: float,
    rows: int,
) -> _Layout:
    """The largest scale at which all fits; the tables may go on elsewhere where they are long."""
    for shown in (rows, min(rows, _LEAST_ROWS)):
        tables = ROW * (shown + 1.6) + _FOOT
        for ratio in _RATIOS:
            layout = _laid(seen, found, ratio)
            small = _readable(seen, ratio)
            if layout.right <= width and layout.foot + tables <= height and small:
                return layout
    return _laid(seen, found, _RATIOS[-1])


def _readable(seen: Mapping[View, Sight], ratio: float) -> bool:
    """False where the tables would leave the views too small to read."""
    return max(float(one.span.max()) for one in seen.values()) * _POINTS / ratio > 130.0


def _laid(seen: Mapping[View, Sight], found: tuple[Length, ...], ratio: float) -> _Layout:
    """The views at a scale, with their lengths."""
    scale = _POINTS / ratio
    trial = {view: Placed(sight=one, scale=scale, corner=(0.0, 0.0)) for view, one in seen.items()}
    tracks = {
        (view, side): packed(found, trial[view], side)
        for view, sides in _SIDES.items()
        for side in sides
    }
    reach = {key: room(one) for key, one in tracks.items()}
    before, after = _beyond(trial, tracks)
    left = max(reach[View.ABOVE, Side.LEFT], reach[View.FRONT, Side.LEFT], before) + 2.0
    top = _HEAD + reach[View.ABOVE, Side.TOP] + 8.0
    above = trial[View.ABOVE]
    upper = top + above.height + 2 * _NAME + AIR
    side = left + above.width + max(_BETWEEN, after)
    corners = {View.ABOVE: (left, top), View.FRONT: (left, upper), View.SIDE: (side, upper)}
    placed = tuple(
        Placed(sight=seen[view], scale=scale, corner=corner) for view, corner in corners.items()
    )
    ends = {one.view: one for one in placed}
    return _Layout(
        ratio=ratio,
        placed=placed,
        tracks={
            (view, where): packed(found, ends[view], where)
            for view, sides in _SIDES.items()
            for where in sides
        },
        right=side + trial[View.SIDE].width + max(reach[View.SIDE, Side.RIGHT], after) + 2.0,
        foot=upper
        + trial[View.FRONT].height
        + max(reach[View.FRONT, Side.BOTTOM], reach[View.SIDE, Side.BOTTOM])
        + _NAME
        + _KEY,
    )


def _beyond(
    trial: Mapping[View, Placed], tracks: Mapping[tuple[View, Side], tuple[Track, ...]]
) -> Point:
    """How far numbers of level tracks reach beyond their views to the left and right [pt]."""
    found = [
        overhang(tracks[view, side], 0.0, trial[view].width)
        for view, side in tracks
        if side.along == 0
    ]
    return max(one[0] for one in found), max(one[1] for one in found)


def _head(rig: Hung, title: str, ratio: float, width: float) -> list[str]:
    scale = worded(
        "scale 1 : {ratio} · lengths in {unit} · inside of the tank",
        ratio=with_mark(f"{ratio:g}"),
        unit=unit_words(),
    )
    return [
        svg.text((0, 13), _name(title, 1, 1), size=14),
        svg.text((0, 25), scale, size=8.5, colour=svg.GREY),
        svg.line((0, 30), (width, 30), width=0.6),
    ]


def _drawn(rig: Hung, layout: _Layout, found: tuple[Length, ...]) -> list[str]:
    shapes = [patterns()]
    for placed in layout.placed:
        shapes += ground(rig, placed)
        for side in _SIDES[placed.view]:
            shapes += thin_lines(layout.tracks[placed.view, side], placed, side)
        shapes += things(rig, placed)
    for placed in layout.placed:
        for side in _SIDES[placed.view]:
            shapes += drawn(layout.tracks[placed.view, side], placed, side)
        shapes += marked(rig, placed, found)
        shapes += _named(placed, layout)
    return shapes


def _named(placed: Placed, layout: _Layout) -> list[str]:
    """A view's name under it; left, front and right under that from above."""
    below = room(layout.tracks.get((placed.view, Side.BOTTOM), ()))
    left, foot = placed.corner[0], placed.corner[1] + placed.height
    middle = left + placed.width / 2
    shapes = [
        svg.text(
            (middle, foot + below + (20.0 if placed.view is View.ABOVE else 11.0)),
            placed.view.words,
            anchor="middle",
            italic=True,
        )
    ]
    if placed.view is View.ABOVE:
        for x, words, anchor in (
            (left, worded("left"), "start"),
            (middle, worded("front"), "middle"),
            (left + placed.width, worded("right"), "end"),
        ):
            shapes.append(
                svg.text((x, foot + 9.0), words, size=SMALL, anchor=anchor, colour=svg.GREY)  # type: ignore[arg-type]
            )
    return shapes


def _key(rig: Hung, layout: _Layout, width: float) -> list[str]:
    """What is drawn how, and the scale bar, in a strip under the views."""
    y = layout.foot - _KEY + 9.0
    shapes, x = scale_bar((4.0, y), _POINTS / layout.ratio), 130.0
    for sample, words in _samples(rig, y):
        shapes += [svg.moved((x, 0.0), [sample]), svg.text((x + 17, y + 6), words, size=SMALL)]
        x += 17 + width_of(words, SMALL) + 8
    return shapes


def _samples(rig: Hung, y: float) -> Iterator[tuple[str, str]]:
    box = [[(0.0, y - 2), (13.0, y - 2), (13.0, y + 7), (0.0, y + 7)]]
    roles = (
        (Role.PART, worded("part")),
        (Role.ANODE, worded("anode")),
        (Role.SHIELD, worded("shield")),
        (Role.THIEF, worded("thief")),
    )
    for role, words in roles:
        if rig.of(role):
            yield svg.polygons(box, **look(role)), words  # type: ignore[arg-type]
    for coated, words in ((False, worded("wire")), (True, worded("coated wire"))):
        if any(insulated is coated for _, insulated in rig.wires):
            dash = "2 1.2" if coated else ""
            yield svg.line((0, y + 3), (13, y + 3), width=1.0, dash=dash), words
    if rig.contacts:
        yield svg.circle((6.5, y + 3), 1.7, fill=svg.PAPER, stroke_width=0.9), worded("contact")


def _tabled(
    rig: Hung, first: list[str], foot: float, width: float, height: float
) -> list[list[str]]:
    """The sheets with their tables; rows that do not fit go on on the next sheet."""
    pages, y = [first], foot + 2.0
    for rows in (contact_rows(rig), body_rows(rig)):
        head, rest = rows[0], rows[1:]
        while rest:
            fits = int((height - _FOOT - y) / ROW) - 1
            if fits < 1:
                pages.append([])
                y = 8.0
                continue
            part: list[Row] = [head, *rest[:fits]]
            shapes, tall = table((0.0, y), width, part)
            pages[-1] += shapes
            rest, y = rest[fits:], y + tall + 0.6 * ROW
    pages[-1].append(svg.text((0, y + 4.0), footnote(rig), size=SMALL, colour=svg.GREY))
    return pages
