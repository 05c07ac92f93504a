"""The live check of an answer while it is typed: a piece of a page, not a page."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from tankside.app.work.plan_fields import FIELDS
from tankside.app.work.plan_form import field_fault
from tankside.app.work.typed_answers import fault_of, understood
from tankside.base.units import quantity, told
from tankside.web import reader
from tankside.web.frame import page

router = APIRouter()


@router.get("/check")
def check(request: Request) -> HTMLResponse:
    """One answer of the plan's form, named as its field: what is wrong, or how it was read."""
    key, text = next(iter(request.query_params.items()), ("", ""))
    fault = field_fault(key, text)
    return page(request, "checked.html", fault=fault, read="" if fault else read_as(key, text))


@router.get("/check/{question}")
def check_any(request: Request, question: str) -> HTMLResponse:
    """One answer of any other form, by what is asked for, such as "mass" or "spread-volume";
    whatever the field's name."""
    question = question.replace("-", " ")
    text = next(iter(request.query_params.values()), "")
    fault = fault_of(question, text)
    found = None if fault else understood(question, text)
    read = "" if found is None else reader.between(found.value, found.kind.name.lower(), 4)
    return page(request, "checked.html", fault=fault, read=read)


def read_as(key: str, text: str) -> str:
    """How a right answer was understood, such as "120 µm"; "" where it is a choice."""
    kind = FIELDS[key].kind
    return "" if kind is None else told(quantity(text, kind, where=""), kind)
