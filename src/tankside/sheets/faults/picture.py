"""The picture of a fault, and all of them on one sheet.

Which base, places and looks make up a picture stands in data/pictures.toml; this module only puts
them together.
"""

import re
import tomllib
from collections.abc import Mapping, Sequence
from functools import cache
from html import escape, unescape
from importlib import resources
from typing import Any

from tankside.base.errors import MissingData, UnknownName
from tankside.sheets import svg
from tankside.sheets.faults import parts, sections, vessels
from tankside.sheets.faults.events import EVENTS
from tankside.sheets.faults.features import FEATURES
from tankside.sheets.faults.looks import LOOKS, Look
from tankside.sheets.faults.scene import HEIGHT, WIDTH, Base
from tankside.sheets.wording import phrase, worded

BASES: Mapping[str, Base] = {**parts.BASES, **sections.BASES, **vessels.BASES}
ALL_LOOKS: Mapping[str, Look] = {**LOOKS, **FEATURES, **EVENTS}

COLUMNS = 6
"""Of the sheet of all pictures."""

_GAP, _CAPTION = 20.0, 30.0


def fault_picture(name: str, *, title: str = "") -> str:
    """The picture of a fault by its id, as an SVG document; `title` is read to who cannot see it.

    UnknownName where there is none.
    """
    return _told(svg.drawing(WIDTH, HEIGHT, fault_shapes(name), title=title or name))


def _told(picture: str) -> str:
    """A drawing whose words (scene.lettered) are as the reader has them."""
    return _WORDS.sub(lambda found: f">{escape(phrase(unescape(found[1])))}</text>", picture)


_WORDS = re.compile(r">([^<>]+)</text>")


def fault_shapes(name: str) -> list[str]:
    """The shapes of the picture alone."""
    recipes = pictured()
    if name not in recipes:
        raise UnknownName("fault with a picture", name, recipes)
    recipe = recipes[name]
    scene = BASES[_known("base", recipe["base"], BASES, name)]()
    shapes = list(scene.under)
    for look, place in recipe["marks"]:
        draw = ALL_LOOKS[_known("look", look, ALL_LOOKS, name)]
        shapes += draw(scene.places[_known("place", place, scene.places, name)])
    return [*shapes, *scene.over]


@cache
def pictured() -> Mapping[str, Any]:
    """Recipes of all pictures by the id of the fault."""
    file = resources.files("tankside.sheets.faults").joinpath("data/pictures.toml")
    return tomllib.loads(file.read_text("utf-8"))


def contact_sheet(faults: Sequence[tuple[str, str]]) -> str:
    """All pictures on one sheet; `faults` are id and name."""
    across, down = WIDTH + _GAP, HEIGHT + _CAPTION
    rows = -(-len(faults) // COLUMNS)
    shapes = [svg.rectangle((0, 0), COLUMNS * across, rows * down, fill=svg.PAPER)]
    for number, (name, words) in enumerate(faults):
        row, column = divmod(number, COLUMNS)
        captioned = [
            *fault_shapes(name),
            svg.text((WIDTH / 2, HEIGHT + 9), words, size=8.5, anchor="middle", bold=True),
            svg.text((WIDTH / 2, HEIGHT + 19), name, size=7.5, anchor="middle", colour=svg.GREY),
        ]
        shapes.append(svg.moved((column * across + _GAP / 2, row * down + 4), captioned))
    title = worded("Pictures of all faults")
    return _told(svg.drawing(COLUMNS * across, rows * down + 6, shapes, title=title))


def _known(kind: str, name: str, known: Mapping[str, Any], fault: str) -> str:
    if name not in known:
        raise MissingData(
            "the picture of {fault} asks for the {kind} {name!r}, which is not there",
            fault=fault,
            kind=kind,
            name=name,
        )
    return name
