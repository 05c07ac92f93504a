"""The rig's drawing, read again: its lengths are the job's, in words and as drawn to scale; nothing
overlaps; all of it is on the paper; it does without colour."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from itertools import combinations
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pytest

from tankside.app.ports import SheetRequest
from tankside.base.messages import Reader
from tankside.base.units import UnitSystem
from tankside.cell.bodies import Cell
from tankside.cell.hung import hung
from tankside.sheets.rig.lettering import gauge, width_of
from tankside.sheets.rig.reply import rig_json
from tankside.sheets.rig.sheet import PAPER_SIZE, rig_files, rig_sheets
from tankside.sheets.typeset import PAPERS, Paper
from tankside.sheets.wording import written_for
from tests.unit.sheets.rig.hung_cells import crowded, in_a_box, in_a_cylinder, in_a_prism

SVG = "{http://www.w3.org/2000/svg}"
KINDS: dict[str, Callable[[], Cell]] = {
    "box": in_a_box,
    "cylinder": in_a_cylinder,
    "prism": in_a_prism,
    "crowd": crowded,
}


@cache
def cell_of(kind: str) -> Cell:
    return KINDS[kind]()


@cache
def sheets(kind: str, paper: Paper = "a4", units: UnitSystem = UnitSystem.METRIC) -> Any:
    how = SheetRequest(title="lantern finial", prepared="", paper=paper, reader=Reader(units=units))
    texts = rig_sheets(cell_of(kind), how)
    return [ElementTree.fromstring(text) for text in texts]


@dataclass(frozen=True)
class Read:
    """A length as the drawing has it."""

    what: str
    metres: float
    words: str
    drawn: float


def lengths(kind: str) -> list[Read]:
    """All lengths of a drawing; `drawn` is the line's own length [pt]."""
    found = []
    for group in sheets(kind)[0].iter(f"{SVG}g"):
        if "data-length-m" in group.attrib:
            line = group.find(f"{SVG}line").attrib
            ends = [float(line[key]) for key in ("x1", "y1", "x2", "y2")]
            written = [each for each in group.iter(f"{SVG}text") if each.text]
            found.append(
                Read(
                    what=group.find(f"{SVG}title").text.rsplit(": ", 1)[0],
                    metres=float(group.attrib["data-length-m"]),
                    words=written[-1].text if written else "",
                    drawn=float(np.hypot(ends[2] - ends[0], ends[3] - ends[1])),
                )
            )
    return found


def length(kind: str, what: str) -> float:
    """The one length of this name [mm]."""
    (found,) = {round(1e3 * one.metres, 3) for one in lengths(kind) if what in one.what.split("; ")}
    return found


def points_per_metre(kind: str) -> float:
    """From the scale that is written."""
    said = " ".join(text.text or "" for text in sheets(kind)[0].iter(f"{SVG}text"))
    return 72 / 0.0254 / float(re.search(r"scale 1 : ([\d.]+)", said).group(1))


def test_lengths_in_a_box_are_those_of_the_job() -> None:
    expected = {
        "tank, inside from left to right": 310.0,
        "tank, inside from front to back": 230.0,
        "tank, inside height": 290.0,
        "liquid, depth": 262.0,
        "part 1 under the liquid": 262.0 - (141.0 + 26.0),
        "part 1, height": 52.0,
        "part 1 over the floor": 141.0 - 26.0,
        "left wall to part 1": 155.0 + 7.0 - 23.0,
        "part 1, from left to right": 46.0,
        "front wall to part 1": 115.0 - 13.0 - 19.0,
        "part 1, front to back": 38.0,
        "anode 1 to part 1": (132.5 - 2.5) + 7.0 - 23.0,
        "anode 2 to part 1": 136.0 - 2.0 - (7.0 + 23.0),
        "anode 1 to the wall behind it": 155.0 - 135.0,
        "anode 2 to the wall behind it": 155.0 - 138.0,
        "anode 1, height": 170.0,
        "anode 2, height": 250.0,
        "anode 1, width": 120.0,
        "anode 2, width": 110.0,
        "anode 1 over the floor": 135.0 - 85.0,
        "anode 2 over the floor": 165.0 - 125.0,
        "left wall to contact 1": 155.0 + 7.0,
        "front wall to contact 1": 115.0 - 20.0,
        "contact 1 under the liquid": 262.0 - 167.0,
        "front wall to contact 2": 115.0 + 6.0,
        "contact 2 under the liquid": 262.0 - 150.0,
    }
    assert {what: length("box", what) for what in expected} == pytest.approx(expected, abs=1e-3)


def test_lengths_in_a_cylinder_are_those_of_the_job() -> None:
    assert length("cylinder", "tank, inside diameter") == 210.0
    assert length("cylinder", "liquid, depth") == 243.0
    assert length("cylinder", "part 1 under the liquid") == pytest.approx(243 - 131 - 30.5)
    edge = np.hypot(6 + 17, 3 + 13)  # the corner that comes nearest to the wall
    assert length("cylinder", "part 1 to the nearest wall") == pytest.approx(105 - edge, abs=0.1)
    rod = np.array([80 * np.cos(np.pi / 3), 80 * np.sin(np.pi / 3)])
    corner = np.array([6.0 + 17.0, 3.0 + 13.0])
    apart = np.linalg.norm(rod - corner) - 5.5
    flat = 5.5 - np.pi * 11 / 20 / np.tan(np.pi / 10)  # drawn as ten sides of its perimeter
    assert length("cylinder", "anode 2 to part 1") == pytest.approx(apart, abs=flat + 0.03)
    assert length("cylinder", "left-most place of the tank to contact 1") == pytest.approx(111.0)


def test_lengths_in_a_prism_with_two_parts_are_those_of_the_job() -> None:
    assert length("prism", "tank, inside from left to right") == 400.0
    assert length("prism", "anode 1 to part 1") == pytest.approx(180 - 1.5 - 60 - 18)
    assert length("prism", "part 1 over the floor") == length("prism", "part 2 over the floor")
    assert length("prism", "part 2 over the floor") == pytest.approx(102.0)
    normal = np.array([1.0, 1.8]) / np.hypot(1.0, 1.8)
    corner, anode = np.array([40.0 + 18, 15.0]), np.array([120.0, 50.0])
    apart = float((anode - corner) @ normal) - 1.5
    assert length("prism", "anode 2 to part 2") == pytest.approx(apart, abs=0.1)
    cut = np.array([80.0, 150.0]) / np.hypot(80.0, 150.0)  # out of the side that is cut off
    to_wall = float((np.array([50.0, 120.0]) - corner) @ cut)
    assert length("prism", "part 2 to the nearest wall") == pytest.approx(to_wall, abs=0.1)


@pytest.mark.parametrize("kind", KINDS)
def test_every_length_says_what_it_draws(kind: str) -> None:
    scale = points_per_metre(kind)
    found = lengths(kind)
    assert len(found) > 8
    for one in found:
        assert one.drawn == pytest.approx(one.metres * scale, abs=0.03), one
        assert float(one.words) == pytest.approx(1e3 * one.metres, abs=0.051), one


@pytest.mark.parametrize("kind", KINDS)
def test_the_scale_bar_is_to_scale(kind: str) -> None:
    (bar,) = [g for g in sheets(kind)[0].iter(f"{SVG}g") if "data-scale-bar-m" in g.attrib]
    wide = sum(float(each.attrib["width"]) for each in bar.iter(f"{SVG}rect"))
    expected = float(bar.attrib["data-scale-bar-m"]) * points_per_metre(kind)
    assert wide == pytest.approx(expected, abs=0.1)
    said = [each.text for each in bar.iter(f"{SVG}text")]
    assert said[-1] == f"{1e3 * float(bar.attrib['data-scale-bar-m']):g} mm"


@pytest.mark.parametrize("kind", KINDS)
def test_every_contact_and_body_is_marked_and_has_its_row(kind: str) -> None:
    rig = hung(cell_of(kind))
    said = [text.text or "" for sheet in sheets(kind) for text in sheet.iter(f"{SVG}text")]
    marks = [mark for words in said for mark in words.split(", ")]
    for contact in rig.contacts:
        assert marks.count(str(contact.number)) >= 4  # three views and the table
        assert any(words.endswith(contact.place) for words in said)
    for body in rig.bodies:
        assert marks.count(body.mark) >= 4


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("kind", KINDS)
def test_no_words_overlap_and_all_of_it_is_on_the_paper(kind: str, paper: Paper) -> None:
    for sheet in sheets(kind, paper):
        width, height = (float(value) for value in sheet.attrib["viewBox"].split()[2:])
        boxes = list(words_of(sheet))
        assert boxes
        for (left, top, right, bottom), words in boxes:
            assert left >= 0, words
            assert top >= 0, words
            assert right <= width, words
            assert bottom <= height, words
        for (one, said), (other, says) in combinations(boxes, 2):
            apart = (
                one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
            )
            assert apart, (said, says)
        for x, y in strokes_of(sheet):
            assert -0.5 <= x <= width + 0.5
            assert -0.5 <= y <= height + 0.5


def words_of(sheet: Any) -> Iterator[tuple[tuple[float, float, float, float], str]]:
    """Every line of words with its box: left, top, right, bottom [pt]; a halo counts once."""
    shift = {}
    for group in sheet.iter(f"{SVG}g"):
        moved = re.match(r"translate\(([\d.-]+) ([\d.-]+)\)", group.attrib.get("transform", ""))
        if moved:
            shift |= {each: tuple(map(float, moved.groups())) for each in group.iter()}
    for text in sheet.iter(f"{SVG}text"):
        if text.attrib["fill"] == "#ffffff":
            continue
        size = float(text.attrib["font-size"])
        wide = 0.8 * width_of(text.text, size)  # what letters take, without what is kept free
        before = {"start": 0.0, "middle": wide / 2, "end": wide}[text.attrib["text-anchor"]]
        x, y = (float(text.attrib[key]) for key in ("x", "y"))
        dx, dy = shift.get(text, (0.0, 0.0))
        box = (-before, -0.68 * size, wide - before, 0.1 * size)
        if "rotate(-90" in text.attrib.get("transform", ""):
            box = (box[1], -box[2], box[3], -box[0])
        yield (x + dx + box[0], y + dy + box[1], x + dx + box[2], y + dy + box[3]), text.text


def strokes_of(sheet: Any) -> Iterator[tuple[float, float]]:
    patterns = {line for each in sheet.iter(f"{SVG}pattern") for line in each.iter()}
    for line in sheet.iter(f"{SVG}line"):
        if line not in patterns:
            yield float(line.attrib["x1"]), float(line.attrib["y1"])
            yield float(line.attrib["x2"]), float(line.attrib["y2"])


@pytest.mark.parametrize("paper", PAPERS)
def test_a_file_is_as_large_as_its_paper(paper: Paper) -> None:
    files = rig_files(cell_of("crowd"), SheetRequest(title="batch", prepared="", paper=paper))
    assert next(iter(files)) == "rig.svg"
    assert set(files) == {"rig.svg", *(f"rig-sheet-{n}.svg" for n in range(2, len(files) + 1))}
    for text in files.values():
        tree = ElementTree.fromstring(text)
        size = tuple(float(tree.attrib[key].removesuffix("pt")) for key in ("width", "height"))
        assert size == PAPER_SIZE[paper]
        inner = tree.find(f"{SVG}svg")
        assert float(inner.attrib["x"]) + float(inner.attrib["width"]) < size[0]
        assert float(inner.attrib["y"]) + float(inner.attrib["height"]) < size[1]


@pytest.mark.parametrize("kind", KINDS)
def test_it_prints_in_grey(kind: str) -> None:
    for sheet in sheets(kind):
        text = ElementTree.tostring(sheet, "unicode")
        for colour in re.findall(r"#([0-9a-f]{6})\b", text):
            parts = [int(colour[k : k + 2], 16) for k in (0, 2, 4)]
            assert max(parts) - min(parts) <= 10, colour


def test_it_says_the_whole_rig_in_words_for_who_cannot_see_it() -> None:
    told = sheets("box")[0].find(f"{SVG}desc").text
    for words in (
        "Tank 310 by 230, 290 high inside, liquid 262 deep; all lengths in millimetres.",
        "Part 1, 46 × 38 × 52: middle 162 from left, 102 from front; top 95 under the liquid",
        "Anode 2, plate, 110 × 250 × 4",
        "top 28 out of the liquid",
        "Contact 1 on part 1: near the top, facing up; 162 from left, 95 from front",
        "wire Ø 0.5, coated",
    ):
        assert words in told


def test_in_us_units_it_is_in_inches_and_wires_by_their_gauge() -> None:
    (sheet,) = sheets("box", "us-letter", UnitSystem.US)
    said = [text.text or "" for text in sheet.iter(f"{SVG}text")]
    assert "12.20" in said  # 310 mm
    assert "Ø 0.031 (20 AWG)" in said
    assert any("lengths in inches" in words for words in said)


@pytest.mark.parametrize(
    ("inches", "number"), [(0.0159, 26), (0.0201, 24), (0.0320, 20), (0.0508, 16), (0.1019, 10)]
)
def test_wire_gauges_are_those_of_the_standards_table(inches: float, number: int) -> None:
    """ASTM B258, nominal diameters of solid round wires; from memory."""
    with written_for(Reader(units=UnitSystem.US)):
        assert f"({number} AWG)" in gauge(25.4e-3 * inches)
        assert "AWG" not in gauge(25.4e-3 * inches * 1.06)


def test_plain_values_are_those_of_the_drawing() -> None:
    told = rig_json(cell_of("box"))
    assert told["tank"]["left_to_right_m"] == pytest.approx(0.31)
    (first, second) = told["contacts"]
    assert first["from_left_m"] == pytest.approx(0.162)
    assert first["under_liquid_m"] == pytest.approx(0.095)
    assert (first["coated"], second["coated"]) == (False, True)
    part = next(body for body in told["bodies"] if body["mark"] == "P1")
    assert part["nearest"]["name"] == "anode 2"
    assert part["nearest"]["distance_m"] == pytest.approx(0.104)
    assert part["to_wall_m"] == pytest.approx(0.083)
