"""What came out of a run: its audit, photos of it, and what the shop learns from them."""

from typing import Annotated, Any

from fastapi import APIRouter, File, Request, Response, UploadFile
from pydantic import BaseModel, Field

from tankside.app.keep.keep_a_photo import LARGEST
from tankside.app.work.run_audits import (
    TypedAudit,
    audit_run,
    keep_photo,
    last_audit,
    last_measured,
    photo_of,
    photos_of,
    planned_places,
)
from tankside.app.work.shop_tests import add_test, know, learn_from_run, remove_test, tests_of
from tankside.app.work.workplace import Workplace
from tankside.base.errors import MissingData

router = APIRouter(tags=["audits"])
Text = Annotated[str, Field(max_length=200)]
IMAGE: dict[int | str, dict[str, Any]] = {200: {"content": {"image/jpeg": {}, "image/png": {}}}}


class CalliperPoint(BaseModel):
    """The copper at a place of the part, and what was planned there ("" for what the plan says of
    that place, or its mean); each as text with its unit."""

    place: Text
    thickness: Text
    planned: Text = ""


class NewAudit(BaseModel):
    """Texts with their units: the part dry before and after, what wires gained that were weighed
    with it, the scale's and the callipers' steps ("" for 0.1 g and 10 um), and what was seen."""

    before: Text = ""
    after: Text = ""
    wires: Text = ""
    scale: Text = ""
    resolution: Text = ""
    points: list[CalliperPoint] = Field(default=[], max_length=100)
    seen: list[Text] = Field(default=[], max_length=20)


@router.post("/runs/{id}/audits", status_code=201)
def audit(request: Request, id: str, new: NewAudit) -> dict[str, Any]:
    """Audits a run and keeps it; as `tankside run audit --json` prints it."""
    typed = TypedAudit(
        before=new.before,
        after=new.after,
        wires=new.wires,
        scale=new.scale,
        resolution=new.resolution,
        points=[(one.place, one.thickness, one.planned) for one in new.points],
        seen=new.seen,
    )
    return dict(audit_run(_place(request), id, typed).as_json())


@router.get("/runs/{id}/audits/last")
def last(request: Request, id: str) -> dict[str, Any]:
    """The last audit of a run: what was measured, and what was found."""
    found = last_audit(_place(request), id)
    if found is None:
        raise MissingData("{id} was not audited yet", id=id)
    measured = dict(last_measured(_place(request), id) or {})
    return {"measured": measured, "found": dict(found.as_json())}


@router.post("/runs/{id}/audits/last/teach", status_code=201)
def teach(request: Request, id: str) -> dict[str, Any]:
    """Its efficiency becomes a test of the shop; what all tests teach then."""
    return dict(learn_from_run(_place(request), id).as_json())


@router.get("/runs/{id}/places")
def places(request: Request, id: str) -> dict[str, float]:
    """Thickness [m] that the plan gives at the places that it names."""
    return planned_places(_place(request), id)


@router.get("/runs/{id}/photos")
def photos(request: Request, id: str) -> list[dict[str, Any]]:
    """Photos that show a run, oldest first."""
    return [
        {"id": one.id, "name": one.name, "words": one.value.words, "mime": one.value.file.mime}
        for one in photos_of(_place(request), id)
    ]


@router.post("/runs/{id}/photos", status_code=201)
def add_photo(
    request: Request, id: str, photo: Annotated[UploadFile, File(description="JPEG or PNG")]
) -> None:
    """Keeps a photo of what came out, up to 30 MiB."""
    content = photo.file.read(LARGEST + 1)
    keep_photo(_place(request), id, photo.filename or "photo", content)


@router.get("/photos/{id}", response_class=Response, responses=IMAGE)
def photo(request: Request, id: str) -> Response:
    """A photo's content."""
    record, content = photo_of(_place(request), id)
    return Response(content, media_type=record.file.mime)


@router.get("/shop")
def shop(request: Request) -> dict[str, Any]:
    """The shop's tests as they were typed, and what they have taught: factors on the tables'
    values; null before the first test."""
    found = know(_place(request))
    return {
        "tests": tests_of(_place(request)),
        "known": None if found is None else dict(found.as_json()),
    }


@router.post("/shop/tests/{kind}", status_code=201)
def test(request: Request, kind: str, typed: dict[str, Text]) -> dict[str, Any]:
    """Keeps one more test: "name", and the fields of its kind as text with units (see the page
    /shop); what all tests teach then."""
    return dict(add_test(_place(request), kind, typed).as_json())


@router.delete("/shop/tests/{name}", status_code=204)
def forget(request: Request, name: str) -> None:
    """Takes a test away again."""
    remove_test(_place(request), name)


def _place(request: Request) -> Workplace:
    found: Workplace = request.app.state.place
    return found
