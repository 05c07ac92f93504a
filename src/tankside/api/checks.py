"""Checks that cost nothing: a quantity as typed, an answer of the plan's form, a job file."""

from fastapi import APIRouter
from pydantic import BaseModel

from tankside.api.replies import JobReply, QuantityReply
from tankside.app.work.plan_fields import FIELDS, defaults
from tankside.app.work.plan_form import check_job, field_fault
from tankside.base.errors import UnknownName
from tankside.base.units import Kind, quantity, told

router = APIRouter(tags=["checks"])


class JobText(BaseModel):
    """A job file's text."""

    job: str


@router.get("/quantity")
def read_quantity(text: str, kind: str) -> QuantityReply:
    """Reads a quantity as people type it, such as "0,5 mm" of the kind "length"."""
    kinds = {one.name.lower(): one for one in Kind}
    if kind not in kinds:
        raise UnknownName("the kind", kind[:40], kinds)
    known = kinds[kind]
    value = quantity(text, known, where="")
    return QuantityReply(kind=kind, value_SI=value, unit_SI=known.si_unit, told=told(value, known))


@router.get("/plan-form")
def plan_form() -> dict[str, str]:
    """The fields of the plan's form with their defaults."""
    return defaults()


@router.get("/plan-form/{key}")
def check_answer(key: str, text: str) -> dict[str, str]:
    """What is wrong with one answer of the form; "" where nothing is."""
    if key not in FIELDS:
        raise UnknownName("the field", key[:40], FIELDS)
    return {"fault": field_fault(key, text)}


@router.post("/jobs/check")
def check(sent: JobText) -> JobReply:
    """Whether a job file can be read, and is safe; refuses with the sentence otherwise."""
    check_job(sent.job)
    return JobReply(readable=True)
