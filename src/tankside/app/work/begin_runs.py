"""Use case: a run begun from a plan that was made here; the plan is kept in the store with it, so
that what comes of the run can be held against it for good."""

from pathlib import PurePath
from typing import TYPE_CHECKING

from tankside.app.work.folder import RESULT, RUN_ORDER, SAID
from tankside.app.work.kept_json import read_json
from tankside.app.work.run_ways import SIMULATED
from tankside.base.errors import BadInput

if TYPE_CHECKING:
    from tankside.app.work.workplace import Workplace

_NOT_SHEETS = (RESULT, RUN_ORDER, SAID)


def begin_run(
    place: "Workplace", plan: str, supply: str = "", hurry: float = 1.0, fault: str = ""
) -> str:
    """The id of the new run; nothing is switched on yet. BadInput where the plan is not done."""
    work = place.queue.get(plan)
    path = place.queue.folder.made(work.id).get(RUN_ORDER)
    if path is None:
        raise BadInput(
            "{order} is no plan that is done, or was made before runs were kept; wait for it, or "
            "plan anew",
            order=work.order.title,
        )
    name = supply.strip() or SIMULATED
    trial = (hurry, fault) if name == SIMULATED else (1.0, "")
    order = {**read_json(path), "title": work.order.title}
    return place.runs.begin(order, name, *trial, plan=work.id, stored_plan=_kept(place, work.id))


def _kept(place: "Workplace", plan: str) -> str:
    """The plan's id in the store, kept there now where it was not; "" where it has no job."""
    from tankside.app.keep.keep_a_plan import PlanToKeep, keep_a_plan
    from tankside.app.store_records import Document

    work, folder = place.queue.get(plan), place.queue.folder
    files, name = folder.given(plan), str(work.order.options.get("job", ""))
    if name not in files.names():
        return ""
    text = files.read(name, where="the job").decode("utf-8")
    reply = folder.result(plan)
    written = Document.of(reply)
    for one in place.store.plans.all(archived=True):
        if one.value.job_text == text and one.value.reply == written:
            return one.id
    sheets = {
        key: path.read_bytes() for key, path in folder.made(plan).items() if key not in _NOT_SHEETS
    }
    wanted = PlanToKeep(job_text=text, job_name=name, files=files, reply=reply, sheets=sheets)
    return keep_a_plan(place.store, PurePath(work.order.title).stem, wanted).id
