"""A first plan from one's own file, step by step, as a browser without scripts would go through."""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tankside.app.job.reading import read_job
from tankside.app.store_records import SupplyRecord, TankRecord
from tankside.app.work.alternatives import ALTERNATIVES
from tankside.app.work.first_defaults import defaults_of, recipes
from tankside.app.work.first_plan import STEPS, open_drafts, sizes_by_unit
from tankside.app.work.plan_fields import FIELDS
from tankside.app.work.work import Work, WorkKind
from tankside.bath.families import family
from tests.unit.web.desk import PART, IdleQueue, place_over, visitor

STL = b"solid knob\nendsolid knob\n"
GUESSED = {**PART, "unit_guessed": True, "unit_explanation": "taken as mm by its size"}


@pytest.fixture
def queue(tmp_path: Path) -> IdleQueue:
    return IdleQueue(tmp_path / "work")


@pytest.fixture
def browser(queue: IdleQueue) -> Iterator[Any]:
    with visitor(queue) as client:
        yield client


def handed_in(browser: Any, queue: IdleQueue, **more: Any) -> Work:
    answer = browser.post("/first", files={"file": ("knob.stl", STL)}, follow_redirects=False)
    part = queue.all()[0]
    assert answer.headers["location"] == f"/first/{part.id}"
    queue.finish(part, json.dumps({**PART, **more}).encode())
    return part


def plans(queue: IdleQueue) -> list[Work]:
    return [one for one in queue.all() if one.order.kind is WorkKind.PLAN]


def test_an_empty_store_offers_the_example_and_a_first_plan(browser: Any) -> None:
    text = browser.get("/").text
    assert 'action="/parts/example"' in text
    assert 'href="/first"' in text


def test_from_the_file_to_the_queued_plan(browser: Any, queue: IdleQueue) -> None:
    part = handed_in(browser, queue)
    at = browser.get(f"/first/{part.id}").url.path
    gone = []
    while "/check" not in at:
        gone.append(at.rsplit("/", 1)[1])
        at = browser.post(at, data={}).url.path
    assert gone == [one.name for one in STEPS[1:-1]]
    ordered = browser.post(at, data={}, follow_redirects=False)
    (plan,) = plans(queue)
    assert ordered.headers["location"] == f"/plans/{plan.id}"
    job = read_job(queue.folder.given(plan.id).read("job.toml", where="").decode(), name="job")
    assert job.parts[0].seed is not None  # a print, unless it is said otherwise
    assert open_drafts(queue) == ()
    assert browser.get(f"/first/{part.id}", follow_redirects=False).headers["location"] == (
        f"/plans/{plan.id}"
    )


def test_progress_leads_back_to_the_guide(browser: Any, queue: IdleQueue) -> None:
    browser.post("/first", files={"file": ("knob.stl", STL)})
    part = queue.all()[0]
    assert "Waiting" in browser.get(f"/first/{part.id}").text
    assert browser.get(f"/first/{part.id}/tank").url.path == f"/first/{part.id}"
    queue.finish(part, json.dumps(PART).encode())
    answer = browser.get(f"/work/{part.id}/progress")
    assert answer.headers["HX-Redirect"] == f"/first/{part.id}"


def test_a_guessed_unit_is_asked_with_every_size(browser: Any, queue: IdleQueue) -> None:
    part = handed_in(browser, queue, **GUESSED)
    page = browser.get(f"/first/{part.id}")
    assert page.url.path.endswith("/unit")
    assert "4 × 3 × 2 cm" in page.text
    assert "1.02 × 0.762 × 0.508 m" in page.text  # 40 by 30 by 20 inches
    assert re.search(r'value="mm" checked', page.text)
    wrong = browser.post(f"/first/{part.id}/unit", data={"unit": "furlong"})
    assert wrong.status_code == 400
    told = browser.post(f"/first/{part.id}/unit", data={"unit": "cm"}, follow_redirects=False)
    again = queue.all()[0]
    assert told.headers["location"] == f"/first/{again.id}"
    assert again.order.options["unit"] == "cm"
    assert queue.folder.given(again.id).read("knob.stl", where="") == STL
    assert [one.part.id for one in open_drafts(queue)] == [again.id]


def test_sizes_by_unit_are_exact() -> None:
    sizes = sizes_by_unit(PART)
    assert sizes["mm"] == pytest.approx((0.04, 0.03, 0.02))
    assert sizes["in"] == pytest.approx((1.016, 0.762, 0.508))


def test_answers_stay_through_a_new_server(browser: Any, queue: IdleQueue, tmp_path: Path) -> None:
    part = handed_in(browser, queue)
    browser.post(f"/first/{part.id}/tank", data={"tank_length": "41 cm", "liquid_depth": "28 cm"})
    with visitor(IdleQueue(tmp_path / "work")) as later:
        assert part.id in later.get("/").text
        assert later.get(f"/first/{part.id}").url.path.endswith("/bath")
        assert 'value="41 cm"' in later.get(f"/first/{part.id}/tank").text
        assert 'value="14 cm"' in later.get(f"/first/{part.id}/hang").text  # half of the depth


def test_wrong_answers_come_back_in_place(browser: Any, queue: IdleQueue) -> None:
    part = handed_in(browser, queue)
    answer = browser.post(
        f"/first/{part.id}/tank", data={"tank_length": "41", "tank_width": "9 kg"}
    )
    assert answer.status_code == 400
    assert answer.text.count('aria-invalid="true"') == 2
    assert 'value="41"' in answer.text
    assert browser.get(f"/first/{part.id}").url.path.endswith("/tank")


def test_what_cannot_be_a_job_is_told_with_the_way_back(browser: Any, queue: IdleQueue) -> None:
    part = handed_in(browser, queue)
    browser.post(f"/first/{part.id}/goal", data={"voltage_limit": "400 V"})
    answer = browser.post(f"/first/{part.id}/check", data={})
    assert answer.status_code == 400
    assert "volt" in answer.text.lower()
    assert plans(queue) == []
    shop = browser.post(f"/first/{part.id}/bath", data={"known": "shop"})
    assert shop.status_code == 200
    browser.post(f"/first/{part.id}/goal", data={"voltage_limit": "8 V"})
    answer = browser.post(f"/first/{part.id}/check", data={})
    assert f'href="/first/{part.id}/bath"' in answer.text
    assert "No test of your own is kept" in answer.text


def test_a_known_bath_fills_the_numbers_in(browser: Any, queue: IdleQueue) -> None:
    # Metal Finishing Guidebook (2013), p. 284, table IX: 60 to 75 g/L and 187 to 225 g/L
    part = handed_in(browser, queue)
    page = browser.post(f"/first/{part.id}/bath", data={"act": "fill", "recipe": "high-throw"})
    assert 'value="67.5 g/L"' in page.text
    assert 'value="206 g/L"' in page.text
    assert "Metal Finishing Guidebook" in page.text
    assert browser.get(f"/first/{part.id}").url.path.endswith("/tank")  # not sent yet


def test_the_baths_of_the_store_come_first(browser: Any, queue: IdleQueue) -> None:
    was = {"volume": "18 ± 0.3 L", "copper": "19 ± 1 g/L", "sulfuric_acid": "180 ± 9 g/L",
           "chloride": "60 ± 12 mg/L", "at": "2026-01-12"}  # fmt: skip
    made = browser.post("/api/v1/baths/take-over", json={"name": "long tank", "answers": was})
    assert made.status_code in (200, 201), made.text
    first, *rest = recipes(browser.place)
    assert first.words == "long tank"
    # 19 g/L of copper is 19 × 249.685 / 63.546 = 74.7 g/L of the pentahydrate (IUPAC weights 2021)
    assert float(first.answers["copper_sulfate"].split()[0]) == pytest.approx(74.7, abs=2.0)
    assert [one.name for one in rest] == ["high-throw", "conventional"]
    window = family("conventional").windows["copper_sulfate_pentahydrate"]
    assert window.side(float(rest[1].answers["copper_sulfate"].split()[0])) == "inside"


def test_defaults_make_room_for_a_large_part_and_turn_a_cup_over(queue: IdleQueue) -> None:
    place = place_over(queue)
    large = {**PART, "box_m": [0.30, 0.20, 0.35], "pockets": {"gas": []}}
    found = defaults_of(place, large)
    assert (found["tank_length"], found["tank_width"]) == ("46 cm", "38 cm")
    assert (found["liquid_depth"], found["tank_height"], found["height"]) == (
        "43 cm",
        "48 cm",
        "21.5 cm",
    )
    assert found["turn_x"] == "0 deg"
    small = defaults_of(place, PART)  # catches a millilitre as its file lies
    assert small["turn_x"] == "180 deg"
    assert small["tank_length"] == FIELDS["tank_length"].default


def test_defaults_come_from_the_store_then_from_the_last_plan(
    browser: Any, queue: IdleQueue
) -> None:
    store = browser.place.store
    store.supplies.add("green", SupplyRecord(current_limit=3.0, voltage_limit=30.0))
    table = '[tank]\nshape = "box"\ninside = ["50 cm", "40 cm", "40 cm"]\nliquid_depth = "33 cm"\n'
    store.tanks.add("long", TankRecord(table=table))
    found = defaults_of(browser.place, PART)
    assert (found["current_limit"], found["voltage_limit"]) == ("3 A", "30 V")
    assert (found["tank_length"], found["liquid_depth"], found["height"]) == (
        "50 cm",
        "33 cm",
        "16.5 cm",
    )
    part = handed_in(browser, queue)
    browser.post(f"/first/{part.id}/tank", data={"tank_length": "60 cm"})
    browser.post(f"/first/{part.id}/check", data={})
    assert defaults_of(browser.place, PART)["tank_length"] == "60 cm"


def test_a_bath_begun_after_the_last_plan_is_the_one_that_is_meant(
    browser: Any, queue: IdleQueue
) -> None:
    part = handed_in(browser, queue)
    browser.post(f"/first/{part.id}/bath", data={"copper_sulfate": "90 g/L"})
    browser.post(f"/first/{part.id}/check", data={})
    assert defaults_of(browser.place, PART)["copper_sulfate"] == "90 g/L"
    was = {"volume": "18 ± 0.3 L", "copper": "19 ± 1 g/L", "sulfuric_acid": "180 ± 9 g/L",
           "chloride": "60 ± 12 mg/L", "at": "2026-01-12"}  # fmt: skip
    browser.post("/api/v1/baths/take-over", json={"name": "long tank", "answers": was})
    held = recipes(browser.place)[0].answers
    assert held.items() <= defaults_of(browser.place, PART).items()
    assert f'value="{held["sulfuric_acid"]}"' in browser.get(f"/parts/{part.id}/plan").text


def test_the_examples_plan_speaks_of_no_shop(browser: Any, queue: IdleQueue) -> None:
    browser.post("/parts/example")
    example = queue.all()[0]
    queue.finish(example, json.dumps(PART).encode())
    browser.post(f"/parts/{example.id}/plan", data={"tank_length": "99 cm"})
    assert len(plans(queue)) == 1
    assert defaults_of(browser.place, PART)["tank_length"] == FIELDS["tank_length"].default


def test_help_names_sources_that_a_reader_in_a_browser_can_follow() -> None:
    told = [one.source for one in FIELDS.values()] + [one.source for one in ALTERNATIVES.values()]
    assert [text for text in told if "docs/" in text or text.endswith(".md")] == []


@pytest.mark.parametrize("address", ["/first/part-000000000000", "/first/part-zzz/tank"])
def test_what_was_not_begun_is_refused(browser: Any, address: str) -> None:
    assert browser.get(address).status_code in (400, 404)


def test_another_part_or_step_is_refused(browser: Any, queue: IdleQueue) -> None:
    part = handed_in(browser, queue)
    assert browser.get(f"/first/{part.id}/unit").status_code == 404  # its file says
    assert browser.get(f"/first/{part.id}/nowhere").status_code == 404
    plain = queue.add(WorkKind.PART, "knob", {"a.stl": STL}, options={"file": "a.stl"})
    assert browser.get(f"/first/{plain.id}").status_code == 400
    assert browser.post("/first", files={"file": ("", b"")}).status_code == 400


def test_every_field_of_the_form_is_asked_once() -> None:
    asked = [key for step in STEPS for key in step.keys]
    assert sorted(asked) == sorted(FIELDS)


def test_help_at_the_field_names_its_source(browser: Any, queue: IdleQueue) -> None:
    part = handed_in(browser, queue)
    for address in (f"/first/{part.id}/bath", f"/parts/{part.id}/plan"):
        assert "Metal Finishing Guidebook (2013), p. 284" in browser.get(address).text


def test_the_same_over_the_api(browser: Any, queue: IdleQueue) -> None:
    api = "/api/v1/first-plans"
    sent = browser.post(api, files={"file": ("knob.stl", STL)})
    assert sent.status_code == 202
    part = queue.get(sent.json()["id"])
    assert browser.get(f"{api}/{part.id}").json()["next"] == ""
    queue.finish(part, json.dumps(GUESSED).encode())
    standing = browser.get(f"{api}/{part.id}").json()
    assert standing["next"] == "unit"
    assert standing["sizes_m"]["in"] == pytest.approx([1.016, 0.762, 0.508])
    told = browser.post(f"{api}/{part.id}/unit", json={"answers": {"unit": "mm"}}).json()
    again = queue.get(told["onward"])
    queue.finish(again, json.dumps(PART).encode())
    assert [one["part"]["id"] for one in browser.get(api).json()] == [again.id]
    asked = browser.get(f"{api}/{again.id}/bath").json()
    assert asked["why"]
    assert [one["name"] for one in asked["baths"]] == ["high-throw", "conventional"]
    wrong = browser.post(f"{api}/{again.id}/tank", json={"answers": {"tank_length": "9 kg"}})
    assert wrong.status_code == 400
    assert "tank_length" in wrong.json()["fields"]
    for step in STEPS[1:]:
        standing = browser.post(f"{api}/{again.id}/{step.name}", json={"answers": {}}).json()
    (plan,) = plans(queue)
    assert standing["onward"] == plan.id
    assert browser.get(f"{api}/{again.id}/nowhere").status_code == 404
