"""Long work in its own process: done, refused, stopped, killed, and gone on with."""

import os
import signal
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tankside.app.work import queue as queue_module
from tankside.app.work.queue import (
    LEAST_MEMORY,
    MOST_MEMORY,
    Limits,
    WorkQueue,
    memory_to_take,
)
from tankside.app.work.work import Fault, Work, WorkKind, WorkState
from tankside.main import _LocalTools


def box_stl(*size: float) -> bytes:
    """A box as a binary STL file, in millimetres."""
    from manifold3d import Manifold

    mesh = Manifold.cube(size).to_mesh()
    corners = np.asarray(mesh.vert_properties)[:, :3][np.asarray(mesh.tri_verts)]
    record = np.zeros(len(corners), np.dtype([("n", "<f4", 3), ("c", "<f4", (3, 3)), ("a", "<u2")]))
    record["c"] = corners
    return bytes(80) + len(corners).to_bytes(4, "little") + record.tobytes()


class SlowTools(_LocalTools):
    """Sheets that never come, to have work that lasts."""

    def sheets(self) -> Any:
        return _NoSheets()


class HungryTools(_LocalTools):
    """Sheets that want more memory than they may take."""

    def sheets(self) -> Any:
        return _HungrySheets()


class _HungrySheets:
    def view_of_part(self, mesh: object) -> bytes:
        return bytes(np.empty(LEAST_MEMORY + 2**30, np.uint8)[:1])  # never touched, so never used


class _NoSheets:
    def view_of_part(self, mesh: object) -> bytes:
        time.sleep(600)
        return b""


@pytest.fixture
def started(tmp_path: Path) -> Iterator[Callable[..., WorkQueue]]:
    made: list[WorkQueue] = []

    def start(tools: Any = None, **limits: Any) -> WorkQueue:
        made.append(WorkQueue(tmp_path, tools or _LocalTools(), Limits(**limits)))
        made[-1].start()
        return made[-1]

    yield start
    for queue in made:
        queue.close()


def part(queue: WorkQueue, content: bytes) -> Work:
    return queue.add(WorkKind.PART, "box", {"box.stl": content}, options={"file": "box.stl"})


def until(told: Callable[[], bool], seconds: float = 90.0) -> None:
    end = time.monotonic() + seconds
    while not told():
        assert time.monotonic() < end, "it did not come"
        time.sleep(0.05)


def over(queue: WorkQueue, work: Work) -> Work:
    until(lambda: queue.get(work.id).state.over)
    return queue.get(work.id)


def test_two_parts_one_good_one_bad(started: Callable[..., WorkQueue]) -> None:
    queue = started()
    bad = part(queue, b"solid nothing\nendsolid nothing\n")
    good = part(queue, box_stl(40.0, 30.0, 20.0))
    assert queue.ahead(good.id) == 1
    failed = over(queue, bad)
    assert (failed.state, failed.standing.fault) == (WorkState.FAILED, Fault.INPUT)
    assert "box.stl" in failed.standing.error
    assert over(queue, good).state is WorkState.DONE
    result = queue.folder.result(good.id)
    assert result["measures"]["wet_area_m2"] == pytest.approx(0.0052, rel=1e-6)
    assert np.array(result["box_high_m"]) - result["box_low_m"] == pytest.approx([0.04, 0.03, 0.02])
    assert queue.folder.made(good.id)["view.bin"].read_bytes().startswith(b"TKV2")
    later = part(queue, box_stl(40.0, 30.0, 20.0))
    assert over(queue, later).state is WorkState.DONE
    assert later.standing.attempts + 1 == queue.get(later.id).standing.attempts


def test_work_that_hangs_is_stopped_on_wish_and_the_next_goes_on(
    started: Callable[..., WorkQueue], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(queue_module, "GRACE_S", 0.5)
    queue = started(SlowTools())
    first, second = part(queue, box_stl(9.0, 9.0, 9.0)), part(queue, b"solid\nendsolid\n")
    until(lambda: queue.get(first.id).standing.stage != "")
    queue.cancel(first.id)
    assert over(queue, first).state is WorkState.CANCELLED
    assert queue.folder.made(first.id) == {}
    assert over(queue, second).state is WorkState.FAILED


def test_work_has_an_end(started: Callable[..., WorkQueue]) -> None:
    queue = started(SlowTools(), seconds=6.0)
    ended = over(queue, part(queue, box_stl(9.0, 9.0, 9.0)))
    assert ended.state is WorkState.FAILED
    assert "not done within 6 s" in ended.standing.error


@pytest.mark.skipif(os.name == "nt", reason="memory is not capped there")
def test_work_that_wants_more_memory_than_it_may_take_is_told(
    started: Callable[..., WorkQueue],
) -> None:
    queue = started(HungryTools(), memory=LEAST_MEMORY)
    ended = over(queue, part(queue, box_stl(9.0, 9.0, 9.0)))
    assert (ended.state, ended.standing.fault) == (WorkState.FAILED, Fault.INPUT)
    assert "more memory than the server may take" in ended.standing.error
    assert over(queue, part(queue, b"solid\nendsolid\n")).state is WorkState.FAILED, "it lives on"


def test_the_cap_of_memory_fits_the_machine() -> None:
    assert LEAST_MEMORY <= memory_to_take() <= MOST_MEMORY
    assert Limits().memory == memory_to_take()


@pytest.mark.skipif(os.name == "nt", reason="there is no such signal there")
def test_a_worker_that_is_killed_takes_only_its_own_work(started: Callable[..., WorkQueue]) -> None:
    queue = started(SlowTools())
    first = part(queue, box_stl(9.0, 9.0, 9.0))
    until(lambda: queue.get(first.id).standing.stage != "")
    worker = queue._worker
    assert worker is not None
    os.kill(int(worker[0].pid or 0), signal.SIGKILL)
    assert "ended from outside" in over(queue, first).standing.error
    assert over(queue, part(queue, b"solid\nendsolid\n")).state is WorkState.FAILED


def test_a_server_that_ends_leaves_its_work_to_the_next(started: Callable[..., WorkQueue]) -> None:
    before = started(SlowTools())
    work = part(before, box_stl(9.0, 9.0, 9.0))
    until(lambda: before.get(work.id).standing.stage != "")
    before.close()
    after = started()
    assert over(after, work).state is WorkState.DONE
    assert after.get(work.id).standing.attempts == 2
