"""A rig search's reply as one JSON object, with the unit in each name."""

from dataclasses import asdict
from typing import Any

from tankside.app.fewest_contacts import WiresReply
from tankside.app.rig_values import RigProposal, RigReply
from tankside.plan.rigs.comparison import RigNumbers
from tankside.plan.rigs.figures import RigFigures, RigResult, RigStart


def reply_as_json(reply: RigReply) -> dict[str, Any]:
    """The whole reply."""
    return {
        "goal": reply.goal.value,
        "own": _numbers(reply.own),
        "proposals": [_proposal(proposal) for proposal in reply.proposals],
        "pareto": [asdict(point) for point in reply.pareto],
        "coated": reply.coated,
        "rules_of_thumb": [asdict(rule) for rule in reply.rules],
        "evaluations": reply.evaluations,
        "refused": dict(reply.refused),
        "least_difference": reply.least_difference if len(reply.proposals) else None,
        "freedoms": list(reply.freedoms),
        "notes": list(reply.notes),
        "seconds": reply.seconds,
    }


def _numbers(numbers: RigNumbers) -> dict[str, Any]:
    return {**asdict(numbers), "part_thinnest_um": list(numbers.part_thinnest_um)}


def _proposal(proposal: RigProposal) -> dict[str, Any]:
    return {
        **_numbers(proposal.numbers),
        "limited_by": proposal.figures.limited_by,
        "wires_needed": proposal.wires_needed,
        "changes": list(proposal.changes),
        "gains_and_costs": list(proposal.gains),
        "jobs": sorted(proposal.jobs),
    }


def wires_as_json(reply: WiresReply) -> dict[str, Any]:
    """The fewest wires for a start."""
    found = reply.found
    return {
        "wires": len(found.attempts[-1].places) if found.margins else None,
        "places_m": [list(place) for place in found.attempts[-1].places] if found.margins else [],
        "margins": None
        if found.margins is None
        else dict(zip(("low", "best", "high"), found.margins, strict=True)),
        "told": list(reply.sentences),
    }


def result_as_json(result: RigResult) -> dict[str, Any]:
    """One evaluation, for the journal of a search."""
    figures = None if result.figures is None else asdict(result.figures)
    return {"figures": figures, "refusal": result.refusal}


def result_from_json(told: dict[str, Any]) -> RigResult:
    """The evaluation again."""
    figures = told["figures"]
    if figures is None:
        return RigResult(refusal=told["refusal"])
    rates = tuple(figures["part_thinnest_rates"])
    start = RigStart(**figures["start"])
    return RigResult(
        figures=RigFigures(**{**figures, "part_thinnest_rates": rates, "start": start})
    )
