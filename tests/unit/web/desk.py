"""A server for the tests, in this process, with work that is written down but not begun."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from fastapi.testclient import TestClient

from tankside.api.application import api
from tankside.app.work.live_runs import LiveRuns
from tankside.app.work.preferences import KeptPreferences
from tankside.app.work.queue import WorkQueue
from tankside.app.work.work import Standing, Work, WorkState
from tankside.app.work.workplace import Workplace
from tankside.main import _LocalTools
from tankside.storage.store.memory import MemoryRows
from tankside.storage.store.store import KeptStore
from tankside.web.access import Access
from tankside.web.application import Desk, application

PORT = 8765


class IdleQueue(WorkQueue):
    """A queue whose worker never begins; tests say how work ends."""

    def __init__(self, root: Path) -> None:
        super().__init__(root, tools=None)  # type: ignore[arg-type]

    def _start(self) -> None:
        pass

    def finish(self, work: Work, result: bytes) -> None:
        self.folder.keep(work.id, {"result.json": result, "view.bin": b"TKV1"})
        self.end(work, WorkState.DONE)

    def end(self, work: Work, state: WorkState, error: str = "") -> None:
        standing = Standing(state=state, error=error, attempts=1)
        self.folder.stand(work.id, standing)
        self._works[work.id] = Work(order=work.order, standing=standing)


def place_over(queue: WorkQueue) -> Workplace:
    """A workplace over a queue, with an empty store in memory."""
    home, tools, store = queue.folder.root.parent, _LocalTools(), KeptStore(MemoryRows())
    return Workplace(
        home=home,
        queue=queue,
        runs=LiveRuns(home / "runs", tools, store),
        store=store,
        tools=tools,
        preferences=KeptPreferences(home),
    )


@contextmanager
def visitor(
    queue: WorkQueue, access: Access | None = None, peer: str = "127.0.0.1", host: str = "127.0.0.1"
) -> Iterator[Any]:
    """A browser at the given address that asks for the given host."""
    place = place_over(queue)
    desk = Desk(place=place, access=access or Access.here(), port=PORT)
    app = application(desk, lambda: api(place, "test"))
    with TestClient(app, base_url=f"http://{host}:{PORT}", client=(peer, 50000)) as client:
        client.place = place  # type: ignore[attr-defined]  # what the server stands on
        yield client


PART = {
    "file": "knob.stl", "format": "stl", "triangles": 12, "unit": "mm", "unit_guessed": False,
    "unit_explanation": "stated", "objects": [], "notes": [], "box_m": [0.04, 0.03, 0.02],
    "box_low_m": [0.01, 0.0, 0.0], "box_high_m": [0.05, 0.03, 0.02], "sound": True,
    "findings": ["the surface is closed"], "repair": [], "unmeasured": "", "thinnest_wall_m": 0.004,
    "measures": {"wet_area_m2": 0.0052, "volume_m3": 2.4e-5},
    "buoyancy": {"mass_kg": 0.03, "floats": False},
    "pockets": {"gas": [{"volume_m3": 1e-6, "depth_m": 0.004}]},
    "recesses": {"deepest": [{"depth_to_width": 1.2, "depth_m": 0.012, "width_m": 0.01}]},
}  # fmt: skip
"""The result of examining a block of 40 by 30 by 20 mm."""
