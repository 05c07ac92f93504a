"""The audit of a run: what was weighed, measured and seen, and what follows; photos of it."""

from typing import TYPE_CHECKING, Any

from fastapi import APIRouter, Request, UploadFile
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from tankside.app.keep.keep_a_photo import LARGEST
from tankside.app.work.run_audits import (
    TypedAudit,
    audit_run,
    contradicts,
    keep_photo,
    last_audit,
    last_measured,
    photo_of,
    photos_of,
    planned_places,
)
from tankside.app.work.shop_tests import learn_from_run
from tankside.app.work.workplace import Workplace
from tankside.base.errors import BadInput
from tankside.web.frame import page
from tankside.web.pages.bars import Bar, bars
from tankside.web.words import N_, _

if TYPE_CHECKING:
    from tankside.app.audit_a_run import AuditReply  # wakes numba

router = APIRouter()
POINTS = 8
"""Rows for calliper readings."""
SEEN = {
    "burnt": N_("burnt, dark or powdery edges"),
    "rough": N_("rough, with grains or trees"),
    "bare": N_("bare places"),
    "pits": N_("pits or pores"),
    "peels": N_("peels or blisters"),
    "dull": N_("dull or streaked"),
    "cracks": N_("cracks"),
}
"""What an eye sees, by what is kept."""
FACTORS = {
    "efficiency": N_("copper's share of the current"),
    "share": N_("the part's share of the copper"),
    "area": N_("the area that was plated"),
    "meter": N_("true over counted ampere-hours"),
    "density": N_("density of the copper"),
}


@router.get("/runs/{id}/audit")
def audit(request: Request, id: str) -> HTMLResponse:
    """The form, and the last audit of the run."""
    place: Workplace = request.app.state.desk.place
    return _page(request, place, id, dict(last_measured(place, id) or {}), "")


@router.post("/runs/{id}/audit")
async def measure(request: Request, id: str) -> Response:
    """Audits; where something typed cannot be read, shows the form again with the sentence."""
    place: Workplace = request.app.state.desk.place
    form = await request.form()
    typed = {key: str(value) for key, value in form.items() if isinstance(value, str)}
    points = tuple(
        tuple(typed.get(f"{name}{k}", "") for name in ("place", "thickness", "planned"))
        for k in range(POINTS)
    )
    seen = [key for key in SEEN if f"seen-{key}" in typed]
    asked = TypedAudit(
        **{key: typed.get(key, "") for key in ("before", "after", "wires", "scale", "resolution")},
        points=[(p[0], p[1], p[2]) for p in points],
        seen=[*seen, typed.get("words", "")],
    )
    try:
        await run_in_threadpool(audit_run, place, id, asked)
    except BadInput as error:
        held = {**typed, "seen": [*seen, typed.get("words", "")], "rows": points}
        return await run_in_threadpool(_page, request, place, id, held, str(error))
    return RedirectResponse(f"/runs/{id}/audit", status_code=303)


@router.post("/runs/{id}/photos")
def add_photo(request: Request, id: str, photos: list[UploadFile]) -> Response:
    """Keeps photos of what came out."""
    for one in photos:
        content = one.file.read(LARGEST + 1)
        keep_photo(request.app.state.desk.place, id, one.filename or "photo", content)
    return RedirectResponse(f"/runs/{id}/audit#photos", status_code=303)


@router.get("/photos/{id}")
def photo(request: Request, id: str) -> Response:
    """A photo by its id in the store."""
    record, content = photo_of(request.app.state.desk.place, id)
    headers = {"cache-control": "private, max-age=31536000, immutable"}
    return Response(content, media_type=record.file.mime, headers=headers)


@router.post("/runs/{id}/teach")
def teach(request: Request, id: str) -> Response:
    """The audit's efficiency becomes a test of the shop."""
    learn_from_run(request.app.state.desk.place, id)
    return RedirectResponse("/shop", status_code=303)


def _page(
    request: Request, place: Workplace, id: str, held: dict[str, Any], said: str
) -> HTMLResponse:
    run = place.runs.view(id)
    if not run.charge > 0.0:
        raise BadInput(_("nothing was plated in this run yet; there is nothing to audit"))
    found = last_audit(place, id)
    rows = list(held.get("rows", ())) or [_row(one) for one in held.get("points", ())]
    seen = [str(one) for one in held.get("seen", ())]
    return page(
        request,
        "audit.html",
        status=400 if said else 200,
        run=run,
        held=held,
        said=said,
        rows=[*rows, *[("", "", "")] * POINTS][:POINTS],
        seen={key: (words, key in seen) for key, words in SEEN.items()},
        words=next((one for one in seen if one not in SEEN), ""),
        places=planned_places(place, id),
        audit=None if found is None else found.audit,
        odd=found is not None and contradicts(found),
        factors=_factors(place, id, found),
        photos=photos_of(place, id),
    )


def _row(point: str) -> tuple[str, str, str]:
    """A kept reading, as the form shows it."""
    place, _sign, rest = point.partition("=")
    thickness, _sign, planned = rest.partition("/")
    return place, thickness, planned


def _factors(place: Workplace, id: str, found: "AuditReply | None") -> list[Bar]:
    """Each factor before and after, as multiples of what was believed best."""
    if found is None:
        return []
    believed = place.runs.order(id).believed
    rows = []
    for name, words in FACTORS.items():
        before, after = getattr(believed, name), found.audit.factors[name]
        rows.append((_(words), before.scaled(1 / before.best), after.scaled(1 / before.best)))
    return bars(rows)
