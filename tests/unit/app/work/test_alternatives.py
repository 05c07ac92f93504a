"""Alternatives of a plan: the same job with one thing changed, planned as work of its own."""

import json
from pathlib import Path
from typing import Any

import pytest

from tankside.app.job.reading import read_job
from tankside.app.job.schema import AcidSulfateBath, Job
from tankside.app.work.alternatives import ALTERNATIVES, offers, order_alternatives
from tankside.app.work.order_plans import add_job, add_plan
from tankside.app.work.work import Work, WorkKind, WorkState
from tankside.base.errors import BadInput, UnknownName
from tankside.bath.families import family
from tests.unit.web.desk import PART, IdleQueue
from tests.unit.web.replies import a_plan


@pytest.fixture
def queue(tmp_path: Path) -> IdleQueue:
    return IdleQueue(tmp_path)


def planned(queue: IdleQueue, **answers: str) -> Work:
    """A plan of a block from the form's answers."""
    given = {"knob.stl": b"solid knob\nendsolid knob\n"}
    part = queue.add(WorkKind.PART, "knob", given, options={"file": "knob.stl", "unit": "mm"})
    queue.finish(part, json.dumps(PART).encode())
    plan = add_plan(queue, part, answers)
    queue.finish(plan, json.dumps(a_plan()).encode())
    return plan


def job_of(queue: IdleQueue, work: Work) -> Job:
    text = queue.folder.given(work.id).read("job.toml", where="").decode()
    return read_job(text, name="job.toml")


def kinds(queue: IdleQueue, plan: Work) -> list[str]:
    return [one.alternative.kind for one in offers(queue, plan.id)]


def test_a_usual_plan_has_all_of_them(queue: IdleQueue) -> None:
    assert kinds(queue, planned(queue)) == list(ALTERNATIVES)


@pytest.mark.parametrize("kind", list(ALTERNATIVES))
def test_each_changes_one_thing_alone(queue: IdleQueue, kind: str) -> None:
    plan = planned(queue)
    (work,) = order_alternatives(queue, plan.id, [kind])
    before, after = job_of(queue, plan), job_of(queue, work)
    changed = [name for name in Job.model_fields if getattr(before, name) != getattr(after, name)]
    assert changed == [{"throw": "bath", "warmer": "bath", "agitation": "bath"}.get(kind, "goal")]
    assert work.order.part == plan.order.part
    assert work.order.options["alternative"] == {"of": plan.id, "kind": kind}
    assert queue.folder.given(work.id).names() == queue.folder.given(plan.id).names()


def test_slower_is_slower_than_the_plan_was(queue: IdleQueue) -> None:
    plan = planned(queue)
    (work,) = order_alternatives(queue, plan.id, ["slower"])
    assert job_of(queue, work).goal.current == pytest.approx(0.6 * 0.5)
    assert "form" not in work.order.options  # the form has no field for a current


def test_better_throw_is_the_published_windows(queue: IdleQueue) -> None:
    # Metal Finishing Guidebook (2013), p. 284, table IX: 60 to 75 g/L and 187 to 225 g/L
    far = planned(queue, copper_sulfate="220 g/L", sulfuric_acid="55 g/L")
    bath = job_of(queue, order_alternatives(queue, far.id, ["throw"])[0]).bath
    assert isinstance(bath, AcidSulfateBath)
    windows = family("high-throw").windows
    assert bath.copper_sulfate_pentahydrate == pytest.approx(67.5)
    assert bath.sulfuric_acid == pytest.approx(206)
    assert windows["sulfuric_acid"].side(bath.sulfuric_acid) == "inside"


def test_what_has_no_place_is_not_offered(queue: IdleQueue) -> None:
    there = planned(
        queue,
        copper_sulfate="60 g/L",
        sulfuric_acid="225 g/L",
        temperature="33 degC",
        measured_at="thinnest 5 percent",
    )
    assert kinds(queue, there) == ["slower", "thinner", "agitation"]
    with pytest.raises(UnknownName):
        order_alternatives(queue, there.id, ["slower", "throw"])
    assert len([one for one in queue.all() if one.order.kind is WorkKind.PLAN]) == 1


def test_none_is_asked_for_twice_and_a_stopped_one_again(queue: IdleQueue) -> None:
    plan = planned(queue)
    (first,) = order_alternatives(queue, plan.id, ["slower", "slower"])
    assert order_alternatives(queue, plan.id, ["slower"]) == ()
    queue.end(first, WorkState.CANCELLED)
    (again,) = order_alternatives(queue, plan.id, ["slower"])
    assert again.id != first.id


def test_answers_of_the_form_go_along(queue: IdleQueue) -> None:
    plan = planned(queue, temperature="22 degC", tank_length="33 cm")
    (work,) = order_alternatives(queue, plan.id, ["warmer"])
    form: Any = work.order.options["form"]
    assert form["temperature"] == "27 degC"
    assert form["tank_length"] == "33 cm"


def test_a_plan_of_a_job_file_has_them_too(queue: IdleQueue) -> None:
    text = queue.folder.given(planned(queue).id).read("job.toml", where="").decode()
    plan = add_job(queue, "block", text, {"knob.stl": b"solid knob\nendsolid knob\n"})
    with pytest.raises(BadInput, match="no plan that is done"):
        offers(queue, plan.id)
    queue.finish(plan, json.dumps(a_plan()).encode())
    assert kinds(queue, plan) == list(ALTERNATIVES)


def test_nothing_chosen_is_said(queue: IdleQueue) -> None:
    with pytest.raises(BadInput, match="choose one"):
        order_alternatives(queue, planned(queue).id, [])
