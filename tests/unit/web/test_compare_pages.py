"""Plans beside each other, and a plan's alternatives, on their pages and over the API."""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tankside.app.store_records import Document, PlanRecord
from tankside.app.work.order_plans import add_plan
from tankside.app.work.work import Work, WorkState
from tests.unit.web.desk import IdleQueue, visitor
from tests.unit.web.replies import a_plan, slower
from tests.unit.web.test_pages import examined


@pytest.fixture
def queue(tmp_path: Path) -> IdleQueue:
    return IdleQueue(tmp_path / "work")


@pytest.fixture
def browser(queue: IdleQueue) -> Iterator[Any]:
    with visitor(queue) as client:
        yield client


def planned(queue: IdleQueue, reply: dict[str, Any]) -> Work:
    plan = add_plan(queue, examined(queue), {})
    queue.finish(plan, json.dumps(reply).encode())
    return plan


def text_of(answer: Any) -> str:
    assert answer.status_code == 200
    return " ".join(re.sub(r"<[^>]+>", " ", answer.text).split())


def test_two_plans_beside_each_other(browser: Any, queue: IdleQueue) -> None:
    one, other = planned(queue, a_plan()), planned(queue, slower())
    answer = browser.get("/plans/compare", params={"plan": [one.id, other.id]})
    said = text_of(answer)
    assert "Thinnest place 60 µm 75 µm +15 µm better" in said
    assert "Time 10 h 16.7 h +6.7 h worse" in said
    assert "Surface that burns none none" in said
    assert answer.text.count("<part-view") == 3
    assert f'against="/work/{one.id}/view.bin"' in answer.text
    assert "No cost: no price is noted yet." in said


def test_the_difference_has_the_readers_units_and_prices(browser: Any, queue: IdleQueue) -> None:
    one, other = planned(queue, a_plan()), planned(queue, slower())
    form = {"units": "US", "mark": "comma", "paper": "a4", "language": "en"}
    browser.post("/settings", data=form)
    browser.put("/api/v1/prices", json={"copper": "12 EUR/kg", "electricity": "0.3 EUR/kWh"})
    said = text_of(browser.get("/plans/compare", params={"plan": [one.id, other.id]}))
    assert "2,36 mil 2,95 mil +0,591 mil" in said
    assert "EUR" in said


def test_one_plan_asks_for_another_and_the_same_is_told(browser: Any, queue: IdleQueue) -> None:
    assert "It takes two plans" in browser.get("/plans/compare").text
    one = planned(queue, a_plan())
    planned(queue, slower())
    assert "choose a plan" in browser.get("/plans/compare", params={"plan": one.id}).text
    twice = browser.get("/plans/compare", params={"plan": [one.id, one.id]}).text
    assert "This is the same plan twice" in twice


def test_plans_that_are_not_there_or_not_done_are_refused(browser: Any, queue: IdleQueue) -> None:
    waiting = add_plan(queue, examined(queue), {})
    assert browser.get("/plans/compare", params={"plan": waiting.id}).status_code == 400
    assert browser.get("/plans/compare", params={"plan": "plan-000000000000"}).status_code == 404
    for key in ("kept-none", "kept-../../etc"):
        assert browser.get("/plans/compare", params={"plan": key}).status_code in (400, 404)


def test_a_plan_of_the_store_is_compared_with_its_picture(browser: Any, queue: IdleQueue) -> None:
    here = planned(queue, a_plan())
    store = browser.place.store
    view = store.keep_file(b"TKV2 and so on", name="view.bin", mime="application/octet-stream")
    record = PlanRecord(
        job_text="another job", reply=Document.of(slower()), made_by="x", files=(view,)
    )
    key = f"kept-{store.plans.add('last year', record).id}"
    answer = browser.get("/plans/compare", params={"plan": [here.id, key]})
    assert "last year" in answer.text
    assert browser.get(f"/plans/kept/{key}/view.bin").content == b"TKV2 and so on"
    listed = browser.get("/api/v1/plans").json()
    assert [one["title"] for one in listed] == ["last year", "knob"]
    figures = browser.get("/api/v1/plans/compare", params={"plan": [here.id, key]}).json()
    assert figures["plans"][1]["name"] == "last year"


def test_the_same_over_the_api(browser: Any, queue: IdleQueue) -> None:
    one, other = planned(queue, a_plan()), planned(queue, slower())
    found = browser.get("/api/v1/plans/compare", params={"plan": [one.id, other.id]}).json()
    figures = {figure["key"]: figure for figure in found["figures"]}
    assert figures["current_A"]["values"] == pytest.approx([0.5, 0.3])
    assert figures["spread"]["differences"] == pytest.approx([0, -0.5])
    for keys in ([one.id], [one.id, "plan-000000000000"], ["../x", one.id]):
        answer = browser.get("/api/v1/plans/compare", params={"plan": keys})
        assert answer.status_code in (400, 404)
        assert answer.json()["error"]


def test_alternatives_are_asked_for_by_one_press(browser: Any, queue: IdleQueue) -> None:
    plan = planned(queue, a_plan())
    page = browser.get(f"/plans/{plan.id}").text
    assert page.count('name="kind"') == 6
    answer = browser.post(
        f"/plans/{plan.id}/alternatives",
        data={"kind": ["slower", "throw"]},
        follow_redirects=False,
    )
    assert answer.headers["location"] == f"/plans/{plan.id}#alternatives"
    piece = browser.get(f"/plans/{plan.id}/alternatives")
    assert 'hx-trigger="every 2s"' in piece.text
    assert piece.text.count('name="kind"') == 4
    assert "Slower, at 60 % of the current" in text_of(piece)


def test_alternatives_stand_beside_with_what_is_gained_and_lost(
    browser: Any, queue: IdleQueue
) -> None:
    plan = planned(queue, a_plan())
    browser.post(f"/plans/{plan.id}/alternatives", data={"kind": ["slower", "throw"]})
    by_kind = {
        one.order.options["alternative"]["kind"]: one
        for one in queue.all()
        if "alternative" in one.order.options
    }
    queue.finish(by_kind["slower"], json.dumps(slower()).encode())
    queue.end(by_kind["throw"], WorkState.FAILED, "the bath freezes")
    piece = browser.get(f"/plans/{plan.id}/alternatives")
    said = text_of(piece)
    assert "hx-trigger" not in piece.text
    assert "Gained: Thinnest place +15 µm" in said
    assert "Lost: Time +6.7 h" in said
    assert "failed: The bath freezes." in said
    assert 'value="throw"' in piece.text  # may be tried again
    own = browser.get(f"/plans/{by_kind['slower'].id}").text
    assert f"/plans/compare?plan={plan.id}&amp;plan={by_kind['slower'].id}" in own
    assert "knob: Slower, at 60 % of the current" in browser.get("/plans").text


def test_alternatives_over_the_api(browser: Any, queue: IdleQueue) -> None:
    plan = planned(queue, a_plan())
    offered = browser.get(f"/api/v1/plans/{plan.id}/alternatives").json()
    assert [one["state"] for one in offered] == [None] * 6
    assert all(one["why"] and one["source"] for one in offered)
    sent = browser.post(f"/api/v1/plans/{plan.id}/alternatives", json={"kinds": ["warmer"]})
    assert sent.status_code == 202
    assert sent.json()[0]["state"] == "queued"
    wrong = browser.post(f"/api/v1/plans/{plan.id}/alternatives", json={"kinds": ["magic"]})
    assert wrong.status_code == 404
    assert (
        browser.post(f"/api/v1/plans/{plan.id}/alternatives", json={"kinds": []}).status_code == 400
    )
