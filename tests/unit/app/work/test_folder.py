"""What is kept on disk survives its server, and nothing leads out of it."""

import json
import time
from pathlib import Path

import pytest

from tankside.app.work.folder import KEPT_FORGOTTEN_S, WorkFolder, plain_name
from tankside.app.work.queue import WorkQueue
from tankside.app.work.work import Fault, Order, Standing, WorkKind, WorkState
from tankside.base.errors import BadInput, UnknownName


def order(number: int = 1, **more: object) -> Order:
    return Order(
        id=f"part-{number:012x}",
        kind=WorkKind.PART,
        title=f"part {number}",
        created=float(number),
        **more,  # type: ignore[arg-type]
    )


def test_an_order_comes_back_as_it_was_given(tmp_path: Path) -> None:
    given = order(options={"file": "a.stl", "unit": "mm"})
    WorkFolder(tmp_path).add(given, {"a.stl": b"mesh"})
    (found,) = WorkFolder(tmp_path).all()
    assert found.order == given
    assert found.standing == Standing()
    assert WorkFolder(tmp_path).given(given.id).read("a.stl", where="") == b"mesh"


def test_all_come_in_their_order(tmp_path: Path) -> None:
    folder = WorkFolder(tmp_path)
    for number in (3, 1, 2):
        folder.add(order(number), {})
    assert [work.order.title for work in folder.all()] == ["part 1", "part 2", "part 3"]


@pytest.mark.parametrize("spoil", ["order.json", "standing.json"])
@pytest.mark.parametrize("content", [b"", b"{", b"[]", b'{"id": 1}', None])
def test_a_folder_that_was_cut_off_is_no_work(
    tmp_path: Path, spoil: str, content: bytes | None
) -> None:
    folder = WorkFolder(tmp_path)
    folder.add(order(1), {})
    folder.add(order(2), {})
    path = tmp_path / order(1).id / spoil
    if content is None:
        path.unlink()
    else:
        path.write_bytes(content)
    assert [work.order.title for work in folder.all()] == ["part 2"]


@pytest.mark.parametrize("name", ["../x", "a/b", "a\\b", "", ".", "..", ".x", "a\0b", "c:x"])
def test_names_that_lead_elsewhere_are_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(BadInput):
        plain_name(name)
    folder = WorkFolder(tmp_path)
    folder.add(order(), {})
    with pytest.raises(BadInput):
        folder.given(order().id).read(name, where="")


@pytest.mark.parametrize("id", ["..", "part-1", "part-00000000000g", "", "part-000000000001/.."])
def test_ids_that_lead_elsewhere_are_refused(tmp_path: Path, id: str) -> None:
    with pytest.raises(BadInput):
        WorkFolder(tmp_path).ask_to_cancel(id)


def test_removed_work_is_gone(tmp_path: Path) -> None:
    folder = WorkFolder(tmp_path)
    folder.add(order(), {"a.stl": b"mesh"})
    folder.remove(order().id)
    assert list(folder.all()) == []
    assert not folder.of(order().id).exists()


def test_removed_work_can_be_brought_back_for_a_month(tmp_path: Path) -> None:
    folder = WorkFolder(tmp_path)
    work = folder.add(order(), {"a.stl": b"mesh"})
    folder.remove(work.id)
    folder.forget_for_good(time.time() + KEPT_FORGOTTEN_S - 60.0)
    assert folder.bring_back(work.id) == work
    assert folder.given(work.id).read("a.stl", where="") == b"mesh"
    folder.remove(work.id)
    folder.forget_for_good(time.time() + KEPT_FORGOTTEN_S + 60.0)
    assert folder.forgotten(work.id) is None
    with pytest.raises(UnknownName):
        folder.bring_back(work.id)


def test_work_that_ran_when_its_server_ended_waits_again_once(tmp_path: Path) -> None:
    folder = WorkFolder(tmp_path)
    folder.add(order(1), {})
    folder.add(order(2), {})
    folder.stand(order(1).id, Standing(state=WorkState.RUNNING, attempts=1, stage="measuring"))
    folder.stand(order(2).id, Standing(state=WorkState.RUNNING, attempts=2))
    queue = WorkQueue(tmp_path, tools=None)  # type: ignore[arg-type]
    first, second = queue.get(order(1).id), queue.get(order(2).id)
    assert (first.state, first.standing.stage) == (WorkState.QUEUED, "")
    assert (second.state, second.standing.fault) == (WorkState.FAILED, Fault.OURS)
    held = json.loads((tmp_path / order(2).id / "standing.json").read_text("utf-8"))
    assert held["state"] == "failed"


def test_unknown_work_is_told(tmp_path: Path) -> None:
    with pytest.raises(UnknownName):
        WorkQueue(tmp_path, tools=None).get("part-000000000000")  # type: ignore[arg-type]
