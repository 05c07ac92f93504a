"""The promise of a sweep, kept by every adapter: here, in local processes, on a real cluster."""

import os
import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tankside.app.ports import SweepResult, Sweeps
from tankside.base.errors import BadInput, Cancelled
from tankside.base.intervals import Interval
from tankside.bath.acid_sulfate import acid_sulfate
from tankside.bath.composition import Composition
from tankside.plan.plan import Goal, Supply
from tankside.plan.rigs.evaluation import evaluated
from tankside.plan.rigs.figures import Bench, RigCase
from tankside.sweeps.dask_cluster import DaskCluster
from tankside.sweeps.here import InThisProcess
from tankside.sweeps.journal import Journal
from tankside.sweeps.local_pool import LocalPool
from tests.unit.plan.conftest import block
from tests.unit.plan.rigs.conftest import FEW, hung
from tests.unit.sweeps.cases import broken, deadly, deadly_once, setting, slow, squared, tallied

ROOT = Path(__file__).parents[3]
MODULES = {**os.environ, "PYTHONPATH": f"{ROOT}{os.pathsep}{ROOT / 'src'}"}


@pytest.fixture(scope="module")
def scheduler() -> Iterator[tuple[str, list["subprocess.Popen[str]"]]]:
    """A Dask scheduler on this machine with two worker processes, and their handles."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    address = f"tcp://127.0.0.1:{port}"
    program = [sys.executable, "-m", "distributed.cli.dask_scheduler"]
    options = ["--host", "127.0.0.1", "--port", str(port), "--no-dashboard", "--no-show"]
    programs = [_started([*program, *options])]
    worker = [sys.executable, "-m", "distributed.cli.dask_worker", address]
    quiet = ["--nthreads", "1", "--no-nanny", "--no-dashboard", "--host", "127.0.0.1"]
    try:
        programs += [_started([*worker, *quiet]) for _ in range(2)]
        _wait_for_workers(address, 2)
        yield address, programs[1:]
    finally:
        for process in reversed(programs):
            process.kill()
        for process in programs:
            process.wait(timeout=30)


def _started(command: list[str]) -> "subprocess.Popen[str]":
    return subprocess.Popen(
        command, env=MODULES, text=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )


def _wait_for_workers(address: str, count: int) -> None:
    from distributed import Client

    client: Any = Client
    with client(address, timeout=60, set_as_default=False) as talk:
        talk.wait_for_workers(count, timeout=120)


Made = Callable[[], AbstractContextManager[Sweeps]]


@pytest.fixture(params=["here", "local", "cluster"], scope="module")
def sweeps(request: pytest.FixtureRequest) -> Iterator[Sweeps]:
    """Each adapter in turn, on two workers where it has any."""
    if request.param == "here":
        yield InThisProcess()
        return
    if request.param == "local":
        with LocalPool(2) as pool:
            yield pool
        return
    address, _ = request.getfixturevalue("scheduler")
    with DaskCluster(address) as cluster:
        yield cluster


def ordered(results: Iterator[SweepResult]) -> list[SweepResult]:
    return sorted(results, key=lambda result: result.number)


def test_every_case_has_its_result(sweeps: Sweeps) -> None:
    results = ordered(sweeps.run(squared, range(20, 40)))
    assert [result.number for result in results] == list(range(20))
    for number, result in zip(range(20, 40), results, strict=True):
        if number != 35 and number != 21:
            assert (result.value, result.error) == (number * number, "")


def test_a_case_that_cannot_be_is_a_result_with_its_sentence(sweeps: Sweeps) -> None:
    results = ordered(sweeps.run(squared, [6, 7, 8]))
    assert [result.value for result in results] == [36, None, 64]
    assert results[1].error == "7 cannot be squared here"


def test_a_fault_of_ours_is_a_result_too(sweeps: Sweeps) -> None:
    results = ordered(sweeps.run(broken, [2, 3, 4]))
    assert [result.value for result in results] == [-1.0, None, 1.0]
    assert results[1].error.startswith("ZeroDivisionError")


def test_progress_rises_to_one(sweeps: Sweeps) -> None:
    told: list[float] = []
    list(sweeps.run(squared, range(6), progress=lambda stage, share: told.append(share)))
    assert told == pytest.approx([1 / 6, 2 / 6, 3 / 6, 4 / 6, 5 / 6, 1.0])


def test_a_wish_to_cancel_is_followed_and_what_is_done_is_kept(
    sweeps: Sweeps, tmp_path: Path
) -> None:
    journal = Journal(tmp_path / "done.jsonl")
    came: list[SweepResult] = []

    def enough() -> bool:
        return len(journal) >= 3

    results = sweeps.run(slow, range(200), cancel=enough, done=journal)
    with pytest.raises(Cancelled, match="what is done is kept"):
        came.extend(results)
    assert 3 <= len(came) < 100
    kept = Journal(tmp_path / "done.jsonl")
    assert {r.key for r in came} <= {r.key for r in came if kept.known(r.key) == r.number**2}


def test_a_sweep_goes_on_where_it_stopped(sweeps: Sweeps, tmp_path: Path) -> None:
    traces, file = tmp_path / "traces", tmp_path / "done.jsonl"
    traces.mkdir()
    cases = [(str(traces), number) for number in range(8)]
    first = iter(sweeps.run(tallied, cases[:5], done=Journal(file)))
    for _ in range(5):
        next(first)
    results = ordered(sweeps.run(tallied, cases, done=Journal(file)))
    assert [result.value for result in results] == [n * n for n in range(8)]
    assert [result.known for result in results] == [True] * 5 + [False] * 3
    assert len(list(traces.iterdir())) == 8  # none was worked on twice


def test_an_error_is_not_kept_but_tried_again(sweeps: Sweeps, tmp_path: Path) -> None:
    journal = Journal(tmp_path / "done.jsonl")
    list(sweeps.run(squared, [7, 8], done=journal))
    assert len(journal) == 1


def test_nothing_to_do_is_done_at_once(sweeps: Sweeps) -> None:
    assert list(sweeps.run(squared, [])) == []


@pytest.mark.skipif(sys.platform == "win32", reason="needs SIGKILL")
def test_workers_end_with_the_program_that_is_killed(tmp_path: Path) -> None:
    program = tmp_path / "program.py"
    program.write_text(
        "from tankside.sweeps.local_pool import LocalPool\n"
        "from tests.unit.sweeps.cases import process_number\n"
        "if __name__ == '__main__':\n"
        "    with LocalPool(1) as pool:\n"
        "        for result in pool.run(process_number, [0]):\n"
        "            print(result.value, flush=True)\n"
        "        input()\n",
        "utf-8",
    )
    with subprocess.Popen(
        [sys.executable, str(program)],
        env=MODULES,
        text=True,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    ) as started:
        assert started.stdout is not None
        worker = int(started.stdout.readline())
        os.kill(worker, 0)  # it is there
        started.kill()
        started.wait(timeout=30)
    end = time.monotonic() + 30
    while time.monotonic() < end:
        try:
            os.kill(worker, 0)
        except ProcessLookupError:
            return
        time.sleep(0.1)
    pytest.fail("the worker lives on")


def test_a_case_that_cannot_be_handed_over_is_a_result(tmp_path: Path) -> None:
    with LocalPool(1) as pool, (tmp_path / "x").open("w") as stream:
        results = ordered(pool.run(slow, [1, 2]))
        assert [result.value for result in results] == [1, 4]
        with pytest.raises(BadInput, match="a case holds TextIOWrapper"):
            list(pool.run(slow, [stream]))
        (failed,) = pool.run(lambda number: number, [1])
    assert failed.error.startswith("cannot be handed to a worker")


@pytest.mark.skipif(sys.platform == "win32", reason="needs SIGKILL")
def test_a_local_worker_that_dies_is_replaced(tmp_path: Path) -> None:
    cases = [(str(tmp_path), number) for number in range(12)]
    with LocalPool(2) as pool:
        results = ordered(pool.run(deadly_once, cases))
    assert (tmp_path / "died").exists()
    assert [(result.value, result.error) for result in results] == [(n * n, "") for n in range(12)]


@pytest.mark.skipif(sys.platform == "win32", reason="needs SIGKILL")
def test_a_case_that_always_kills_its_worker_is_given_up() -> None:
    with LocalPool(1) as pool:
        results = ordered(pool.run(deadly, range(5)))
    assert [result.value for result in results] == [0, 1, None, 9, 16]
    assert "the worker died 3 times" in results[2].error


def test_local_workers_are_told_to_run_one_thread_each() -> None:
    with LocalPool(2) as pool:
        values = [r.value for r in pool.run(setting, ["NUMBA_NUM_THREADS"] * 4)]
    assert values == ["1"] * 4


def test_a_rig_is_the_same_here_in_a_worker_and_on_a_cluster(sweeps: Sweeps) -> None:
    rig = hung(block(cuts=4), (0.0, 0.0, 0.085))
    bath = Composition(copper_sulfate_pentahydrate=75.0, sulfuric_acid=190.0, chloride=0.07)
    bench = Bench(
        electrolyte=acid_sulfate(bath, 298.15, "gentle air"),
        supply=Supply(current_limit=5.0, voltage_limit=8.0, lead_resistance=Interval.exact(0.01)),
        goal=Goal(thickness=1e-4, current=0.5),
        panels=FEW,
        air=(0.0,),
    )
    cases = [
        RigCase(rig=rig, bench=bench),
        RigCase(rig=replace(rig, description=replace(rig.description, contacts=())), bench=bench),
    ]
    one, other = (result.value for result in ordered(sweeps.run(evaluated, cases)))
    assert one == evaluated(cases[0])
    assert "cannot hang" in other.refusal


@pytest.mark.skipif(sys.platform == "win32", reason="needs SIGKILL")
def test_a_cluster_that_loses_a_worker_part_way_gives_the_same_answer(
    scheduler: tuple[str, list["subprocess.Popen[str]"]],
) -> None:
    """The last test on this scheduler: it is left with one worker."""
    address, workers = scheduler
    came = []
    with DaskCluster(address) as cluster:
        assert cluster.workers == 2
        for result in cluster.run(slow, range(60)):
            came.append(result)
            if len(came) == 10:
                workers[0].send_signal(signal.SIGKILL)
                workers[0].wait(timeout=30)
        results = ordered(iter(came))
        assert [result.number for result in results] == list(range(60))
        assert [result.error for result in results] == [""] * 60
        assert [result.value for result in results] == [n * n for n in range(60)]
    assert workers[0].returncode == -signal.SIGKILL
    assert workers[1].poll() is None


def test_no_scheduler_at_the_address_is_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tankside.sweeps.dask_cluster._PATIENCE_S", 0.5)
    with pytest.raises(BadInput, match=r"no Dask scheduler answers at 'tcp://127.0.0.1:9'"):
        DaskCluster("tcp://127.0.0.1:9")


def test_without_the_library_the_install_line_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(BadInput, match=re.escape("pip install 'tankside[sweeps]'")):
        DaskCluster("tcp://127.0.0.1:8786")
