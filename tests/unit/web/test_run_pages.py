"""The pages of a run: what is to be done at each stage, and who may do it."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tankside.app.work.live_runs import RunView
from tankside.app.work.work import WorkKind
from tankside.web.access import Access, Role
from tankside.web.pages.runs import step_of
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


def view(stage: str, *, powered: bool = False, connected: bool = True) -> RunView:
    return RunView(
        id="run-000000000000", title="knob", supply="simulated", hurry=1.0, stage=stage,
        connected=connected, powered=powered, voltage=None, expected_voltage=None, current=None,
        set_current=2.0, charge=0.0, planned_charge=7200.0, share=0.0, to_go=3600.0, plated=0.0,
        alarms=(), warning="", told="", cautions=(),
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
        (view("ended"), []),
        (view("aborted"), []),
    ],
)
def test_what_can_be_done_at_each_stage(seen: RunView, words: list[str]) -> None:
    assert [word for word, _ in step_of(seen).buttons] == words
