"""The web application: its pages behind the guard, and the API beside them if one is given."""

import contextlib
from collections.abc import AsyncIterator
from dataclasses import dataclass
from http import HTTPStatus
from typing import cast

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, Response
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import GZipMiddleware
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp, Receive, Scope, Send

from tankside.app.store_ports import Store
from tankside.app.work.live_runs import LiveRuns
from tankside.app.work.queue import WorkQueue
from tankside.app.work.workplace import Workplace
from tankside.base.errors import TanksideError, UnknownName
from tankside.web.access import Access
from tankside.web.frame import BUNDLE, STATIC, page
from tankside.web.guard import Guard
from tankside.web.pages import (
    audits,
    bath_ahead,
    bath_doses,
    bath_forms,
    bath_leaving,
    bath_measuring,
    baths,
    compare,
    costs,
    first,
    help,
    home,
    labels,
    panel,
    parts,
    plans,
    quantities,
    rigs,
    run_logs,
    runs,
    safe,
    searches,
    settings,
    share,
    shelf,
    shop,
    trouble,
    work,
)
from tankside.web.reader import READER
from tankside.web.words import _


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


def application(desk: Desk, api: ASGIApp | None = None) -> ASGIApp:
    """Everything that the server answers with; the API is put under /api/v1."""
    app = FastAPI(title="Tankside", openapi_url=None, lifespan=_lifespan)
    app.state.desk = desk
    if api is not None:
        app.mount("/api/v1", api)
    app.mount("/static", _Kept(directory=STATIC), name="static")
    app.mount("/bundle", _Kept(directory=BUNDLE, check_dir=False), name="bundle")
    for one in (
        home,
        first,
        parts,
        compare,
        plans,
        work,
        runs,
        quantities,
        help,
        share,
        settings,
        shelf,
        baths,
        bath_forms,
        bath_ahead,
        bath_measuring,
        bath_doses,
        bath_leaving,
        labels,
        safe,
        run_logs,
        audits,
        costs,
        shop,
        panel,
        trouble,
        rigs,
        searches,
    ):
        app.include_router(one.router)
    app.add_exception_handler(TanksideError, _refused)
    app.add_exception_handler(HTTPException, _missing)
    app.add_exception_handler(RequestValidationError, _misused)
    inner = GZipMiddleware(_ForTheReader(app, desk.place), minimum_size=1000, compresslevel=6)
    return Guard(inner, desk.access)


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
async def _lifespan(app: FastAPI) -> AsyncIterator[None]:
    """What waits from before goes on; the worker ends with the server."""
    desk: Desk = app.state.desk
    desk.queue.start()
    yield
    desk.runs.close()
    desk.queue.close()
    desk.store.close()


async def _refused(request: Request, error: Exception) -> Response:
    """An error of ours as a page with its sentence."""
    status = HTTPStatus.NOT_FOUND if isinstance(error, UnknownName) else HTTPStatus.BAD_REQUEST
    return page(request, "refused.html", status=status, said=str(error))


async def _missing(request: Request, error: Exception) -> Response:
    found = cast(HTTPException, error)
    if request.url.path.startswith("/api/"):  # such as a path with a line break in it
        return JSONResponse({"error": str(found.detail), "fields": {}}, found.status_code)
    said = (
        _("there is no page %(path)s") % {"path": request.url.path}
        if found.status_code == HTTPStatus.NOT_FOUND
        else str(found.detail)
    )
    return page(request, "refused.html", status=found.status_code, said=said)


async def _misused(request: Request, error: Exception) -> Response:
    said = _("the page sent something that this address does not take; go back and load it anew")
    return page(request, "refused.html", status=HTTPStatus.BAD_REQUEST, said=said)
