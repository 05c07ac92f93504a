"""The API: orders, where they stand, results, checks, and refusals in one form."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tankside.app.work.work import WorkState
from tests.unit.web.desk import PART, IdleQueue, visitor

BASE = "/api/v1"


@pytest.fixture
def queue(tmp_path: Path) -> IdleQueue:
    return IdleQueue(tmp_path)


@pytest.fixture
def client(queue: IdleQueue) -> Iterator[Any]:
    with visitor(queue) as found:
        yield found


def handed_in(client: Any) -> str:
    answer = client.post(f"{BASE}/parts", files={"file": ("knob.stl", b"solid")})
    assert answer.status_code == 202
    return str(answer.json()["id"])


def test_the_description_names_every_address(client: Any) -> None:
    paths = client.get(f"{BASE}/openapi.json").json()["paths"]
    assert {"/parts", "/parts/{id}/plans", "/plans", "/work", "/work/{id}", "/quantity"} <= set(
        paths
    )
    for operations in paths.values():
        for operation in operations.values():
            assert operation["description"]


def test_a_part_then_its_plan(client: Any, queue: IdleQueue) -> None:
    part = handed_in(client)
    early = client.post(f"{BASE}/parts/{part}/plans", json={})
    assert early.status_code == 400
    queue.finish(queue.get(part), json.dumps(PART).encode())
    assert client.get(f"{BASE}/work/{part}/result").json() == PART
    late = client.post(f"{BASE}/parts/{part}/plans", json={"answers": {"thickness": "0,2 mm"}})
    assert late.status_code == 202
    assert late.json()["part"] == part
    job = queue.folder.given(late.json()["id"]).read("job.toml", where="").decode()
    assert 'thickness = "0,2 mm"' in job


def test_wrong_answers_are_told_by_field(client: Any, queue: IdleQueue) -> None:
    part = handed_in(client)
    queue.finish(queue.get(part), json.dumps(PART).encode())
    answer = client.post(f"{BASE}/parts/{part}/plans", json={"answers": {"thickness": "thick"}})
    assert answer.status_code == 400
    assert set(answer.json()["fields"]) == {"thickness"}


def test_a_job_file_with_its_mesh(client: Any, queue: IdleQueue) -> None:
    job = client.get(f"{BASE}/plan-form").json()
    assert job["thickness"] == "120 um"
    bad = client.post(
        f"{BASE}/plans", data={"job": "[bath]"}, files={"files": ("knob.stl", b"solid")}
    )
    assert bad.status_code == 400
    assert "job.toml" in bad.json()["error"]
    assert queue.all() == ()


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("0,5 mm", "length", 5e-4),
        ("75 g/L", "mass_concentration", 75.0),
        ("77 degF", "temperature", 298.15),
    ],
)
def test_quantities(client: Any, text: str, kind: str, value: float) -> None:
    answer = client.get(f"{BASE}/quantity", params={"text": text, "kind": kind}).json()
    assert answer["value_SI"] == pytest.approx(value)


@pytest.mark.parametrize(
    ("address", "status"),
    [
        ("/quantity?text=5&kind=length", 400),
        ("/quantity?text=5+m&kind=lenght", 404),
        ("/quantity?text=5+m", 400),
        ("/work/part-000000000000", 404),
        ("/work/..%2f..%2fetc/result", 404),
        ("/plan-form/thikness?text=1", 404),
        ("/nowhere", 404),
        ("/runs/a%0Ab/samples", 404),
    ],
)
def test_refusals_have_one_form(client: Any, address: str, status: int) -> None:
    answer = client.get(BASE + address)
    assert answer.status_code == status
    if "%2f" not in address:
        assert answer.json()["error"]


def test_files_are_named_ones_only(client: Any, queue: IdleQueue) -> None:
    part = handed_in(client)
    queue.finish(queue.get(part), b"{}")
    assert client.get(f"{BASE}/work/{part}/files/view.bin").content == b"TKV1"
    assert client.get(f"{BASE}/work/{part}/files/order.json").status_code == 404


def test_cancel_then_remove(client: Any, queue: IdleQueue) -> None:
    part = handed_in(client)
    assert client.delete(f"{BASE}/work/{part}").status_code == 400
    assert client.post(f"{BASE}/work/{part}/cancel").json()["state"] == WorkState.CANCELLED
    assert client.delete(f"{BASE}/work/{part}").status_code == 204
    assert client.get(f"{BASE}/work").json() == []
    assert client.post(f"{BASE}/work/{part}/back").json()["id"] == part
    assert [one["id"] for one in client.get(f"{BASE}/work").json()] == [part]


def test_so_many_orders_wait_and_no_more(client: Any) -> None:
    for _ in range(20):
        handed_in(client)
    answer = client.post(f"{BASE}/parts", files={"file": ("knob.stl", b"solid")})
    assert answer.status_code == 400
    assert "20 orders wait" in answer.json()["error"]


def test_a_body_that_cannot_be_read_is_refused_in_the_same_form(client: Any) -> None:
    for content in (b"\xff\x00{", b"{", b"[]", b""):
        headers = {"content-type": "application/json"}
        answer = client.post(f"{BASE}/jobs/check", content=content, headers=headers)
        assert answer.status_code == 400
        assert set(answer.json()) == {"error", "fields"}
