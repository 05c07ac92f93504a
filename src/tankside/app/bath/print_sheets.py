"""Use cases of paper: what the bath's answers look like as sheets to print and to write on."""

from collections.abc import Sequence
from dataclasses import replace

from tankside.app.bath.dose_a_bath import DoseReply
from tankside.app.bath.estimate_form import LedgerAsked, read_ledger
from tankside.app.bath.label_a_bottle import LabelReply
from tankside.app.bath.make_a_bath import MakeReply
from tankside.app.bath.plan_a_titration import PlanReply, PlanRequest, answer_of
from tankside.app.bath.retire_a_bath import RetireReply
from tankside.app.bath.rinse_a_part import RinseReply
from tankside.app.bath_sheet_port import (
    Analysis,
    BathSheets,
    Doses,
    Leaving,
    Record,
    Rinses,
    TankLabel,
)
from tankside.app.ports import SheetRequest
from tankside.base.messages import Quantity, said
from tankside.base.units import Kind, quantity
from tankside.bath.analysis.instruments import instrument
from tankside.bath.inventory.estimating import estimated
from tankside.bath.inventory.priors import Priors

_POINTS = 9
"""Estimates along a record's course, besides the last."""


def print_a_make_up(reply: MakeReply, how: SheetRequest, sheets: BathSheets) -> bytes:
    """The mixing sheet of a make-up."""
    return sheets.mixing(reply.plan, replace(how, title=reply.words))


def print_a_titration(
    request: PlanRequest, reply: PlanReply, how: SheetRequest, sheets: BathSheets
) -> bytes:
    """The sheet of a titration that is to be done."""
    answer = answer_of(request)
    asked = Analysis(
        procedure=reply.procedure,
        answer=lambda titre: answer(titre).value,
        quantity=request.what,
        most=instrument(request.burette).capacity,
        sources=answer(reply.plan.titre).sources,
    )
    return sheets.analysis(asked, how)


def print_a_label(reply: LabelReply, copies: int, how: SheetRequest, sheets: BathSheets) -> bytes:
    """A label to cut out."""
    contents = [
        said("{part}: up to {share}", part=said(name), share=Quantity(share, "percent"))
        for name, share in reply.contents.items()
    ]
    return sheets.label(TankLabel(label=reply.label, contents=contents, copies=copies), how)


def print_a_record(asked: LedgerAsked, title: str, how: SheetRequest, sheets: BathSheets) -> bytes:
    """The record of a bath by its ledger, with its course from the first note to the last."""
    read = read_ledger(asked)
    priors = Priors(temperature=quantity(asked.temperature, Kind.TEMPERATURE, where="temperature"))
    course = [
        estimated(tuple(event for event in read.held if event.at <= time), priors, at=time)
        for time in _times([event.at for event in read.held])
    ]
    record = Record(ledger=read.held, course=[*course, read.estimate], windows=read.windows)
    return sheets.record(record, replace(how, title=title))


def print_doses(reply: DoseReply, title: str, how: SheetRequest, sheets: BathSheets) -> bytes:
    """The dosing sheet of a bath."""
    doses = Doses(
        advice=reply.advice,
        at=reply.at,
        asked=reply.asked,
        tools=reply.tools,
        scales=reply.units,
        cautions=[one.text for one in reply.cautions],
        notes=[*reply.notes, *_additive(reply)],
    )
    return sheets.dosing(doses, replace(how, title=title))


def _additive(reply: DoseReply) -> list[str]:
    """What ampere-hours propose of the additive, and what the panel makes of it."""
    held = reply.additive
    if held is None:
        return []
    found = [held.proposal.sentence]
    if held.dose is not None and held.dose > 0.0:
        mass = Quantity(held.dose, "g")
        if held.density is None:
            panel = said(
                "By the panel, add {mass} of {product}, then plate another panel.",
                mass=mass,
                product=held.product,
            )
        else:
            panel = said(
                "By the panel, add {volume} ({mass}) of {product}, then plate another panel.",
                volume=Quantity(held.dose / held.density, "mL"),
                mass=mass,
                product=held.product,
            )
        found.append(panel)
    return found


def print_a_rinse(reply: RinseReply, title: str, how: SheetRequest, sheets: BathSheets) -> bytes:
    """The rinsing sheet of a part."""
    rinses = Rinses(
        carried=reply.carried,
        film=reply.film_words,
        ratio=reply.ratio,
        running=reply.running,
        still=reply.still,
        parts=reply.parts,
        parts_until=reply.parts_until,
        returned=reply.returned,
    )
    return sheets.rinsing(rinses, replace(how, title=title))


def print_a_retirement(
    reply: RetireReply, title: str, how: SheetRequest, sheets: BathSheets
) -> bytes:
    """The sheet of what retiring a bath takes."""
    return sheets.retirement(_leaving(reply), replace(how, title=title))


def print_a_hand_over(
    reply: RetireReply, title: str, how: SheetRequest, sheets: BathSheets
) -> bytes:
    """What goes along with a bath to whoever takes it."""
    return sheets.handover(_leaving(reply), replace(how, title=title))


def _leaving(reply: RetireReply) -> Leaving:
    return Leaving(
        bath=reply.bath,
        done=reply.done,
        plated=reply.plated,
        cemented=reply.cemented,
        portions=reply.portions,
        cautions=[one.text for one in reply.cautions],
        told_on=reply.told,
    )


def _times(moments: Sequence[float]) -> list[float]:
    """Moments between the first note and the last, at which something had happened."""
    first, last = min(moments), max(moments)
    if last <= first:
        return []
    return [first + share * (last - first) / (_POINTS + 1) for share in range(1, _POINTS + 1)]
