"""The web application: its first page at once, all others and the API as soon as there is time.

Nothing here, and nothing that the first page needs, may load FastAPI, pydantic, or another page.
"""

import asyncio
import contextlib
from collections.abc import AsyncIterator, Callable
from dataclasses import dataclass

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import GZipMiddleware
from starlette.responses import Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp, Receive, Scope, Send

from tankside.app.store_ports import Store
from tankside.app.work.live_runs import LiveRuns
from tankside.app.work.queue import WorkQueue
from tankside.app.work.workplace import Workplace
from tankside.base.errors import TanksideError
from tankside.web.access import Access
from tankside.web.frame import BUNDLE, STATIC
from tankside.web.guard import Guard
from tankside.web.pages import home
from tankside.web.reader import READER
from tankside.web.refusals import missing, refused
from tankside.web.waking import Listened, Sleeping


@dataclass(frozen=True, kw_only=True)
class Desk:
    """What the pages stand on: the workplace, who may come in, and the port."""

    place: Workplace
    access: Access
    port: int

    @property
    def queue(self) -> WorkQueue:
        """The workplace's."""
        return self.place.queue

    @property
    def runs(self) -> LiveRuns:
        """The workplace's."""
        return self.place.runs

    @property
    def store(self) -> Store:
        """The workplace's."""
        return self.place.store


def application(desk: Desk, api: Callable[[], ASGIApp] | None = None) -> ASGIApp:
    """Everything that the server answers with; what `api` makes is put under /api/v1."""
    others = Sleeping(lambda: _others(desk, api))
    front = Starlette(
        routes=[
            Route("/", home.home),
            Mount("/static", _Kept(directory=STATIC)),
            Mount("/bundle", _Kept(directory=BUNDLE, check_dir=False)),
        ],
        exception_handlers={TanksideError: refused, HTTPException: missing},
        lifespan=lambda _: _life(desk, listened, others),
    )
    front.state.desk = desk
    front.router.default = others
    inner = GZipMiddleware(front, minimum_size=1000, compresslevel=6)
    listened: Listened = Listened(_ForTheReader(Guard(inner, desk.access), desk.place))
    return listened


def _others(desk: Desk, api: Callable[[], ASGIApp] | None) -> ASGIApp:
    from tankside.web.every_page import every_page

    return every_page(desk, api)


class _ForTheReader:
    """Answers as the people of this bench like things written, from the first word on."""

    def __init__(self, inner: ASGIApp, place: Workplace) -> None:
        self._inner = inner
        self._place = place

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "http":
            READER.set(self._place.preferences.read())
        await self._inner(scope, receive, send)


class _Kept(StaticFiles):
    """Files whose address changes with their content: a browser may keep them."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        answer = await super().get_response(path, scope)
        answer.headers["cache-control"] = "public, max-age=31536000, immutable"
        return answer


@contextlib.asynccontextmanager
async def _life(desk: Desk, listened: Listened, others: Sleeping) -> AsyncIterator[None]:
    """What waits from before goes on; the worker ends with the server."""
    desk.queue.start()
    waking = asyncio.create_task(_wake(listened, others))
    yield
    waking.cancel()
    desk.runs.close()
    desk.queue.close()
    desk.store.close()


async def _wake(listened: Listened, others: Sleeping) -> None:
    await listened.calm()
    await asyncio.to_thread(others.woken)
