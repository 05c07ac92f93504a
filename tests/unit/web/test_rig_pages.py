"""The rig's pages, asked as a browser without scripts would: begun, changed, kept, taken back."""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from lxml import html

from tankside.app.work.work import Work, WorkKind
from tests.faces.conftest import JOB, block_stl
from tests.unit.web.desk import PART, IdleQueue, visitor

CUBE = {
    **PART,
    "file": "block.stl",
    "box_low_m": [-0.02, -0.02, -0.02],
    "box_high_m": [0.02, 0.02, 0.02],
}
NUMBERS = {
    "thinnest_um": 21.0,
    "part_thinnest_um": [21.0],
    "hours": 4.0,
    "copper_g": 6.0,
    "copper_elsewhere_g": 0.1,
    "spread": 2.0,
    "current_A": 0.9,
    "voltage_V": 1.1,
    "burning_area_fraction": 0.0,
}
FOUND: dict[str, Any] = {
    "goal": "thinnest",
    "own": NUMBERS,
    "proposals": [
        {
            **NUMBERS,
            "hours": 3.0,
            "limited_by": "the supply",
            "wires_needed": 1,
            "changes": ["Hang anode 1 at (-11.0, 0.0, 10.0) cm."],
            "gains_and_costs": ["Hours until the thinnest place has its thickness: 3 h."],
            "jobs": ["rig-1.toml"],
        }
    ],
    "pareto": [
        {"hours": 3.1, "copper_g": 6.5, "spread": 1.9},
        {"hours": 3.6, "copper_g": 6.1, "spread": 1.7},
    ],
    "rules_of_thumb": [{"rule": "a rule", "rule_sets": "2 A", "computed": "0.9 A"}],
    "evaluations": 120,
    "refused": {"traps air": 3, "would float": 1},
    "least_difference": 0.3,
    "freedoms": ["turn about x"],
    "notes": ["The boundary layer is that of the part as you hang it."],
    "seconds": 75.0,
}
"""A search's result, as the worker keeps it."""

STARTING = {
    "start_minutes": 1.4,
    "cover_minutes": 13.2,
    "collar_fraction": 0.5,
    "start_failure": "",
    "wires": 2,
}
FAILING = {
    "start_minutes": None,
    "cover_minutes": None,
    "collar_fraction": 0.5,
    "start_failure": "copper covers 71 % of the coat in the 30 min that it may take",
    "wires": 1,
}
COATED = {
    **FOUND,
    "coated": True,
    "own": {**NUMBERS, **FAILING},
    "proposals": [{**one, **STARTING} for one in FOUND["proposals"]],
    "pareto": [
        {"hours": 3.1, "copper_g": 6.5, "spread": 1.9, "cover_minutes": 12.5, "wires": 2},
        {"hours": 3.6, "copper_g": 6.1, "spread": 1.7, "cover_minutes": 16.0, "wires": 1},
    ],
    "refused": {"copper does not cover the coat in time": 2},
}
"""The same of a part that starts on a coat, where the own rig does not start."""


@pytest.fixture
def queue(tmp_path: Path) -> IdleQueue:
    return IdleQueue(tmp_path / "work")


@pytest.fixture
def browser(queue: IdleQueue) -> Iterator[Any]:
    with visitor(queue) as client:
        yield client


def handed_in(queue: IdleQueue) -> Work:
    options = {"file": "block.stl", "unit": "mm"}
    work = queue.add(WorkKind.PART, "block", {"block.stl": block_stl()}, options=options)
    queue.finish(work, json.dumps(CUBE).encode())
    return work


def begun(browser: Any, queue: IdleQueue) -> str:
    """The address of a rig that can be."""
    handed_in(queue)
    answer = browser.post("/rigs", files={"file": ("cube.toml", JOB)})
    assert answer.status_code == 200, answer.text
    return str(answer.url.path)


def typed_of(text: str) -> dict[str, str]:
    """What the form of a page would send."""
    (form,) = html.fromstring(text).xpath('//form[@id="rig"]')
    return {key: value or "" for key, value in form.form_values()}


def test_a_rig_begins_from_a_part(browser: Any, queue: IdleQueue) -> None:
    part = handed_in(queue)
    assert f"/parts/{part.id}/rig" in browser.get(f"/parts/{part.id}").text
    answer = browser.post(f"/parts/{part.id}/rig")
    assert re.match(r"/rigs/[0-9a-f]+$", answer.url.path)
    assert answer.text.count("<h1>") == 1
    assert typed_of(answer.text)["part.0.middle.0"] == "0 mm"
    assert answer.url.path in browser.get("/rigs").text


def test_answers_are_kept_as_a_version_and_taken_back(browser: Any, queue: IdleQueue) -> None:
    rig = begun(browser, queue)
    typed = typed_of(browser.get(rig).text)
    answer = browser.post(rig, data={**typed, "anode.0.at.0": "-12,5 cm", "act": "keep"})
    assert "Version 2" in answer.text
    assert typed_of(answer.text)["anode.0.at.0"] == "-12,5 cm"
    assert '"-12,5 cm"' in browser.get(f"{rig}/job.toml").text
    assert browser.get(f"{rig}/job.toml?version=1").text == JOB
    back = browser.post(f"{rig}/again", data={"version": "1"})
    assert typed_of(back.text)["anode.0.at.0"] == "-13 cm"


def test_a_wrong_answer_is_shown_at_its_field_and_nothing_is_lost(
    browser: Any, queue: IdleQueue
) -> None:
    rig = begun(browser, queue)
    typed = {**typed_of(browser.get(rig).text), "anode.0.at.0": "13", "goal.thickness": "80 um"}
    answer = browser.post(rig, data={**typed, "act": "add:shield-plate"})
    assert answer.status_code == 400
    again = typed_of(answer.text)
    assert (again["anode.0.at.0"], again["goal.thickness"]) == ("13", "80 um")
    assert 'aria-invalid="true"' in answer.text
    assert browser.get(f"{rig}/job.toml").text == JOB
    swapped = browser.post(rig, data=typed, headers={"hx-request": "true"})
    assert swapped.status_code == 200


def test_somebody_elses_change_is_not_written_over(browser: Any, queue: IdleQueue) -> None:
    rig = begun(browser, queue)
    typed = typed_of(browser.get(rig).text)
    browser.post(rig, data={**typed, "anode.0.at.0": "-12 cm"})
    late = browser.post(rig, data={**typed, "anode.0.at.0": "-11 cm"})
    assert late.status_code == 400
    assert typed_of(late.text)["anode.0.at.0"] == "-11 cm"
    assert '"-12 cm"' in browser.get(f"{rig}/job.toml").text


def test_what_cannot_be_is_not_planned(browser: Any, queue: IdleQueue) -> None:
    rig = begun(browser, queue)
    typed = {**typed_of(browser.get(rig).text), "anode.0.at.0": "0 cm"}
    answer = browser.post(rig, data={**typed, "act": "plan"})
    assert answer.status_code == 400
    assert "overlaps" in answer.text
    mended = {**typed_of(answer.text), "anode.0.at.0": "-13 cm", "act": "plan"}
    planned = browser.post(rig, data=mended, follow_redirects=False)
    assert re.match(r"/plans/plan-", planned.headers["location"])
    assert "Its plans" in browser.get(rig).text


def test_a_check_is_an_object_for_the_picture(browser: Any, queue: IdleQueue) -> None:
    rig = begun(browser, queue)
    typed = {**typed_of(browser.get(rig).text), "part.0.middle.2": "30 cm"}
    found = browser.post(f"{rig}/check", json={"answers": typed}).json()
    assert "above the liquid" in found["refusal"]
    assert found["blamed"] == ["part.0"]
    view = browser.get(f"{rig}/parts/1/view.bin")
    assert view.content[:4] == b"TKV2"
    assert browser.get(f"{rig}/parts/2/view.bin").status_code == 400


def test_a_clicked_place_becomes_a_contact(browser: Any, queue: IdleQueue) -> None:
    rig = begun(browser, queue)
    typed = typed_of(browser.get(rig).text)
    spot = {"spot_0": "0.02", "spot_1": "0", "spot_2": "0.1", "spot_part": "1"}
    answer = browser.post(rig, data={**typed, **spot, "act": "add:contact"})
    assert typed_of(answer.text)["contact.1.near.0"] == "20 mm"
    assert "Contact 2" in answer.text
    bad = browser.post(rig, data={**typed_of(answer.text), **spot, "spot_0": "here",
                                  "act": "add:contact"})  # fmt: skip
    assert bad.status_code == 400


def test_a_rig_is_renamed_and_put_away(browser: Any, queue: IdleQueue) -> None:
    rig = begun(browser, queue)
    assert "The cube, upright" in browser.post(
        f"{rig}/name", data={"name": "The cube, upright"}
    ).text  # fmt: skip
    assert "Put away: The cube, upright." in browser.post(f"{rig}/away").text
    assert rig not in browser.get("/rigs").text
    assert browser.get(rig).status_code == 200
    browser.post(f"{rig}/back")
    assert rig in browser.get("/rigs").text


def test_who_may_only_look_sees_no_buttons(browser: Any, queue: IdleQueue) -> None:
    from tankside.web.access import Access, Role

    access = Access.shared(["192.168.1.9"])
    with visitor(queue, access, peer="192.168.1.20", host="192.168.1.9") as guest:
        guest.get(f"/?key={access.keys[Role.LOOK]}")
        assert guest.get("/rigs").status_code == 200
        assert guest.post("/rigs", files={"file": ("cube.toml", JOB)}).status_code == 403


def test_a_search_is_asked_for_with_its_regions(browser: Any, queue: IdleQueue) -> None:
    rig = begun(browser, queue)
    typed = typed_of(browser.get(f"{rig}/search").text)
    assert typed["allow_pose"] == "on"
    assert "allow_shields" not in typed
    spot = {"spot_0": "0", "spot_1": "0", "spot_2": "0.12", "spot_part": "1"}
    more = browser.post(f"{rig}/search", data={**typed, **spot, "act": "add:contact"})
    typed = typed_of(more.text)
    assert typed["region.0.near.2"] == "120 mm"
    wrong = browser.post(f"{rig}/search", data={**typed, "minutes": "long", "act": "search"})
    assert wrong.status_code == 400
    assert typed_of(wrong.text)["minutes"] == "long"
    asked = {**typed, "minutes": "2", "act": "search"}
    answer = browser.post(f"{rig}/search", data=asked, follow_redirects=False)
    assert re.match(r"/searches/rig-", answer.headers["location"])
    assert "Better rigs are being looked for" in browser.get(answer.headers["location"]).text
    (work,) = [one for one in queue.all() if one.order.kind is WorkKind.RIG]
    assert "[[forbidden]]" in queue.folder.given(work.id).read("regions.toml", where="").decode()


def test_a_us_reader_s_rig_is_in_inches_and_stays_as_it_is(browser: Any, queue: IdleQueue) -> None:
    rig = begun(browser, queue)
    metric = browser.get(f"{rig}/job.toml").text
    browser.post("/settings", data={"units": "US", "mark": "point", "paper": "us-letter"})
    page = browser.get(rig)
    typed = typed_of(page.text)
    assert typed["anode.0.at.0"] == "-5.1 in"  # of "-13 cm", which is 5.118 in
    assert "\N{MINUS SIGN}5.1 in" in page.text
    browser.post(rig, data={**typed, "act": "keep"})
    assert browser.get(f"{rig}/job.toml").text == metric  # not rounded by being looked at
    answers = {**typed, "anode.0.at.0": "-7 in"}
    reply = browser.post(f"{rig}/check", json={"answers": answers}).json()
    assert re.search(r"reaches [\d.]+ in beyond the tank's wall", reply["refusal"])
    assert " mm" not in reply["refusal"]


def test_found_rigs_stand_beside_the_own_one_and_are_taken(browser: Any, queue: IdleQueue) -> None:
    rig = begun(browser, queue)
    work = searched(browser, queue, rig)
    queue.folder.keep(work.id, {"rig-1.toml": JOB.replace("-13 cm", "-11 cm").encode()})
    queue.finish(work, json.dumps(FOUND).encode())
    text = browser.get(f"/searches/{work.id}").text
    tree = html.fromstring(text)
    assert len(tree.xpath('//circle[@class="front"]')) == 2
    assert len(tree.xpath('//circle[@class="found"]')) == 1
    assert "3 would trap air" in " ".join(text.split())
    assert not re.search(r"<style|style=|<script(?![^>]*src=)|\son\w+=", text)
    taken = browser.post(f"/searches/{work.id}/take", data={"rig": "1"})
    assert taken.url.path == rig
    assert typed_of(taken.text)["anode.0.at.0"] == "-11 cm"
    assert browser.post(f"/searches/{work.id}/take", data={"rig": "7"}).status_code == 404


def test_a_rig_is_drawn_with_its_lengths_and_the_same_as_tables(
    browser: Any, queue: IdleQueue
) -> None:
    rig = begun(browser, queue)
    assert f"{rig}/drawing" in browser.get(rig).text
    shown = browser.get(f"{rig}/drawing")
    assert shown.status_code == 200
    tree = html.fromstring(shown.text)
    (drawn,) = tree.xpath('//*[local-name()="svg" and @role="img"]')
    said = " ".join(drawn.itertext())
    assert "part 1 under the liquid: " in said
    assert "Rig drawing: cube" in said
    tables = " ".join(" ".join(table.itertext()) for table in tree.xpath("//table"))
    assert "near the top, facing up" in tables
    assert "40 mm × 40 mm × 40 mm" in " ".join(tables.split())
    assert "0.8 mm" in tables
    file = browser.get(f"{rig}/drawing.svg?version=1")
    assert file.headers["content-type"] == "image/svg+xml"
    assert "part 1 under the liquid: " in file.text
    assert browser.get(f"{rig}/drawing.svg?sheet=7").status_code == 400


def test_a_rig_that_cannot_be_has_no_drawing(browser: Any, queue: IdleQueue) -> None:
    handed_in(queue)
    job = JOB.replace('at = ["0 cm", "0 cm", "10 cm"]', 'at = ["0 cm", "0 cm", "19 cm"]', 1)
    rig = browser.post("/rigs", files={"file": ("cube.toml", job)}).url.path
    answer = browser.get(f"{rig}/drawing")
    assert answer.status_code == 400
    assert "art 1 reaches" in answer.text, answer.text


def searched(browser: Any, queue: IdleQueue, rig: str) -> Work:
    """A search that was asked for."""
    typed = typed_of(browser.get(f"{rig}/search").text)
    browser.post(f"{rig}/search", data={**typed, "act": "search"})
    (work,) = [one for one in queue.all() if one.order.kind is WorkKind.RIG]
    return work


def test_a_coated_parts_rigs_tell_their_starts(browser: Any, queue: IdleQueue) -> None:
    rig = begun(browser, queue)
    form = browser.get(f"{rig}/search").text
    assert 'value="start"' not in form  # the cube is metal
    work = searched(browser, queue, rig)
    queue.finish(work, json.dumps(COATED).encode())
    text = browser.get(f"/searches/{work.id}").text
    rigs, starts = html.fromstring(text).xpath("//table[thead//th[text()='Rig']]")
    assert "It does not start." in rigs.text_content()
    assert "copper covers 71 % of the coat" in text
    own, first = starts.xpath("tbody/tr")
    assert "not in time" in own.text_content()
    assert "it fails" in own.text_content()
    assert "13 min" in first.text_content()
    assert "50 %" in first.text_content()
    assert "Coat covered" in text
    assert text.count('<svg class="curve"') == 2
    assert "2 would leave places of the coat bare for too long." in text


def test_a_coated_parts_search_may_be_given_a_time_for_the_start(
    browser: Any, queue: IdleQueue
) -> None:
    handed_in(queue)
    job = JOB.replace('surface = "metal"', 'seed = { sheet_resistance = "100 ohm" }')
    assert job != JOB
    answer = browser.post("/rigs", files={"file": ("coated.toml", job)})
    coated = str(answer.url.path)
    form = typed_of(browser.get(f"{coated}/search").text)
    assert form["start_within"] == ""
    wrong = browser.post(f"{coated}/search", data={**form, "start_within": "20", "act": "search"})
    assert wrong.status_code == 400
    sent = {**form, "goal": "start", "start_within": "20 min", "act": "search"}
    browser.post(f"{coated}/search", data=sent)
    (work,) = [one for one in queue.all() if one.order.kind is WorkKind.RIG]
    assert work.order.options["start_within"] == "20 min"
    assert work.order.options["goal"] == "start"
