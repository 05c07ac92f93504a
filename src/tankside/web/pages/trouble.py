"""Trouble: what is seen and known, what is likely behind it, what to check next, and what to do.

The whole case stands in the address, so that a reload, a way back or a new server loses nothing.
"""

import time
from collections.abc import Mapping
from datetime import date
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.datastructures import QueryParams

from tankside.app.diagnose import DiagnoseReply, all_faults, likely, likely_faults_of
from tankside.app.record_a_diagnosis import record_a_diagnosis
from tankside.app.trouble.ask import TroubleAsked, ask, place_names
from tankside.app.trouble.corrections import keep_a_correction, lessons
from tankside.app.trouble.known import baths, plans, runs
from tankside.app.trouble.panels import PanelTyped
from tankside.app.trouble.pictures import picture_of_fault
from tankside.app.trouble.words import Number, number_of, numbers_asked, said_of
from tankside.app.work.languages import reader_of
from tankside.app.work.readers import how_liked
from tankside.app.work.workplace import Workplace
from tankside.base.errors import BadInput, TanksideError
from tankside.web.frame import page, sentence_alone
from tankside.web.words import spoken

router = APIRouter()

KNOWN = ("bath", "plan", "run", "place")
PANEL = ("panel", "panel_current", "panel_minutes", "panel_cell")


@router.get("/trouble")
def trouble(request: Request) -> HTMLResponse:
    """The form; where something is said to be seen, the answer."""
    query = request.query_params
    if query.get("go") and query.getlist("seen"):
        try:
            reply = ask(_place(request), asked_of(query))
        except TanksideError as error:
            return _form(request, fault=sentence_alone(error))
        return _answer(request, reply)
    return _form(request)


@router.get("/trouble/likely")
def likely_piece(request: Request, words: str = "") -> HTMLResponse:
    """The faults that words may mean: a piece of the page."""
    chosen = request.query_params.getlist("seen")
    return page(request, "trouble_faults.html", faults=likely_faults_of(words), chosen=chosen)


@router.get("/trouble/pictures/{fault}.svg")
def picture(request: Request, fault: str) -> Response:
    """The drawing of a fault."""
    place = _place(request)
    content = picture_of_fault(place.tools, fault, reader_of(place.preferences.read()))
    return Response(content, media_type="image/svg+xml", headers={"cache-control": "max-age=86400"})


@router.get("/trouble/record.pdf")
def record(request: Request) -> Response:
    """The record of the case in the address, to print."""
    place = _place(request)
    reply = ask(place, asked_of(request.query_params))
    how = how_liked(place.preferences.read(), date.today().isoformat())
    content = record_a_diagnosis(reply, how, place.tools.diagnosis_sheets())
    return Response(content, media_type="application/pdf")


@router.post("/trouble/correct")
async def correct(request: Request) -> Response:
    """Keeps what turned out to be behind it."""
    form = await request.form()
    said = {key[6:]: str(value) for key, value in form.items() if key.startswith("cause.")}
    if also := str(form.get("also", "")):
        said[also] = "found"
    keep_a_correction(
        _place(request).store,
        case={"address": str(form.get("case", ""))[:4000]},
        found=[name for name, word in said.items() if word == "found"],
        ruled_out=[name for name, word in said.items() if word == "out"],
        at=time.time(),
    )
    return RedirectResponse("/trouble/learned?kept=true", status_code=303)


@router.get("/trouble/learned")
def learned(request: Request, kept: bool = False) -> HTMLResponse:
    """What the corrections have taught."""
    found = lessons(_place(request).store)
    return page(request, "trouble_learned.html", lessons=found, kept=kept)


def asked_of(query: QueryParams, most: int = 6) -> TroubleAsked:
    """The case in an address."""
    answers = dict(_pair(text) for text in query.getlist("answer"))
    values = {key[6:]: text for key, text in query.items() if key.startswith("value.")}
    known = {key: query.get(key, "").strip() for key in KNOWN}
    told = {spoken(name): str(name) for name in place_names()}
    known["place"] = told.get(known["place"], known["place"])
    panel = None
    if query.get("panel", "").strip():
        panel = PanelTyped(
            zones=query["panel"],
            current=query.get("panel_current", ""),
            duration=query.get("panel_minutes", "") or "5 min",
            cell=query.get("panel_cell", "") or "267 mL",
            bath=known["bath"],
        )
    seen = tuple(dict.fromkeys(query.getlist("seen")))
    return TroubleAsked(seen=seen, answers=answers, values=values, panel=panel, most=most, **known)


def _pair(text: str) -> tuple[str, str]:
    name, sign, word = text.partition(":")
    if not sign:
        raise BadInput("{text!r} is no answer; go back and choose anew", text=text[:60])
    return name, word


def _form(request: Request, fault: str = "") -> HTMLResponse:
    query = request.query_params
    place = _place(request)
    words = query.get("words", "")
    chosen = query.getlist("seen")
    found = likely_faults_of(words) if words.strip() else []
    rest = [one for one in all_faults() if one not in found]
    return page(
        request,
        "trouble.html",
        status=400 if fault else 200,
        fault=fault,
        words=words,
        chosen=chosen,
        first=[one for one in rest if one[0] in chosen] + found,
        faults=[one for one in rest if one[0] not in chosen],
        typed=dict(query),
        numbers=numbers_asked(),
        measured=any(query[key].strip() for key in _values(query)),
        places=place_names(),
        baths=baths(place),
        plans=plans(place),
        runs=runs(place),
        carried=_carried(query, but={"seen", "words", "go", *KNOWN, *_values(query)}),
    )


def _answer(request: Request, reply: DiagnoseReply) -> HTMLResponse:
    query = request.query_params
    most = max((one.to_blame.best for one in reply.diagnosis.suspects), default=0.0)
    return page(
        request,
        "trouble_answer.html",
        reply=reply,
        likely=likely(reply),
        said=[_item(one) for one in said_of(reply)],
        item=lambda one: _item(one),
        number_of=number_of,
        most=most,
        carried=_carried(query, but=set()),
        address=str(query),
        again=_without_go(query),
        asked=dict(query),
    )


def _item(one: str | Number) -> Mapping[str, Any]:
    return {"words": one, "number": None} if isinstance(one, str) else {"words": "", "number": one}


def _values(query: QueryParams) -> set[str]:
    return {key for key in query if key.startswith("value.")}


def _carried(query: QueryParams, but: set[str]) -> list[tuple[str, str]]:
    """What a form hands on unseen."""
    return [(key, text) for key, text in query.multi_items() if key not in but and text]


def _without_go(query: QueryParams) -> str:
    return str(QueryParams([(key, text) for key, text in query.multi_items() if key != "go"]))


def _place(request: Request) -> Workplace:
    found: Workplace = request.app.state.desk.place
    return found
