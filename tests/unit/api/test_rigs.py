"""The rig's routes: begun from a part, checked, changed, planned, searched from."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tankside.app.work.work import WorkState
from tests.faces.conftest import JOB
from tests.unit.web.desk import IdleQueue, visitor
from tests.unit.web.test_rig_pages import FOUND, handed_in

BASE = "/api/v1"


@pytest.fixture
def queue(tmp_path: Path) -> IdleQueue:
    return IdleQueue(tmp_path / "work")


@pytest.fixture
def client(queue: IdleQueue) -> Iterator[Any]:
    with visitor(queue) as found:
        yield found


@pytest.fixture
def rig(client: Any, queue: IdleQueue) -> str:
    """The address of a rig that can be."""
    handed_in(queue)
    answer = client.post(f"{BASE}/rigs", json={"job": JOB, "name": "cube.toml"})
    assert answer.status_code == 201, answer.text
    assert answer.json()["name"] == "cube"
    return f"{BASE}/rigs/{answer.json()['id']}"


def test_a_rig_from_a_part_is_as_the_plans_form_would_hang_it(
    client: Any, queue: IdleQueue
) -> None:
    part = handed_in(queue)
    answer = client.post(
        f"{BASE}/parts/{part.id}/rigs", json={"name": "Upright", "answers": {"height": "10 cm"}}
    )
    assert answer.status_code == 201
    fields = client.get(f"{BASE}/rigs/{answer.json()['id']}/fields").json()
    assert {"part.0.middle.2": "100 mm"}.items() <= {f["key"]: f["answer"] for f in fields}.items()


def test_a_change_is_a_version(client: Any, rig: str) -> None:
    sent = {"version": 1, "answers": {"anode.0.at.0": "-12 cm"}, "act": "add:contact",
            "spot_m": [0.02, 0.0, 0.1]}  # fmt: skip
    answer = client.put(rig, json=sent)
    assert (answer.status_code, answer.json()["version"]) == (200, 2)
    assert '"-12 cm"' in client.get(rig).json()["job"]
    assert client.put(rig, json=sent).status_code == 400
    assert client.post(f"{rig}/versions/1").json()["job"] == JOB
    assert [one["version"] for one in client.get(f"{rig}/versions").json()] == [1, 2, 3]


def test_a_check_keeps_nothing(client: Any, rig: str) -> None:
    found = client.post(f"{rig}/check", json={"answers": {"anode.0.at.0": "0 cm"}}).json()
    assert "overlaps" in found["refusal"]
    wrong = client.post(f"{rig}/check", json={"answers": {"anode.0.at.0": "far"}}).json()
    assert list(wrong["faults"]) == ["anode.0.at.0"]
    assert client.get(rig).json()["version"] == 1


def test_what_cannot_be_is_a_conflict(client: Any, rig: str) -> None:
    client.put(rig, json={"version": 1, "answers": {"anode.0.at.0": "0 cm"}})
    for order in ("plans", "searches"):
        answer = client.post(f"{rig}/{order}", json={})
        assert answer.status_code == 409
        assert "overlaps" in answer.json()["error"]


def test_a_plan_and_a_search_are_ordered(client: Any, queue: IdleQueue, rig: str) -> None:
    plan = client.post(f"{rig}/plans")
    assert (plan.status_code, plan.json()["kind"]) == (202, "plan")
    region = {"kind": "hidden", "centre_m": [0, 0, 0.12], "radius_m": 0.01}
    wish = {"goal": "even", "minutes": 1, "regions": [region]}
    search = client.post(f"{rig}/searches", json=wish)
    assert (search.status_code, search.json()["kind"]) == (202, "rig")
    work = queue.get(search.json()["id"])
    assert client.post(f"{BASE}/searches/{work.id}/rigs/1").status_code == 400
    better = JOB.replace("-13 cm", "-11 cm").encode()
    queue.folder.keep(work.id, {"rig-1.toml": better, "result.json": json.dumps(FOUND).encode()})
    queue.end(work, WorkState.DONE)
    taken = client.post(f"{BASE}/searches/{work.id}/rigs/1")
    assert (taken.status_code, taken.json()["version"]) == (200, 2)


@pytest.mark.parametrize("wish", [{"goal": "pretty"}, {"allow": []}, {"minutes": 1e9}])
def test_a_search_that_cannot_be_is_refused(client: Any, rig: str, wish: dict[str, Any]) -> None:
    answer = client.post(f"{rig}/searches", json=wish)
    assert answer.status_code in (400, 404)
    assert answer.json()["error"]


def test_a_rig_is_renamed_put_away_and_taken_back(client: Any, rig: str) -> None:
    assert client.put(f"{rig}/name", json={"name": "Upright"}).json()["name"] == "Upright"
    assert client.delete(rig).json()["archived"]
    assert client.get(f"{BASE}/rigs").json() == []
    assert client.get(rig).json()["name"] == "Upright"
    assert not client.post(f"{rig}/back").json()["archived"]
    assert [one["name"] for one in client.get(f"{BASE}/rigs").json()] == ["Upright"]


def test_a_rig_is_drawn_and_told_in_metres(client: Any, rig: str) -> None:
    told = client.get(f"{rig}/drawing").json()
    assert told["tank"]["liquid_depth_m"] > 0
    (contact,) = told["contacts"]
    assert contact["place"] == "near the top, facing up"
    part = next(one for one in told["bodies"] if one["mark"] == "P1")
    expected = told["tank"]["liquid_depth_m"] - part["bottom_over_floor_m"] - part["size_m"][2]
    assert part["top_under_liquid_m"] == pytest.approx(expected)
    assert told["sheets_svg"][0].startswith("<svg")
