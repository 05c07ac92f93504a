"""Pages that sleep until they are asked or there is time: made once, by whoever comes first."""

import asyncio
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from starlette.applications import Starlette
from starlette.responses import PlainTextResponse
from starlette.types import Receive, Scope, Send

from tankside.web.access import Access
from tankside.web.application import Desk, application
from tankside.web.waking import Listened, Sleeping
from tests.unit.web.desk import PORT, IdleQueue, place_over

WAIT_S = 60.0
"""Far longer than any of it takes; who waits so long has found a fault."""
ADDRESS = f"http://127.0.0.1:{PORT}"
HERE = ("127.0.0.1", 50000)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    place = place_over(IdleQueue(tmp_path / "work"))
    yield Desk(place=place, access=Access.here(), port=PORT)
    place.store.close()


def test_who_asks_at_once_gets_one_application() -> None:
    all_there, made = threading.Barrier(8), []

    def make() -> Any:
        made.append(PlainTextResponse("awake"))
        return made[-1]

    def asked(_: int) -> Any:
        all_there.wait(WAIT_S)
        return sleeping.woken()

    sleeping = Sleeping(make)
    with ThreadPoolExecutor(8) as threads:
        found = list(threads.map(asked, range(8)))
    assert len(made) == 1
    assert all(one is made[0] for one in found)


def test_what_cannot_be_made_tells_each_who_asks_and_is_tried_again() -> None:
    tries = []

    def make() -> Any:
        tries.append(1)
        if len(tries) < 3:
            raise ImportError("half installed")
        return PlainTextResponse("awake")

    client = TestClient(Sleeping(make))
    for _ in range(2):
        with pytest.raises(ImportError, match="half installed"):
            client.get("/")
    for _ in range(2):
        assert client.get("/").text == "awake"
    assert len(tries) == 3


def test_it_is_not_calm_while_a_request_is_answered() -> None:
    async def life() -> None:
        begun, end = asyncio.Event(), asyncio.Event()

        async def slow(scope: Scope, receive: Receive, send: Send) -> None:
            begun.set()
            await end.wait()

        listened = Listened(slow)
        answering = asyncio.create_task(listened({"type": "http"}, None, None))  # type: ignore[arg-type]
        await begun.wait()
        calm = asyncio.create_task(listened.calm(0.0))
        for _ in range(1000):
            await asyncio.sleep(0)
        assert not calm.done()
        end.set()
        await asyncio.wait_for(asyncio.gather(answering, calm), WAIT_S)

    asyncio.run(life())


def test_a_request_that_fails_is_over_too() -> None:
    async def life() -> None:
        async def broken(scope: Scope, receive: Receive, send: Send) -> None:
            raise ValueError("broken")

        listened = Listened(broken)
        with pytest.raises(ValueError, match="broken"):
            await listened({"type": "http"}, None, None)  # type: ignore[arg-type]
        await asyncio.wait_for(listened.calm(0.0), WAIT_S)

    asyncio.run(life())


def test_a_server_that_nobody_asks_wakes_its_pages(desk: Desk) -> None:
    awake = threading.Event()

    def make() -> Any:
        awake.set()
        return Starlette()

    with TestClient(application(desk, make), base_url=ADDRESS, client=HERE):
        assert awake.wait(WAIT_S)


def test_the_first_page_and_its_files_wake_nothing(desk: Desk) -> None:
    """Without a server's life round it, only a request for another page does."""
    made: list[Starlette] = []

    def make() -> Any:
        made.append(Starlette())
        return made[-1]

    client = TestClient(application(desk, make), base_url=ADDRESS, client=HERE)
    for path in ("/", "/?forgotten=part-000000000000", "/static/tankside.css"):
        assert client.get(path).status_code == 200
    assert client.get("/static/nothing.css").status_code == 404
    assert client.post("/").status_code == 405
    assert made == []
    assert "Help" in client.get("/help").text
    assert len(made) == 1


def test_a_server_that_ends_before_its_pages_woke_ends_all_the_same(desk: Desk) -> None:
    for _ in range(3):
        with TestClient(application(desk, Starlette), base_url=ADDRESS, client=HERE) as client:
            assert client.get("/").status_code == 200
