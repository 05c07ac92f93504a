"""The case behind a diagnosis, from what a face handed in: what was said, measured, planned and
read off a test panel."""

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from tankside.app.measured_values import measured_value
from tankside.base.errors import BadInput, UnknownName
from tankside.base.progress import Progress
from tankside.base.wording import term
from tankside.bath.families import family
from tankside.diagnosis.atlas import Atlas
from tankside.diagnosis.evidence import Case, Measured, Said, Told, complaints_of
from tankside.diagnosis.known_numbers import BathNumbers, RunNumbers, of_bath, of_run
from tankside.diagnosis.numbers_in_words import BATH, RUN
from tankside.diagnosis.place import around_point, named_place, readings_at

if TYPE_CHECKING:  # a plan's rooms and a panel's load slowly, and few diagnoses have one
    from tankside.app.diagnose import DiagnoseRequest
    from tankside.app.read_a_panel import PanelReply
    from tankside.app.trouble.kept_field import Planned

TOLD = term("what you measured")
"""Where the numbers of a request come from, in the record's words."""


def case_of(
    request: "DiagnoseRequest", atlas: Atlas, progress: Progress, panel: "PanelReply | None"
) -> Case:
    """The case; BadInput or UnknownName where a word or a number is not understood. `panel` is what
    the request's panel was read as."""
    for name in request.seen:
        atlas.fault(name)
    told = [Told(finding=name) for name in dict.fromkeys(request.seen)]
    for name, said in (request.answers or {}).items():
        if name not in atlas.faults and name not in atlas.checks:
            raise UnknownName("fault or check", name, [*atlas.faults, *atlas.checks])
        told.append(Told(finding=name, said=_said(name, said)))
    case = Case(told=tuple(told), measured=_measured(request), unasked=request.on_own_bench)
    if panel is not None:
        case = _with_panel(case, panel)
    planned = _planned(request, progress)
    if planned is None:
        if request.place is not None:
            raise BadInput("a place on the part needs the job that it is in", where="place")
        return case
    there = _at_place(planned, request, complaints_of(case, atlas), atlas)
    return replace(case, measured=(*case.measured, *planned.numbers, *there))


def _planned(request: "DiagnoseRequest", progress: Progress) -> "Planned | None":
    if request.job is None:
        return request.planned
    from tankside.app.plan_a_job import plan_a_job
    from tankside.app.trouble.kept_field import planned_of

    return planned_of(plan_a_job(request.job, progress).plan)


def panel_of(request: "DiagnoseRequest") -> "PanelReply | None":
    """The test panel as it was read; None where there is none."""
    if request.panel is None:
        return None
    from tankside.app.read_a_panel import read_a_panel

    return read_a_panel(request.panel)


def _with_panel(case: Case, panel: "PanelReply") -> Case:
    """The case with what the panel says; what the person said themselves goes before it."""
    from tankside.diagnosis.panel import measured_by, told_by

    spoken = {one.finding for one in case.told}
    answers = (one for one in told_by(panel.reading) if one.finding not in spoken)
    numbers = measured_by(panel.reading, panel.trend)
    return replace(case, told=(*case.told, *answers), measured=(*case.measured, *numbers))


def _said(name: str, text: str) -> Said:
    known = {said.value: said for said in Said}
    if text not in known:
        raise UnknownName("answer", text, known, where=name)
    return known[text]


def _measured(request: "DiagnoseRequest") -> tuple[Measured, ...]:
    found = {name: measured_value(name, text) for name, text in (request.values or {}).items()}
    bath = {name: value for name, value in found.items() if name in BATH}
    run = {name: value for name, value in found.items() if name in RUN}
    if unknown := found.keys() - bath.keys() - run.keys():
        raise UnknownName("number", sorted(unknown)[0], [*BATH, *RUN], where="value")
    windows = family(request.family)
    told = (*of_bath(BathNumbers(**bath), windows, TOLD), *of_run(RunNumbers(**run), TOLD))
    known = {item.quantity for item in told}  # what a person measured today goes before the ledger
    estimate = of_bath(request.bath or BathNumbers(), windows)
    log = of_run(request.run or RunNumbers())
    return (*told, *(item for item in (*estimate, *log) if item.quantity not in known))


def _at_place(
    planned: "Planned", request: "DiagnoseRequest", seen: tuple[str, ...], atlas: Atlas
) -> tuple[Measured, ...]:
    if request.place is None:
        return ()
    part = planned.part
    if isinstance(request.place, str):
        panels = named_place(part, request.place)
    else:
        panels = around_point(part, np.array(request.place))
    return readings_at(part, panels, (atlas.fault(name).field for name in seen))
