"""What went wrong with a request, as a page with its sentence."""

from http import HTTPStatus
from typing import cast
from urllib.parse import urlsplit

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from tankside.base.errors import UnknownName
from tankside.web.frame import page
from tankside.web.words import _


async def refused(request: Request, error: Exception) -> Response:
    """An error of ours."""
    status = HTTPStatus.NOT_FOUND if isinstance(error, UnknownName) else HTTPStatus.BAD_REQUEST
    return _refusal(request, status=status, said=str(error))


async def missing(request: Request, error: Exception) -> Response:
    """An address that is none, or that may not be asked so."""
    found = cast(HTTPException, error)
    if request.url.path.startswith("/api/"):  # such as a path with a line break in it
        return JSONResponse({"error": str(found.detail), "fields": {}}, found.status_code)
    said = (
        _("there is no page %(path)s") % {"path": request.url.path}
        if found.status_code == HTTPStatus.NOT_FOUND
        else str(found.detail)
    )
    return _refusal(request, status=found.status_code, said=said)


async def misused(request: Request, error: Exception) -> Response:
    """A request that has not the form that its address takes."""
    said = _("the page sent something that this address does not take; go back and load it anew")
    return _refusal(request, status=HTTPStatus.BAD_REQUEST, said=said)


async def cut_short(request: Request, error: Exception) -> Response:
    """Who asked is gone, or sent more than may be and is told so."""
    said = _("not everything came here; send it again, or send a smaller file")
    return _refusal(request, status=HTTPStatus.BAD_REQUEST, said=said)


def _refusal(request: Request, *, status: int, said: str) -> Response:
    return page(request, "refused.html", status=status, said=said, back=_before(request))


def _before(request: Request) -> str:
    """The page of ours that a form was sent from, "" where that is not known or is this one."""
    if request.method in ("GET", "HEAD"):
        return ""
    came = urlsplit(request.headers.get("referer", ""))
    if came.netloc != request.url.netloc or came.path == request.url.path:
        return ""
    return came.path + (f"?{came.query}" if came.query else "")
