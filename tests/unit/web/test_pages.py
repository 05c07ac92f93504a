"""The pages, asked as a browser without scripts would."""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tankside.app.work.plan_fields import FIELDS
from tankside.app.work.work import Work, WorkKind, WorkState
from tankside.base.units import signed
from tests.unit.web.desk import PART, IdleQueue, visitor

STL = b"solid knob\nendsolid knob\n"


@pytest.fixture
def queue(tmp_path: Path) -> IdleQueue:
    return IdleQueue(tmp_path)


@pytest.fixture
def browser(queue: IdleQueue) -> Iterator[Any]:
    with visitor(queue) as client:
        yield client


def examined(queue: IdleQueue, name: str = "knob.stl", **more: Any) -> Work:
    work = queue.add(WorkKind.PART, "knob", {name: STL}, options={"file": name, "unit": "mm"})
    queue.finish(work, json.dumps({**PART, **more}).encode())
    return work


def test_the_bench_leads_on_from_the_first_part(browser: Any, queue: IdleQueue) -> None:
    part = examined(queue)
    assert f'<a class="button" href="/parts/{part.id}">' in browser.get("/").text


def test_every_page_that_needs_no_work_opens(browser: Any) -> None:
    for address in ("/", "/parts", "/plans", "/help", "/share"):
        answer = browser.get(address)
        assert answer.status_code == 200, address
        assert answer.text.count("<h1>") == 1
        assert '<html lang="en">' in answer.text


def test_pages_ask_no_other_site_and_hold_no_script_or_style_of_their_own(
    browser: Any, queue: IdleQueue
) -> None:
    part = examined(queue)
    for address in (
        "/",
        "/parts",
        "/help",
        "/share",
        f"/parts/{part.id}",
        f"/parts/{part.id}/plan",
    ):
        text = browser.get(address).text
        assert not re.search(r'(?:src|href|action)="(?:https?:)?//', text), address
        assert not re.search(r"<style|style=|<script(?![^>]*src=)|\son\w+=", text), address


def test_a_part_is_handed_in(browser: Any, queue: IdleQueue) -> None:
    answer = browser.post(
        "/parts",
        files={"file": ("knob.stl", STL)},
        data={"unit": "mm"},
        follow_redirects=False,
    )
    (work,) = queue.all()
    assert answer.headers["location"] == f"/parts/{work.id}"
    assert queue.folder.given(work.id).read("knob.stl", where="") == STL
    assert "Waiting" in browser.get(f"/parts/{work.id}").text


@pytest.mark.parametrize("name", ["../../etc/passwd", "a\\..\\b.stl", ".hidden", "x" * 200])
def test_a_file_name_never_leads_out(browser: Any, queue: IdleQueue, name: str) -> None:
    browser.post("/parts", files={"file": (name, STL)}, follow_redirects=False)
    root = queue.folder.root
    for path in root.rglob("*"):
        assert path.resolve().is_relative_to(root.resolve())
        assert path.name != "passwd" or path.parent.name == "given"


@pytest.mark.parametrize("id", ["part-000000000000", "..", "plan-zzz", "%2e%2e%2f%2e%2e"])
def test_unknown_work_is_a_plain_page(browser: Any, id: str) -> None:
    for address in (f"/parts/{id}", f"/plans/{id}", f"/work/{id}/progress", f"/work/{id}/view.bin"):
        answer = browser.get(address)
        assert answer.status_code == 404 or answer.url.path == "/", address


def test_the_report_of_a_part(browser: Any, queue: IdleQueue) -> None:
    text = browser.get(f"/parts/{examined(queue).id}").text
    assert "52 cm²" in text
    assert "24 mL" in text
    assert "Plan its plating" in text


def test_a_part_with_too_many_triangles_has_no_picture(browser: Any, queue: IdleQueue) -> None:
    work = examined(queue)
    assert "<part-view" in browser.get(f"/parts/{work.id}").text
    queue.folder.made(work.id)["view.bin"].unlink()
    text = browser.get(f"/parts/{work.id}").text
    assert "<part-view" not in text
    assert "too many triangles" in text


def test_a_guessed_unit_is_asked_about_before_a_plan(browser: Any, queue: IdleQueue) -> None:
    work = examined(queue, unit_guessed=True, unit_explanation="taken as mm by its size")
    text = browser.get(f"/parts/{work.id}").text
    assert "Taken as mm by its size." in text
    assert "Plan its plating" not in text
    assert text.count('name="unit"') == 4
    again = browser.post(f"/parts/{work.id}/unit", data={"unit": "in"}).url.path.split("/")[-1]
    assert again != work.id
    assert queue.get(again).order.options["unit"] == "in"
    assert queue.folder.given(again).read("knob.stl", where="") == STL
    assert browser.post(f"/parts/{work.id}/unit", data={"unit": "mile"}).status_code == 400


def test_what_a_file_is_called_cannot_become_markup(browser: Any, queue: IdleQueue) -> None:
    work = queue.add(WorkKind.PART, "<script>alert(1)</script>", {}, options={"file": "a.stl"})
    assert "<script>alert" not in browser.get(f"/parts/{work.id}").text


def test_the_form_has_every_field_with_its_default(browser: Any, queue: IdleQueue) -> None:
    text = browser.get(f"/parts/{examined(queue).id}/plan").text
    for key, field in FIELDS.items():
        assert f'name="{key}"' in text
        if field.kind is not None:
            assert f'value="{signed(field.default)}"' in text


def test_the_defaults_make_a_job(browser: Any, queue: IdleQueue) -> None:
    part = examined(queue)
    answer = browser.post(f"/parts/{part.id}/plan", data={}, follow_redirects=False)
    plan = queue.all()[0]
    assert answer.headers["location"] == f"/plans/{plan.id}"
    assert plan.order.part == part.id
    job = queue.folder.given(plan.id).read("job.toml", where="").decode()
    assert 'file = "knob.stl"' in job


def test_wrong_answers_come_back_with_a_sentence_each_and_all_that_was_typed(
    browser: Any, queue: IdleQueue
) -> None:
    part = examined(queue)
    typed = {"thickness": "120", "tank_length": "31,5 cm", "current_limit": "5 V"}
    answer = browser.post(f"/parts/{part.id}/plan", data=typed)
    assert answer.status_code == 400
    assert answer.text.count('aria-invalid="true"') == 2
    assert 'value="31,5 cm"' in answer.text
    assert len(queue.all()) == 1


def test_dangerous_answers_are_refused_in_words(browser: Any, queue: IdleQueue) -> None:
    part = examined(queue)
    answer = browser.post(f"/parts/{part.id}/plan", data={"voltage_limit": "400 V"})
    assert answer.status_code == 400
    assert "volt" in answer.text.lower()


@pytest.mark.parametrize(
    ("typed", "told"),
    [("0,12 mm", "Read as 120 µm"), ("120", "wrong"), ("12 kg", "wrong"), ("-3 um", "above zero")],
)
def test_the_live_check(browser: Any, typed: str, told: str) -> None:
    assert told in browser.get("/check", params={"thickness": typed}).text


def test_work_ends_in_words(browser: Any, queue: IdleQueue) -> None:
    work = queue.add(WorkKind.PART, "knob", {}, options={"file": "a.stl"})
    queue.end(work, WorkState.FAILED, "the file holds no triangles")
    text = browser.get(f"/parts/{work.id}").text
    assert "The file holds no triangles." in text
    assert browser.get(f"/work/{work.id}/progress").headers["HX-Redirect"] == f"/parts/{work.id}"


def test_work_is_stopped_and_forgotten(browser: Any, queue: IdleQueue) -> None:
    work = queue.add(WorkKind.PART, "knob", {}, options={"file": "a.stl"})
    assert "It was stopped" in browser.post(f"/work/{work.id}/cancel").text
    page = browser.post(f"/work/{work.id}/remove").text
    assert "Forgotten: knob." in page
    assert queue.all() == ()
    assert not (queue.folder.root / work.id).exists()
    assert f'action="/work/{work.id}/back"' in page
    assert "It was stopped" in browser.post(f"/work/{work.id}/back").text
    assert [one.id for one in queue.all()] == [work.id]


def test_a_page_that_is_not_there_says_so(browser: Any) -> None:
    answer = browser.get("/nowhere")
    assert answer.status_code == 404
    assert "There is no page /nowhere." in answer.text
