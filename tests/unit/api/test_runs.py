"""Runs by the API: made from a plan, seen, steered; refused in one form."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tankside.app.work.work import WorkKind
from tests.unit.app.work.test_live_runs import order
from tests.unit.web.desk import IdleQueue, visitor

BASE = "/api/v1"


@pytest.fixture
def queue(tmp_path: Path) -> IdleQueue:
    return IdleQueue(tmp_path / "work")


@pytest.fixture
def client(queue: IdleQueue) -> Iterator[Any]:
    with visitor(queue) as found:
        yield found


def planned(queue: IdleQueue) -> str:
    work = queue.add(WorkKind.PLAN, "knob", {}, options={"job": "job.toml"})
    queue.finish(work, b"{}")
    queue.folder.keep(work.id, {"run-order.json": json.dumps(order()).encode()})
    return work.id


def test_a_run_is_made_and_seen(client: Any, queue: IdleQueue) -> None:
    made = client.post(f"{BASE}/plans/{planned(queue)}/runs", json={"hurry": 60}).json()
    assert (made["stage"], made["powered"], made["planned_charge_Ah"]) == ("planned", False, 2.0)
    assert client.get(f"{BASE}/runs/{made['id']}").json() == made
    assert client.get(f"{BASE}/runs").json() == [made]
    assert client.get(f"{BASE}/runs/{made['id']}/samples").json()["time_h"] == []


def test_a_plan_that_is_not_done_makes_no_run(client: Any, queue: IdleQueue) -> None:
    work = queue.add(WorkKind.PLAN, "knob", {}, options={"job": "job.toml"})
    assert client.post(f"{BASE}/plans/{work.id}/runs", json={}).status_code == 400
    assert client.get(f"{BASE}/runs").json() == []


@pytest.mark.parametrize(
    ("word", "status"), [("explode", 400), ("immersed", 400), ("resume", 400), ("pause", 200)]
)
def test_what_cannot_be_done_now_is_told(
    client: Any, queue: IdleQueue, word: str, status: int
) -> None:
    run = client.post(f"{BASE}/plans/{planned(queue)}/runs", json={"hurry": 600}).json()["id"]
    answer = client.post(f"{BASE}/runs/{run}/wishes", json={"word": word})
    assert answer.status_code == status
    assert status == 200 or answer.json()["error"]
    assert client.get(f"{BASE}/runs/{run}").json()["powered"] is False


def test_unknown_runs(client: Any) -> None:
    assert client.get(f"{BASE}/runs/run-000000000000").status_code == 404
    assert client.post(f"{BASE}/runs/x/wishes", json={"word": "begin"}).status_code == 404
