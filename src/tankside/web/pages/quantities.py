"""The live check of an answer while it is typed: a piece of a page, not a page."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from tankside.app.work.plan_fields import FIELDS
from tankside.app.work.plan_form import field_fault
from tankside.base.units import quantity, told
from tankside.web.frame import page

router = APIRouter()


@router.get("/check")
def check(request: Request) -> HTMLResponse:
    """One answer of the plan's form, named as its field: what is wrong, or how it was read."""
    key, text = next(iter(request.query_params.items()), ("", ""))
    fault = field_fault(key, text)
    return page(request, "checked.html", fault=fault, read="" if fault else read_as(key, text))


def read_as(key: str, text: str) -> str:
    """How a right answer was understood, such as "120 µm"; "" where it is a choice."""
    kind = FIELDS[key].kind
    return "" if kind is None else told(quantity(text, kind, where=""), kind)
