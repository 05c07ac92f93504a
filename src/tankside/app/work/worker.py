"""The worker process: takes ids from a pipe, does the work, and tells how it goes.

It runs apart from the server, so that a mesh that eats memory or a kernel that hangs takes only
this process with it. Messages back are tuples: ("stage", words, fraction) and, once,
("ended", state, fault, sentence).
"""

import json
import os
import signal
import time
import traceback
from collections.abc import Mapping
from multiprocessing import resource_tracker
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tankside.app.work.folder import RESULT, RUN_ORDER, SAID, VIEW, WorkFolder
from tankside.app.work.work import Fault, Order, WorkKind, WorkState
from tankside.base.errors import BadInput, Cancelled, Impossible, TanksideError
from tankside.base.message_parts import all_packed
from tankside.base.messages import said
from tankside.base.progress import Progress
from tankside.base.wording import quoting

if TYPE_CHECKING:
    from tankside.app.ports import SheetRequest, Tools

MOST_SHOWN = 400_000
"""Triangles of a part beyond which no view is made: a phone could not turn it."""
TOLD_EVERY_S = 0.2
"""Least time between two messages of one stage [s]."""


def worked(pipe: Connection, root: Path, tools: "Tools", memory: int) -> None:
    """The life of a worker: until the pipe closes. `memory` caps its address space [bytes]."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _limit_memory(memory)
    folder = WorkFolder(root)
    while True:
        try:
            order: Order = pipe.recv()
        except (EOFError, OSError):
            return
        pipe.send(("ended", *_outcome(order, folder, tools, _teller(pipe, folder, order.id))))


def start_deaf(process: BaseProcess) -> None:
    """Starts a worker that hears no ctrl-C, where the system can do that: a terminal sends it to
    worker and server alike, and it is the server that ends the worker."""
    if not hasattr(signal, "pthread_sigmask"):
        process.start()
        return
    resource_tracker.ensure_running()  # it would let the signal through again
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        process.start()
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _outcome(
    order: Order, folder: WorkFolder, tools: "Tools", progress: Progress
) -> tuple[WorkState, Fault, str]:
    try:
        folder.keep(order.id, _MAKERS[order.kind](order, folder, tools, progress))
    except Cancelled:
        return WorkState.CANCELLED, Fault.NONE, ""
    except BadInput as error:
        return WorkState.FAILED, Fault.INPUT, str(error)
    except Impossible as error:
        return WorkState.FAILED, Fault.IMPOSSIBLE, str(error)
    except TanksideError as error:
        return WorkState.FAILED, Fault.OURS, str(error)
    except MemoryError:
        words = said("this needs more memory than the server may take")
        return WorkState.FAILED, Fault.INPUT, words
    except Exception as error:  # whatever it is, the person is told, and the worker goes on
        traceback.print_exc()
        fault = f"{type(error).__name__}: {error}".splitlines()[0]
        words = quoting("this is our fault, not yours: {fault}", fault=fault)
        return WorkState.FAILED, Fault.OURS, words
    return WorkState.DONE, Fault.NONE, ""


def _part(
    order: Order, folder: WorkFolder, tools: "Tools", progress: Progress
) -> Mapping[str, bytes]:
    from tankside.app.examine_a_part import PartRequest, examine_a_part

    request = PartRequest(
        file_name=str(order.options["file"]),
        files=folder.given(order.id),
        unit=order.options.get("unit") or None,
    )
    reply = examine_a_part(request, progress)
    mesh = reply.loaded.mesh
    low, high = mesh.box
    said = {**reply.as_json(), "box_low_m": low.tolist(), "box_high_m": high.tolist()}
    view = {} if len(mesh.triangles) > MOST_SHOWN else {VIEW: tools.sheets().view_of_part(mesh)}
    return {**_result(said), **view}


def _plan(
    order: Order, folder: WorkFolder, tools: "Tools", progress: Progress
) -> Mapping[str, bytes]:
    from tankside.app.order_a_run import as_json, order_of
    from tankside.app.plan_a_job import PlanRequest, plan_a_job
    from tankside.app.trouble.kept_field import FIELD, packed, planned_of

    files = folder.given(order.id)
    name = str(order.options["job"])
    text = files.read(name, where="the job").decode("utf-8")
    reply = plan_a_job(PlanRequest(job_text=text, job_name=name, files=files), progress)
    progress("making the sheets", 0.0)
    sheets = tools.sheets()
    request = _sheet_request(order, folder, reply.title)
    return {
        **sheets.files(reply.plan, request),
        VIEW: sheets.view_of_plan(reply.plan),
        RUN_ORDER: _json(as_json(order_of(reply, text))),
        FIELD: packed(planned_of(reply.plan)),
        "summary.txt": sheets.summary(reply.plan, request.reader.units).encode(),
        **_result(sheets.reply(reply.plan, reply.seconds)),
    }


def _rig(
    order: Order, folder: WorkFolder, tools: "Tools", progress: Progress
) -> Mapping[str, bytes]:
    """A search; rigs that were tried before a restart are not tried again."""
    from tankside.app.improve_a_rig import improve_a_rig
    from tankside.app.rig.drawing import drawn_rigs
    from tankside.app.rig.searching import request_of
    from tankside.app.rig_reply import reply_as_json, result_as_json, result_from_json

    files = folder.given(order.id)
    tried = tools.journal(
        folder.of(order.id) / "tried.json", encode=result_as_json, decode=result_from_json
    )
    with tools.sweeps(None, 0) as sweeps:
        reply = improve_a_rig(
            request_of(order, files),
            sweeps,
            progress,
            cancel=lambda: folder.wants_cancel(order.id),
            done=tried,
        )
    jobs = {name: text for proposal in reply.proposals for name, text in proposal.jobs.items()}
    progress("drawing the rigs", 0.0)
    drawings = drawn_rigs(reply, tools.sheets(), _sheet_request(order, folder, order.title))
    return {**jobs, **drawings, **_result(reply_as_json(reply))}


def _sheet_request(order: Order, folder: WorkFolder, title: str) -> "SheetRequest":
    from tankside.app.work.preferences import KeptPreferences
    from tankside.app.work.readers import how_liked

    day = time.strftime("%Y-%m-%d", time.localtime(order.created))
    return how_liked(KeptPreferences(folder.root.parent).read(), day, title)


_MAKERS = {WorkKind.PART: _part, WorkKind.PLAN: _plan, WorkKind.RIG: _rig}


def _teller(pipe: Connection, folder: WorkFolder, id: str) -> Progress:
    """Progress that goes through the pipe, not too often, and ends the work when asked to."""
    last: dict[str, Any] = {"at": 0.0, "stage": ""}

    def told(stage: str, fraction: float) -> None:
        now = time.monotonic()
        if stage == last["stage"] and now - last["at"] < TOLD_EVERY_S:
            return
        last.update(at=now, stage=stage)
        if folder.wants_cancel(id):
            raise Cancelled("stopped by the person; nothing was kept")
        pipe.send(("stage", stage, min(max(float(fraction), 0.0), 1.0)))

    return told


def _limit_memory(most: int) -> None:
    """Caps the address space where the system can do that (not on Windows)."""
    os.environ.setdefault("NUMBA_NUM_THREADS", "2")
    try:
        import resource
    except ImportError:
        return
    _, hard = resource.getrlimit(resource.RLIMIT_AS)
    if hard == resource.RLIM_INFINITY or most < hard:
        resource.setrlimit(resource.RLIMIT_AS, (most, hard))


def _result(value: Mapping[str, Any]) -> dict[str, bytes]:
    """The result as everybody reads it, and beside it the parts of its sentences."""
    return {RESULT: _json(value), SAID: _json(all_packed(value))}


def _json(value: Mapping[str, Any]) -> bytes:
    return json.dumps(value, ensure_ascii=False, allow_nan=False).encode()
