"""Share: the codes with which a phone on the same network comes in; for this machine alone."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse
from starlette.exceptions import HTTPException

from tankside.web.access import LOOPBACK_NAMES, Access, Role
from tankside.web.frame import page
from tankside.web.words import N_

router = APIRouter()
_WORDS = {
    Role.LOOK: N_("Look: sees everything, changes nothing"),
    Role.OPERATE: N_("Operate: may also plan and run"),
}


@dataclass(frozen=True, slots=True)
class Code:
    """An address with a key in it, and its picture as SVG."""

    words: str
    address: str
    picture: str


@router.get("/share")
def share(request: Request) -> HTMLResponse:
    """The page; only who sits at this machine sees it."""
    if request.scope["state"]["role"] < Role.OWN:
        raise HTTPException(403, "the codes are shown on the machine itself only")
    desk = request.app.state.desk
    return page(request, "share.html", codes=codes(desk.access, desk.port))


def codes(access: Access, port: int) -> list[Code]:
    """A code for each role and address; none where nothing is shared."""
    import segno

    found = []
    for host in sorted(access.names.difference(LOOPBACK_NAMES)):
        for role, key in access.keys.items():
            address = f"http://{host}:{port}/?key={key}"
            picture = segno.make(address, error="m").svg_data_uri(scale=4, border=3)
            found.append(Code(_WORDS[role], address, picture))
    return found
