"""All pages but the first, and the API beside them if one is given: what a server wakes."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from fastapi import FastAPI
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect
from starlette.types import ASGIApp

from tankside.base.errors import TanksideError
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
from tankside.web.refusals import cut_short, missing, misused, refused

if TYPE_CHECKING:
    from tankside.web.application import Desk


def every_page(desk: "Desk", api: Callable[[], ASGIApp] | None = None) -> FastAPI:
    """The pages over a desk; what `api` makes is put under /api/v1."""
    app = FastAPI(title="Tankside", openapi_url=None)
    app.state.desk = desk
    if api is not None:
        app.mount("/api/v1", api())
    for one in (
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
    app.add_exception_handler(TanksideError, refused)
    app.add_exception_handler(HTTPException, missing)
    app.add_exception_handler(RequestValidationError, misused)
    app.add_exception_handler(ClientDisconnect, cut_short)
    return app
