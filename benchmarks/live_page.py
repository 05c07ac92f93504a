"""What many watchers cost a run: clients on the live page of a run that goes as slowly as life.

Starts a server over a store of its own, begins a run on the simulated supply, and lets clients ask
as the page does: its piece each second, its chart every five. Says how long answers took, whether
any second went without a sample, and what the server's memory and processor time came to. Reads the
server's figures from /proc: Linux only.

    python benchmarks/live_page.py [SECONDS] [CLIENTS]
"""

import http.client
import json
import os
import platform
import statistics
import sys
import tempfile
import threading
import time
import urllib.parse
import urllib.request
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from tankside.app.work.work import WorkKind
from tests.browser.workshop import server
from tests.unit.app.work.test_live_runs import order
from tests.unit.web.desk import IdleQueue

CLIENTS = 50
CHART_EVERY = 5
"""Looks at the piece between two of the chart, as the page does it."""
SETTLED = 0.3
"""Share of the time after which memory is taken as settled."""


@dataclass
class Figures:
    """seconds    watched
    samples     kept in the run's folder, and `longest` the longest time between two of them [s]
    answers     how long each took [s], and `refused` how many were none
    memory      of the server once settled and at the end [bytes]
    processor   time that the server used [s]"""

    seconds: float = 0.0
    samples: int = 0
    longest: float = 0.0
    answers: list[float] = field(default_factory=list)
    refused: int = 0
    memory: tuple[int, int] = (0, 0)
    processor: float = 0.0

    def text(self) -> str:
        """For a person."""
        taken = sorted(self.answers)
        late = taken[int(0.99 * len(taken))]
        settled, end = (one / 2**20 for one in self.memory)
        return (
            f"{self.seconds:.0f} s, {len(taken)} answers, {self.refused} refused\n"
            f"an answer took {1e3 * statistics.median(taken):.0f} ms in the middle, "
            f"{1e3 * late:.0f} ms at most in 99 of 100\n"
            f"{self.samples} samples kept, never more than {self.longest:.2f} s apart\n"
            f"memory {settled:.1f} MiB once settled, {end:.1f} MiB at the end\n"
            f"{self.processor:.1f} s of processor, {100 * self.processor / self.seconds:.0f} %"
        )


def measured(home: Path, seconds: float, clients: int = CLIENTS) -> Figures:
    """So many clients on the page of one run for so long."""
    plan = _planned(home)
    found, lock = Figures(seconds=seconds), threading.Lock()
    with server(home) as address:
        run = _begun(address, plan)
        process = _process_of(address)
        end = time.monotonic() + seconds
        before = _processor(process)
        watchers = [
            threading.Thread(target=_watch, args=(address, run, end, k / clients, found, lock))
            for k in range(clients)
        ]
        for one in watchers:
            one.start()
        time.sleep(SETTLED * seconds)
        settled = _memory(process)
        for one in watchers:
            one.join()
        found.memory = (settled, _memory(process))
        found.processor = _processor(process) - before
        _post(address, f"/runs/{run}/wish", word="abort")
    times = [
        float(line.split(",")[0])
        for line in (home / "runs" / run / "samples.csv").read_text().splitlines()[1:]
    ]
    found.samples = len(times)
    found.longest = max(later - sooner for sooner, later in pairwise(times))
    return found


def _watch(
    address: str, run: str, end: float, later: float, found: Figures, lock: threading.Lock
) -> None:
    """One page: its piece each second, the chart now and then."""
    parts = urllib.parse.urlsplit(address)
    link = http.client.HTTPConnection(parts.hostname or "", parts.port, timeout=30)
    time.sleep(later)
    looks = 0
    while time.monotonic() < end:
        begun = time.monotonic()
        paths = [f"/runs/{run}/now"]
        if looks % CHART_EVERY == 0:
            paths.append(f"/runs/{run}/chart")
        for path in paths:
            start = time.monotonic()
            link.request("GET", path)
            answer = link.getresponse()
            answer.read()
            with lock:
                found.answers.append(time.monotonic() - start)
                found.refused += answer.status != http.client.OK
        looks += 1
        time.sleep(max(0.0, begun + 1.0 - time.monotonic()))
    link.close()


def _planned(home: Path) -> str:
    queue = IdleQueue(home / "work")
    work = queue.add(WorkKind.PLAN, "knob", {}, options={"job": "job.toml"})
    queue.finish(work, b"{}")
    queue.folder.keep(work.id, {"run-order.json": json.dumps(order(1e6)).encode()})
    return work.id


def _begun(address: str, plan: str) -> str:
    """A run whose part is in the bath."""
    url = _post(address, f"/plans/{plan}/run", supply="simulated")
    run = url.rsplit("/", 1)[1]
    for word in ("begin", "immersed"):
        _post(address, f"/runs/{run}/wish", word=word)
    return run


def _post(address: str, path: str, **fields: str) -> str:
    data = urllib.parse.urlencode(fields).encode()
    with urllib.request.urlopen(address.rstrip("/") + path, data, timeout=30) as answer:
        return str(answer.geturl())


def _process_of(address: str) -> int:
    """The server's process: the child of this one that listens at the address."""
    children = Path(f"/proc/self/task/{threading.main_thread().native_id}/children")
    found = [int(one) for one in children.read_text().split()]
    return next(one for one in found if "serve" in Path(f"/proc/{one}/cmdline").read_text())


def _memory(process: int) -> int:
    """Resident [bytes]."""
    pages = int(Path(f"/proc/{process}/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE")


def _processor(process: int) -> float:
    """Time used so far, user and system [s]."""
    cells = Path(f"/proc/{process}/stat").read_text().rsplit(")", 1)[1].split()
    return (int(cells[11]) + int(cells[12])) / os.sysconf("SC_CLK_TCK")


if __name__ == "__main__":
    length = float(sys.argv[1]) if len(sys.argv) > 1 else 600.0
    count = int(sys.argv[2]) if len(sys.argv) > 2 else CLIENTS
    with tempfile.TemporaryDirectory() as folder:
        figures = measured(Path(folder), length, count)
    sys.stdout.write(f"{platform.processor() or platform.machine()}, {count} clients\n")
    sys.stdout.write(figures.text() + "\n")
