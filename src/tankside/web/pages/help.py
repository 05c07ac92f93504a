"""Help: what Tankside does, what it does not know, how to be safe, and its words."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from tankside.web.frame import page

router = APIRouter()


@router.get("/help")
def help(request: Request) -> HTMLResponse:
    """The page."""
    return page(request, "help.html")
