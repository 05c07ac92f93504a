"""The API as an application of its own, to be put beside the pages under /api/v1."""

from http import HTTPStatus
from typing import cast

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect

from tankside.api import (
    audits,
    bath_work,
    baths,
    checks,
    comparisons,
    costs,
    first_plans,
    orders,
    preferences,
    rigs,
    run_logs,
    runs,
    safety,
    shelf,
    trouble,
    works,
)
from tankside.api.replies import REFUSALS
from tankside.app.work.plan_form import FormFault
from tankside.app.work.workplace import Workplace
from tankside.base.errors import (
    BadInput,
    Impossible,
    MissingData,
    OutsideValidity,
    TanksideError,
    UnknownName,
)

STATUS: tuple[tuple[type[TanksideError], HTTPStatus], ...] = (
    (UnknownName, HTTPStatus.NOT_FOUND),
    (BadInput, HTTPStatus.BAD_REQUEST),
    (Impossible, HTTPStatus.CONFLICT),
    (MissingData, HTTPStatus.NOT_FOUND),
    (OutsideValidity, HTTPStatus.BAD_REQUEST),
)
"""Status by kind of error, first match; anything else is 500."""


def api(place: Workplace, version: str) -> FastAPI:
    """The API over a workplace. Its description is at openapi.json; it loads no page of its own,
    because that would come from another site."""
    app = FastAPI(
        title="Tankside",
        version=version,
        summary="Examine parts and plan their copper plating.",
        docs_url=None,
        redoc_url=None,
        responses=REFUSALS,
    )
    app.state.place = place
    app.state.queue = place.queue
    app.state.runs = place.runs
    for one in (
        checks,
        comparisons,
        orders,
        works,
        runs,
        preferences,
        shelf,
        bath_work,
        baths,
        safety,
        run_logs,
        audits,
        costs,
        first_plans,
        trouble,
        rigs,
    ):
        app.include_router(one.router)
    app.add_exception_handler(TanksideError, _refused)
    app.add_exception_handler(RequestValidationError, _misused)
    app.add_exception_handler(HTTPException, _missing)
    app.add_exception_handler(ClientDisconnect, _cut_short)
    return app


async def _refused(request: Request, error: Exception) -> JSONResponse:
    status = next((s for kind, s in STATUS if isinstance(error, kind)), 500)
    fields = error.faults if isinstance(error, FormFault) else {}
    return JSONResponse({"error": str(error), "fields": fields}, status_code=int(status))


async def _missing(request: Request, error: Exception) -> JSONResponse:
    found = cast(HTTPException, error)
    said = {"error": str(found.detail), "fields": {}}
    return JSONResponse(said, status_code=found.status_code, headers=found.headers)


async def _misused(request: Request, error: Exception) -> JSONResponse:
    """The first complaint about a request that has not the form described."""
    complaint = cast(RequestValidationError, error).errors()[0]
    place = ".".join(map(str, complaint["loc"]))
    said = f"{place}: {complaint['msg'][0].lower()}{complaint['msg'][1:]}"
    return JSONResponse({"error": said, "fields": {}}, status_code=400)


async def _cut_short(request: Request, error: Exception) -> JSONResponse:
    """Who asked is gone, or sent more than may be and is told so."""
    said = "not everything came here; send it again, or send a smaller file"
    return JSONResponse({"error": said, "fields": {}}, status_code=400)
