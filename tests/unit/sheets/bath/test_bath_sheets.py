"""The bath's sheets: the words that must stand on them, in the order that keeps people whole."""

import io
from collections.abc import Sequence
from dataclasses import replace
from xml.etree import ElementTree

import pytest
from pypdf import PdfReader

from tankside.app.bath_sheet_port import Analysis, Record, TankLabel
from tankside.app.ports import SheetRequest
from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.base.messages import Reader
from tankside.base.units import UnitSystem
from tankside.bath.analysis.design import planned_sample
from tankside.bath.analysis.instruments import instrument
from tankside.bath.analysis.procedure import procedure
from tankside.bath.analysis.runs import Run
from tankside.bath.analysis.titrants import bought
from tankside.bath.analysis.titration import titrated, titration
from tankside.bath.composition import Composition
from tankside.bath.inventory import BathEstimate, Ledger, estimated, ordered
from tankside.bath.inventory.taught import taught
from tankside.bath.makeup import MakeUpPlan, made_up
from tankside.safety.labels import Label, bath_contents, label
from tankside.sheets.bath.analysis_sheet import STEPS_OF_TABLE, analysis_sheet, analysis_words
from tankside.sheets.bath.label_sheet import label_sheet
from tankside.sheets.bath.mixing_sheet import mixing_sheet, mixing_words
from tankside.sheets.bath.pictograms import pictogram, pictograms
from tankside.sheets.bath.picture_course import course_picture
from tankside.sheets.bath.record_sheet import record_sheet, record_words
from tankside.sheets.typeset import PAPERS, Paper
from tests.laws.simulated_shop import simulated
from tests.unit.bath.makeup.shelf import request

TODAY = SheetRequest(title="tank", prepared="2026-03-01")
WINDOWS = {"copper": (50.0, 63.0), "sulfuric_acid": (30.0, 75.0), "chloride": (0.05, 0.12)}


def text_of(pdf: bytes) -> str:
    pages = PdfReader(io.BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


@pytest.fixture(scope="module")
def plan() -> MakeUpPlan:
    return made_up(request())


@pytest.fixture(scope="module")
def bath_label() -> Label:
    bath = Composition(copper_sulfate_pentahydrate=75, sulfuric_acid=190, chloride=0.07)
    return label("High-throw acid copper bath", bath_contents(bath, 298.15))


@pytest.fixture(scope="module")
def history() -> tuple[Ledger, Sequence[BathEstimate]]:
    ledger = simulated(5, gross=1).ledger
    events = ordered(ledger)
    start, end = events[0].at, events[-1].at
    times = [start + share * (end - start) for share in (0.3, 0.6, 1.0)]
    return ledger, [estimated(tuple(one for one in ledger if one.at <= at), at=at) for at in times]


def test_every_step_of_the_plan_is_on_the_sheet_after_its_cautions(plan: MakeUpPlan) -> None:
    words = mixing_words(plan, TODAY)
    assert len(words["steps"]) == len(plan.steps)
    text = text_of(mixing_sheet(plan, TODAY))
    place = text.index("The steps, in this order")
    for step in words["steps"]:
        for line in (*step["cautions"], step["title"]):
            line = " ".join(line.replace("'", "’").split())
            assert line in text[place:], line
            place = text.index(line, place)
    assert text.index("Pour distilled water") < text.index("Pour fresh battery acid")


def test_amounts_are_in_the_units_of_the_tools(plan: MakeUpPlan) -> None:
    metric = mixing_words(plan, TODAY)["amounts"]
    us = mixing_words(plan, replace(TODAY, reader=Reader(units=UnitSystem.US)))["amounts"]
    crystals = {row[0]: row for row in metric}["blue crystals"]
    assert crystals[1] == "2.02 kg"
    assert crystals[2] == "kitchen scale"
    assert {row[0]: row for row in us}["blue crystals"][1].endswith("lb")


def test_what_comes_out_carries_its_interval(plan: MakeUpPlan) -> None:
    rows = mixing_words(plan, TODAY)["composition"]
    acid = {row[0]: row for row in rows}["sulfuric acid"]
    value = plan.resulting("sulfuric acid")
    low, high = (float(end.split()[0]) for end in acid[2].split(" to "))
    assert low == pytest.approx(value.low, rel=0.01)
    assert high == pytest.approx(value.high, rel=0.01)


@pytest.mark.parametrize("paper", PAPERS)
def test_the_same_words_give_the_same_bytes_on_either_paper(plan: MakeUpPlan, paper: Paper) -> None:
    first = mixing_sheet(plan, replace(TODAY, paper=paper))
    assert first == mixing_sheet(plan, replace(TODAY, paper=paper))
    width = float(PdfReader(io.BytesIO(first)).pages[0].mediabox.width)
    assert width == pytest.approx({"a4": 595.3, "us-letter": 612.0}[paper], abs=0.1)


def test_an_unknown_paper_is_refused(plan: MakeUpPlan) -> None:
    with pytest.raises(BadInput, match="'a5' is no paper; there are a4 and us-letter"):
        mixing_sheet(plan, replace(TODAY, paper="a5"))  # type: ignore[arg-type]


def test_a_label_says_all_that_the_system_asks_for(bath_label: Label) -> None:
    pdf = label_sheet(
        TankLabel(label=bath_label, contents=["75 g/L copper sulfate pentahydrate"], copies=2),
        TODAY,
    )
    text = text_of(pdf)
    assert text.count("High-throw acid copper bath") == 2
    assert text.count("DANGER") == 2
    for one in (*bath_label.hazards, *bath_label.precautions):
        assert one.code in text
        assert " ".join(one.text.replace("'", "’").split()) in text
    with pytest.raises(BadInput, match="1 to 2 labels, not 9"):
        label_sheet(TankLabel(label=bath_label, contents=[], copies=9), TODAY)


@pytest.mark.parametrize("name", pictograms())
def test_a_pictogram_is_a_red_square_on_its_point(name: str) -> None:
    root = ElementTree.fromstring(pictogram(name))
    frame = root[0].attrib
    assert frame["d"] == "M100 9 L191 100 L100 191 L9 100 Z"
    assert frame["stroke"].startswith("#d")
    assert len(root) > 1


def test_a_pictogram_that_is_not_drawn_is_refused() -> None:
    with pytest.raises(UnknownName, match="GHS05"):
        pictogram("GHS15")


def test_an_analysis_sheet_turns_readings_into_answers_without_a_calculator() -> None:
    method, titrant = titration("copper-by-edta"), bought("EDTA", 100.0, 0.002)
    burette = instrument("burette 25 mL class B")
    sample = planned_sample(
        method,
        expected=19.0,
        titrant=titrant,
        burette=burette,
        pipettes=[instrument("pipette 5 mL class B")],
    )
    written = procedure(method, sample, titrant)

    def answer(titre: float) -> Interval:
        return titrated(
            method, [Run(end=titre)], titrant=titrant, burette=burette, sample=sample.sample
        ).value

    asked = Analysis(procedure=written, answer=answer, quantity="copper", sources=("prohaska2022",))
    words = analysis_words(asked, TODAY)
    assert len(words["table"]) == len(STEPS_OF_TABLE)
    short = analysis_words(replace(asked, most=sample.titre), TODAY)
    assert len(short["table"]) == STEPS_OF_TABLE.index(1.0) + 1
    expected = {row[0]: float(row[1]) for row in words["table"]}
    middle = f"{1e6 * sample.titre:.3g}"
    assert expected[middle] == pytest.approx(19.0, rel=0.01)
    text = text_of(analysis_sheet(asked, TODAY))
    assert "never" in text.lower()
    for step in written.steps:
        assert " ".join(step.text.split())[:40] in text


def test_a_record_tells_state_history_and_what_was_set_aside(
    history: tuple[Ledger, Sequence[BathEstimate]],
) -> None:
    ledger, course = history
    record = Record(ledger=ledger, course=course, windows=WINDOWS)
    words = record_words(record, TODAY)
    assert len(words["events"]) == len(ledger)
    assert [row[0] for row in words["state"]][:3] == ["copper", "sulfuric acid", "chloride"]
    assert len(words["warnings"]) == len(course[-1].gross) > 0
    learned = [row[0] for row in words["learned"]]
    assert len(learned) == sum(map(taught, course[-1].learned)) < len(course[-1].learned)
    assert not any("_" in name for name in learned)
    text = text_of(record_sheet(record, TODAY))
    assert "was set aside; repeat it" in text
    with pytest.raises(BadInput, match="at least one estimate"):
        record_sheet(replace(record, course=[]), TODAY)


def test_the_course_draws_a_cross_where_a_reading_was_set_aside(
    history: tuple[Ledger, Sequence[BathEstimate]],
) -> None:
    _, course = history
    picture = course_picture(course, WINDOWS)
    root = ElementTree.fromstring(picture)
    space = "{http://www.w3.org/2000/svg}"
    strokes = [one for one in root.iter(f"{space}line") if one.attrib["stroke"] == "#a4491d"]
    drawn = ("copper", "sulfuric_acid", "chloride", "volume")
    inside = [one for one in course[-1].gross if course[0].at <= one.at and one.quantity in drawn]
    assert len(strokes) == 2 * len(inside)
    assert len(list(root.iter(f"{space}polyline"))) == 12
