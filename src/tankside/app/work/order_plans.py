"""Use case: order the plan of an examined part, from the form or from a job file."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from tankside.app.work.plan_fields import FIELDS
from tankside.app.work.plan_form import (
    JOB_NAME,
    SHOP_TESTS,
    FormFault,
    check_job,
    job_from_form,
)
from tankside.app.work.work import Work, WorkKind
from tankside.base.errors import BadInput

if TYPE_CHECKING:
    from tankside.app.work.queue import WorkQueue


def add_plan(queue: "WorkQueue", part: Work, typed: Mapping[str, str]) -> Work:
    """Queues the plan that the form's answers ask for; FormFault where they are wrong."""
    found = queue.folder.result(part.id)
    answers = {key: typed[key] for key in FIELDS if key in typed}
    text = job_from_form(answers, found)
    name = str(part.order.options["file"])
    given = {
        JOB_NAME: text.encode(),
        name: queue.folder.given(part.id).read(name, where="the part"),
    }
    if answers.get("known") == "shop":
        try:
            given[SHOP_TESTS] = shop_tests(queue)
        except BadInput as error:
            raise FormFault({"known": error.message}) from error
    return queue.add(
        WorkKind.PLAN,
        part.order.title,
        given,
        part=part.id,
        options={"job": JOB_NAME, "form": answers},
    )


def shop_tests(queue: "WorkQueue") -> bytes:
    """The shop's tests as they are now, so that work keeps what it stood on; BadInput before the
    first."""
    path = queue.folder.root.parent / SHOP_TESTS
    if not path.is_file():
        raise BadInput("no test of your own is kept yet; note one first", where=SHOP_TESTS)
    return path.read_bytes()


def add_job(
    queue: "WorkQueue",
    title: str,
    job: str,
    meshes: Mapping[str, bytes],
    options: Mapping[str, Any] | None = None,
) -> Work:
    """Queues the plan of a job file with the mesh files that it names; FormFault where it cannot
    be read. `options` are kept with the order, such as the rig that it is of."""
    check_job(job)
    return queue.add(
        WorkKind.PLAN,
        title,
        {**meshes, JOB_NAME: job.encode()},
        options={**(options or {}), "job": JOB_NAME},
    )
