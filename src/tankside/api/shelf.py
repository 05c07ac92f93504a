"""The shelf: bottles, tools and additives as they were typed, and the mixing vessel."""

from fastapi import APIRouter, Request
from pydantic import BaseModel, Field

from tankside.app.bath.kept_shelf import KeptShelf

router = APIRouter(tags=["shelf"])


class ShelfReply(BaseModel):
    """Tables of texts, as in a shelf's file."""

    shelf: list[dict[str, str]] = Field(default_factory=list)
    tool: list[dict[str, str]] = Field(default_factory=list)
    additive: list[dict[str, str]] = Field(default_factory=list)
    vessel: dict[str, str] = Field(default_factory=dict)


@router.get("/shelf")
def shelf(request: Request) -> ShelfReply:
    """As it is."""
    return _reply(request)


@router.post("/shelf/example", status_code=201)
def example(request: Request) -> ShelfReply:
    """An empty shelf is filled with the example bench's."""
    _kept(request).fill_with_the_example()
    return _reply(request)


@router.put("/shelf/vessel")
def vessel(request: Request, sent: dict[str, str]) -> ShelfReply:
    """What baths are mixed in: material, diameter, height."""
    _kept(request).set_vessel(sent)
    return _reply(request)


@router.post("/shelf/{kind}", status_code=201)
def add(request: Request, kind: str, sent: dict[str, str]) -> ShelfReply:
    """One more of a kind: "shelf" (a bottle by grade or label), "tool" or "additive"."""
    _kept(request).add(kind, sent)
    return _reply(request)


@router.delete("/shelf/{kind}/{name}")
def remove(request: Request, kind: str, name: str) -> ShelfReply:
    """Takes one away by its name."""
    _kept(request).remove(kind, name)
    return _reply(request)


def _kept(request: Request) -> KeptShelf:
    return KeptShelf(request.app.state.place.home)


def _reply(request: Request) -> ShelfReply:
    return ShelfReply(**_kept(request).tables())
