"""The tables under a rig's drawing, and the same in sentences: every body and contact by its mark.

From left and from front are measured from the inside of the walls, bodies by their middle.
"""

from collections.abc import Sequence

from tankside.cell.bodies import Cell, Role
from tankside.cell.hung import Hung, HungBody, HungContact, hung
from tankside.sheets import svg
from tankside.sheets.rig.lettering import SMALL, gauge, ruled_length, unit_words, width_of
from tankside.sheets.svg import Point

ROW = 10.6
_GAP = 9.0
Row = tuple[str, ...]


def contact_rows(rig: Hung) -> list[Row]:
    """Head, then each contact with its wire."""
    several = len(rig.of(Role.PART)) > 1
    head = ("contact", "wire", "in liquid", "from left", "from front", "under liquid", "place")
    return [head, *(_contact(one, several) for one in rig.contacts)]


def body_rows(rig: Hung) -> list[Row]:
    """Head, then parts, anodes, shields and thieves."""
    head = ("", "", "size", "from left", "from front", "top", "over floor", "to wall", "nearest")
    bodies = rig.of(Role.PART) + rig.of(Role.ANODE) + rig.of(Role.SHIELD) + rig.of(Role.THIEF)
    return [head, *(_body(one) for one in bodies)]


def footnote(rig: Hung) -> str:
    """How the tables' lengths are meant."""
    walls = "the inside of the left and front walls"
    if not rig.is_box:
        walls = "the left-most and front-most place of the inside"
    return (
        f"All lengths in {unit_words()}. From left and front: from {walls}, as you stand at the "
        "front; bodies by their middle."
    )


def in_words(cell: Cell) -> str:
    """A cell's rig in sentences."""
    return told(hung(cell))


def told(rig: Hung) -> str:
    """The whole rig in sentences, for who cannot see the drawing."""
    low, high = rig.low, rig.high
    wide, deep = (ruled_length(float(high[k] - low[k])) for k in (0, 1))
    across = f"round, {wide}" if rig.round else f"{wide} by {deep}"
    sentences = [
        f"Tank {across}, {ruled_length(rig.rim)} high inside, liquid "
        f"{ruled_length(rig.liquid_depth)} deep; all lengths in {unit_words()}."
    ]
    for body in rig.bodies:
        sentences.append(_body_told(body))
    for contact in rig.contacts:
        sentences.append(
            f"Contact {contact.number} on part {contact.part}: {contact.place}; "
            f"{ruled_length(contact.from_left)} from left, {ruled_length(contact.from_front)} from "
            f"front, {ruled_length(contact.under_liquid)} under the liquid; wire "
            f"{gauge(contact.wire_diameter)}{', coated' if contact.insulated else ''}."
        )
    return " ".join(sentences)


def _contact(one: HungContact, several: bool) -> Row:
    place = f"part {one.part}, {one.place}" if several else one.place
    return (
        str(one.number),
        gauge(one.wire_diameter) + (" coated" if one.insulated else ""),
        ruled_length(one.wet_length),
        ruled_length(one.from_left),
        ruled_length(one.from_front),
        ruled_length(one.under_liquid),
        place,
    )


def _body(one: HungBody) -> Row:
    nearest = "" if one.nearest is None else f"{one.nearest[0]}: {ruled_length(one.nearest[1])}"
    return (
        one.mark,
        one.name if one.shape in ("part", "mesh") else f"{one.name}, {one.shape}",
        size_words(one),
        ruled_length(one.from_left),
        ruled_length(one.from_front),
        _top(one),
        ruled_length(one.above_floor),
        ruled_length(one.to_wall),
        nearest,
    )


def size_words(one: HungBody) -> str:
    """What a person cuts it to."""
    sides = [ruled_length(side) for side in one.size]
    if one.shape == "rod":
        return f"Ø {sides[0]} × {sides[1]}"
    if one.shape == "ring":
        return f"Ø {sides[0]} to {sides[1]} × {sides[2]}"
    return f"Ø {sides[0]}" if one.shape == "wire" else " × ".join(sides)


def _top(one: HungBody) -> str:
    if one.under_liquid < 0:
        return f"{ruled_length(-one.under_liquid)} out"
    return f"{ruled_length(one.under_liquid)} under"


def _body_told(one: HungBody) -> str:
    nearest = ""
    if one.nearest is not None:
        nearest = f", {ruled_length(one.nearest[1])} from {one.nearest[0]}"
    top = "out of" if one.under_liquid < 0 else "under"
    return (
        f"{one.name.capitalize()}{'' if one.shape == 'part' else ', ' + one.shape}, "
        f"{size_words(one)}: middle {ruled_length(one.from_left)} from left, "
        f"{ruled_length(one.from_front)} from front; top {ruled_length(abs(one.under_liquid))} "
        f"{top} the liquid, bottom {ruled_length(one.above_floor)} over the floor{nearest}."
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
