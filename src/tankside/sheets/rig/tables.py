"""The tables under a rig's drawing, and the same in sentences: every body and contact by its mark.

From left and from front are measured from the inside of the walls, bodies by their middle.
"""

from collections.abc import Sequence

from tankside.cell.bodies import Cell, Role
from tankside.cell.hung import Hung, HungBody, HungContact, hung
from tankside.sheets import svg
from tankside.sheets.rig.lettering import SMALL, gauge, ruled_length, unit_words, width_of
from tankside.sheets.svg import Point
from tankside.sheets.wording import spoken, worded

ROW = 10.6
_GAP = 9.0
Row = tuple[str, ...]


def contact_rows(rig: Hung) -> list[Row]:
    """Head, then each contact with its wire."""
    several = len(rig.of(Role.PART)) > 1
    head = (
        worded("contact"),
        worded("wire"),
        worded("in liquid"),
        worded("from left"),
        worded("from front"),
        worded("under liquid"),
        worded("place"),
    )
    return [head, *(_contact(one, several) for one in rig.contacts)]


def body_rows(rig: Hung) -> list[Row]:
    """Head, then parts, anodes, shields and thieves."""
    head = (
        "",
        "",
        worded("size"),
        worded("from left"),
        worded("from front"),
        worded("top"),
        worded("over floor"),
        worded("to wall"),
        worded("nearest"),
    )
    bodies = rig.of(Role.PART) + rig.of(Role.ANODE) + rig.of(Role.SHIELD) + rig.of(Role.THIEF)
    return [head, *(_body(one) for one in bodies)]


def footnote(rig: Hung) -> str:
    """How the tables' lengths are meant."""
    if rig.is_box:
        return worded(
            "All lengths in {unit}. From left and front: from the inside of the left and front "
            "walls, as you stand at the front; bodies by their middle.",
            unit=unit_words(),
        )
    return worded(
        "All lengths in {unit}. From left and front: from the left-most and front-most place of "
        "the inside, as you stand at the front; bodies by their middle.",
        unit=unit_words(),
    )


def in_words(cell: Cell) -> str:
    """A cell's rig in sentences."""
    return told(hung(cell))


def told(rig: Hung) -> str:
    """The whole rig in sentences, for who cannot see the drawing."""
    sentences = [_tank_told(rig)]
    sentences += [_body_told(body) for body in rig.bodies]
    sentences += [_contact_told(contact) for contact in rig.contacts]
    return " ".join(sentences)


def _tank_told(rig: Hung) -> str:
    low, high = rig.low, rig.high
    wide, deep = (ruled_length(float(high[k] - low[k])) for k in (0, 1))
    more = {
        "height": ruled_length(rig.rim),
        "depth": ruled_length(rig.liquid_depth),
        "unit": unit_words(),
    }
    if rig.round:
        return worded(
            "Tank round, {wide}, {height} high inside, liquid {depth} deep; all lengths in {unit}.",
            wide=wide,
            **more,
        )
    return worded(
        "Tank {wide} by {deep}, {height} high inside, liquid {depth} deep; all lengths in {unit}.",
        wide=wide,
        deep=deep,
        **more,
    )


def _contact(one: HungContact, several: bool) -> Row:
    place, wire = spoken(one.place), gauge(one.wire_diameter)
    return (
        str(one.number),
        worded("{wire} coated", wire=wire) if one.insulated else wire,
        ruled_length(one.wet_length),
        ruled_length(one.from_left),
        ruled_length(one.from_front),
        ruled_length(one.under_liquid),
        worded("part {number}, {place}", number=one.part, place=place) if several else place,
    )


def _contact_told(one: HungContact) -> str:
    wire = gauge(one.wire_diameter)
    return worded(
        "Contact {number} on part {part}: {place}; {left} from left, {front} from front, {under} "
        "under the liquid; wire {wire}.",
        number=one.number,
        part=one.part,
        place=spoken(one.place),
        left=ruled_length(one.from_left),
        front=ruled_length(one.from_front),
        under=ruled_length(one.under_liquid),
        wire=worded("{wire}, coated", wire=wire) if one.insulated else wire,
    )


def _body(one: HungBody) -> Row:
    nearest = ""
    if one.nearest is not None:
        nearest = f"{spoken(one.nearest[0])}: {ruled_length(one.nearest[1])}"
    return (
        one.mark,
        spoken(one.name) if one.shape == "mesh" else _named(one),
        size_words(one),
        ruled_length(one.from_left),
        ruled_length(one.from_front),
        _top(one),
        ruled_length(one.above_floor),
        ruled_length(one.to_wall),
        nearest,
    )


def _named(one: HungBody) -> str:
    """A body with its shape, which goes without saying of a part."""
    name = spoken(one.name)
    if one.shape == "part":
        return name
    return worded("{name}, {shape}", name=name, shape=_shape(one.shape))


def _shape(shape: str) -> str:
    return {
        "plate": worded("plate"),
        "basket": worded("basket"),
        "rod": worded("rod"),
        "ring": worded("ring"),
        "wire": worded("wire"),
        "lining": worded("lining"),
        "mesh": worded("mesh"),
    }[shape]


def size_words(one: HungBody) -> str:
    """What a person cuts it to."""
    sides = [ruled_length(side) for side in one.size]
    if one.shape == "rod":
        return f"Ø {sides[0]} × {sides[1]}"
    if one.shape == "ring":
        across = worded("Ø {inner} to {outer}", inner=sides[0], outer=sides[1])
        return f"{across} × {sides[2]}"
    return f"Ø {sides[0]}" if one.shape == "wire" else " × ".join(sides)


def _top(one: HungBody) -> str:
    if one.under_liquid < 0:
        return worded("{length} out", length=ruled_length(-one.under_liquid))
    return worded("{length} under", length=ruled_length(one.under_liquid))


def _body_told(one: HungBody) -> str:
    """Where a body hangs, as a sentence."""
    length = ruled_length(abs(one.under_liquid))
    top = worded("top {length} under the liquid", length=length)
    if one.under_liquid < 0:
        top = worded("top {length} out of the liquid", length=length)
    bottom = worded("bottom {length} over the floor", length=ruled_length(one.above_floor))
    if one.nearest is not None:
        bottom = worded(
            "{place}, {distance} from {nearest}",
            place=bottom,
            distance=ruled_length(one.nearest[1]),
            nearest=spoken(one.nearest[0]),
        )
    name = _named(one)
    return worded(
        "{name}, {size}: middle {left} from left, {front} from front; {top}, {bottom}.",
        name=name[:1].upper() + name[1:],
        size=size_words(one),
        left=ruled_length(one.from_left),
        front=ruled_length(one.from_front),
        top=top,
        bottom=bottom,
    )


def table(at: Point, width: float, rows: Sequence[Row]) -> tuple[list[str], float]:
    """A table whose first row is its head, and its height [pt]; numbers stand right, the last
    column and words left. A last column that is too wide is set smaller, never cut."""
    wide = [max(width_of(row[k], SMALL) for row in rows) for k in range(len(rows[0]))]
    shapes, (left, top) = [], at
    for number, row in enumerate(rows):
        y = top + ROW * (number + 0.75)
        x = left
        for k, words in enumerate(row):
            if not words:
                x += wide[k] + _GAP
                continue
            figures = _is_figures(rows, k)
            place = x + wide[k] if figures else x
            size = SMALL
            if k == len(row) - 1:
                size = min(SMALL, SMALL * (left + width - x) / max(width_of(words, SMALL), 1.0))
            shapes.append(
                svg.text(
                    (place, y),
                    words,
                    size=size,
                    anchor="end" if figures else "start",
                    colour=svg.GREY if number == 0 else svg.INK,
                    bold=number > 0 and k == 0,
                )
            )
            x += wide[k] + _GAP
        line = top + ROW * (number + 1)
        colour, thick = (svg.INK, 0.6) if number == 0 else (svg.PALE, 0.4)
        shapes.append(svg.line((left, line), (left + width, line), colour=colour, width=thick))
    return shapes, ROW * len(rows)


def _is_figures(rows: Sequence[Row], column: int) -> bool:
    inner = 0 < column < len(rows[0]) - 1
    return inner and all(row[column][:1].isdigit() or not row[column] for row in rows[1:])
