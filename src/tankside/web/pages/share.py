"""Share: the codes with which a phone on the same network comes in; for this machine alone."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse
from starlette.exceptions import HTTPException

from tankside.web.access import Role
from tankside.web.codes import codes
from tankside.web.frame import page

router = APIRouter()


@router.get("/share")
def share(request: Request) -> HTMLResponse:
    """The page; only who sits at this machine sees it."""
    if request.scope["state"]["role"] < Role.OWN:
        raise HTTPException(403, "the codes are shown on the machine itself only")
    desk = request.app.state.desk
    return page(request, "share.html", codes=codes(desk.access, desk.port))
