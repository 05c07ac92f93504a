"""The pages of a run: what is to be done at each stage, and who may do it."""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tankside.app.work.live_runs import RunView
from tankside.app.work.work import WorkKind
from tankside.web.access import Access, Role
from tankside.web.pages.run_words import alarms_key, step_key, step_of
from tests.unit.app.work.test_live_runs import order
from tests.unit.web.desk import IdleQueue, visitor


@pytest.fixture
def queue(tmp_path: Path) -> IdleQueue:
    return IdleQueue(tmp_path / "work")


@pytest.fixture
def browser(queue: IdleQueue) -> Iterator[Any]:
    with visitor(queue) as client:
        yield client


def planned(queue: IdleQueue) -> str:
    work = queue.add(WorkKind.PLAN, "knob", {}, options={"job": "job.toml"})
    queue.finish(work, b"{}")
    queue.folder.keep(work.id, {"run-order.json": json.dumps(order()).encode()})
    return work.id


def view(stage: str, *, powered: bool = False, connected: bool = True, **more: Any) -> RunView:
    return RunView(
        id="run-000000000000", title="knob", supply="simulated", hurry=1.0, stage=stage,
        connected=connected, powered=powered, voltage=None, expected_voltage=None, current=None,
        set_current=2.0, charge=0.0, planned_charge=7200.0, share=more.pop("share", 0.0),
        to_go=3600.0, plated=0.0,
        alarms=(), warning="", told="", cautions=(), **more,
    )  # fmt: skip


def test_a_plan_becomes_a_run_that_is_not_switched_on(browser: Any, queue: IdleQueue) -> None:
    id = planned(queue)
    assert "simulated" in browser.get(f"/plans/{id}/run").text
    page = browser.post(f"/plans/{id}/run", data={"supply": "simulated", "hurry": "60"})
    assert "Wear goggles." in page.text
    assert "1:00:00" in page.text
    assert "Switch the output on" in page.text
    assert "knob" in browser.get("/runs").text
    run = page.url.path
    assert browser.get(f"{run}/now").text.count("figures") == 1
    assert browser.get(f"{run}/chart").json()["time_h"] == []


def test_a_plan_that_is_not_done_becomes_none(browser: Any, queue: IdleQueue) -> None:
    work = queue.add(WorkKind.PLAN, "knob", {}, options={"job": "job.toml"})
    assert browser.post(f"/plans/{work.id}/run", data={"supply": "simulated"}).status_code == 400


@pytest.mark.parametrize("hurry", ["0", "-1", "1e9", "nan", "fast"])
def test_odd_hurries_are_refused(browser: Any, queue: IdleQueue, hurry: str) -> None:
    data = {"supply": "simulated", "hurry": hurry}
    assert browser.post(f"/plans/{planned(queue)}/run", data=data).status_code == 400
    assert "No run yet" in browser.get("/runs").text


def test_what_is_refused_leads_back_to_where_it_was_sent_from(
    browser: Any, queue: IdleQueue
) -> None:
    data = {"supply": "simulated", "hurry": "fast"}
    place = f"/plans/{planned(queue)}/run"
    home = str(browser.base_url).rstrip("/")
    answer = browser.post(place, data=data, headers={"referer": f"{home}/plans?x=1"})
    assert '<a class="button" href="/plans?x=1">' in answer.text
    foreign = browser.post(place, data=data, headers={"referer": "http://elsewhere.example/plans"})
    assert "elsewhere" not in foreign.text


def test_who_may_look_steers_no_run(tmp_path: Path, queue: IdleQueue) -> None:
    access = Access.shared(["192.0.2.7"])
    with visitor(queue) as owner:
        made = owner.post(f"/plans/{planned(queue)}/run", data={"supply": "simulated"})
        run = made.url.path
    with visitor(queue, access, peer="192.0.2.50", host="192.0.2.7") as phone:
        phone.get(f"/?key={access.keys[Role.LOOK]}")
        seen = phone.get(run)
        assert seen.status_code == 200
        assert "Switch the output on" not in seen.text
        assert phone.post(f"{run}/wish", data={"word": "begin"}).status_code == 403


@pytest.mark.parametrize(
    ("seen", "words"),
    [
        (view("planned"), ["begin", "abort"]),
        (view("entry", powered=True), ["immersed", "abort"]),
        (view("entry"), ["resume", "abort"]),
        (view("ramp", powered=True), ["pause", "abort"]),
        (view("plating", powered=True), ["pause", "abort"]),
        (view("plating", connected=False), ["resume", "abort"]),
        (view("paused"), ["resume", "abort"]),
        (view("paused", immersed=True), ["resume", "lifted", "abort"]),
        (view("paused", powered=True), ["immersed", "abort"]),
        (view("ended"), []),
        (view("ended", immersed=True), ["lifted"]),
        (view("planned", by_hand=True), ["begin", "abort"]),
        (view("plating", by_hand=True, powered=True), ["pause", "end", "abort"]),
        (view("plating", by_hand=True, powered=True, share=1.0), ["end", "pause", "abort"]),
        (view("aborted"), []),
    ],
)
def test_what_can_be_done_at_each_stage(seen: RunView, words: list[str]) -> None:
    assert [word for word, _ in step_of(seen).buttons] == words


def by_hand(browser: Any, queue: IdleQueue) -> str:
    """The address of a run by hand whose part is in the bath."""
    page = browser.post(f"/plans/{planned(queue)}/run", data={"supply": "by hand"})
    assert "Set 2 A and a ceiling of 3 V" in page.text
    run = str(page.url.path)
    for word in ("begin", "immersed"):
        page = browser.post(f"{run}/wish", data={"word": word})
    assert "Hold 2 A, with a ceiling of 3 V" in page.text
    return run


def test_readings_by_hand_are_taken_in_together_or_told(browser: Any, queue: IdleQueue) -> None:
    run = by_hand(browser, queue)
    good = {"volts": "0,4", "amps": "2"}
    wrong = browser.post(f"{run}/readings", json={"readings": [good, {"volts": "x", "amps": "2"}]})
    assert (wrong.status_code, wrong.json()["place"]) == (400, 1)
    kept = browser.post(f"{run}/readings", json={"readings": [good]})
    assert kept.json() == {"kept": 1}
    assert "0.4 V" in browser.get(f"{run}/now").text


def test_a_reading_without_scripts(browser: Any, queue: IdleQueue) -> None:
    run = by_hand(browser, queue)
    page = browser.post(f"{run}/read", data={"volts": "0.4", "amps": "0,01", "bath": "24 °C"})
    assert "Hardly any current flows" in page.text
    assert "I have seen it" in page.text
    assert "I have seen it" not in browser.post(f"{run}/wish", data={"word": "answered"}).text


def test_the_piece_brings_only_what_changed(browser: Any, queue: IdleQueue) -> None:
    run = by_hand(browser, queue)
    found = re.search(r"step=(\w+)&amp;alarms=(\w+)", browser.get(run).text)
    assert found is not None
    same = browser.get(f"{run}/now?step={found[1]}&alarms={found[2]}").text
    assert "hx-swap-oob" not in same
    browser.post(f"{run}/read", data={"volts": "3", "amps": "0.01"})
    later = browser.get(f"{run}/now?step={found[1]}&alarms={found[2]}").text
    assert 'id="alarms" hx-swap-oob' in later.replace("\n", "")


def test_keys_change_with_what_they_stand_for() -> None:
    first = view("plating", powered=True)
    assert step_key(first) == step_key(view("plating", powered=True))
    assert step_key(first) != step_key(view("paused"))
    assert alarms_key(first) != alarms_key(view("plating", powered=True, unseen=1))


def test_a_loggers_file_is_looked_at_and_taken_in(browser: Any, queue: IdleQueue) -> None:
    page = browser.post(f"/plans/{planned(queue)}/run", data={"supply": "a logger"})
    log = str(page.url.path)
    assert log.endswith("/log")
    rows = "\n".join(f"{60 * k};0,40;2,0" for k in range(61))
    file = {"file": ("l.csv", f"seconds;U_V;I_A\n{rows}\n".encode())}
    page = browser.post(f"{log}/file", files=file)
    assert "say when that was" in page.text
    page = browser.get(f"{log}?start=2026-03-01 18:30")
    assert ">61<" in page.text
    data = {"time": "seconds", "voltage": "U_V", "current": "I_A", "start": "2026-03-01 18:30"}
    page = browser.post(log, data=data)
    assert "Done" in page.text
    assert "of 2 Ah" in page.text
    assert browser.get(log.removesuffix("/log") + "/record.pdf").content.startswith(b"%PDF")
    assert browser.post(log, data=data).status_code == 400


def test_a_file_that_is_no_log_is_refused(browser: Any, queue: IdleQueue) -> None:
    page = browser.post(f"/plans/{planned(queue)}/run", data={"supply": "a logger"})
    log = str(page.url.path)
    assert browser.post(f"{log}/file", files={"file": ("l.csv", b"\x00")}).status_code == 400
