"""The words of a plan: cautions, assumptions and the works that it stands on."""

from dataclasses import dataclass

from tankside.base.messages import said
from tankside.bath.electrolyte import Electrolyte
from tankside.cell.bodies import Cell
from tankside.plan.plan import WireLoad
from tankside.safety.cautions import Work, cautions_for

HYDROGEN_NOTICED = 0.01
"""Share of the charge from which hydrogen is worth a caution [-]: our choice."""

STANDING = (
    said(
        "Copper deposits with two electrons an ion at 8960 kg/m³; what goes to "
        "hydrogen adds no thickness."
    ),
    said("The part's shape is not moved as it grows."),
    said(
        "Additives such as brighteners change copper's kinetics by more than the "
        "interval given here; their effect is not modelled."
    ),
    said(
        "Roughness and adhesion cannot be computed. Cheap test: plate a scrap of the "
        "same print with the same paint at the same current density for an hour, then "
        "bend, tape and look at it."
    ),
)
"""Assumptions of every plan."""

OF_METAL = said("The part's surface is taken as metal at one potential.")

OF_COATS = (
    said(
        "The coat has the sheet resistance that is given, everywhere; copper thinner "
        "than about 0.1 µm conducts worse than its thickness says, which is a guess "
        "that moves the start by minutes."
    ),
    said(
        "Bare coat neither dissolves nor makes hydrogen of its own, and copper does "
        "not grow across gaps in the coat."
    ),
    said("The interval of the thickness is that of the metal part that the coat becomes."),
    said(
        "The wires' ends are joined to the coat without resistance of their own: paint over them."
    ),
)
"""Assumptions where a part conducts only through a coat."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remarks:
    """What the words follow from. SI."""

    task_assumptions: tuple[str, ...]
    electrolyte: Electrolyte
    cell: Cell
    sulfuric_acid: float
    air_agitation: bool
    voltage_limit: float
    duration: float
    wires: tuple[WireLoad, ...]
    hydrogen_share: float
    coated: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """Sentences and source keys."""

    cautions: tuple[str, ...]
    assumptions: tuple[str, ...]
    sources: tuple[str, ...]


def remarks_of(given: Remarks) -> Words:
    """All words of a plan."""
    cautions = cautions_for(
        Work(
            sulfuric_acid=given.sulfuric_acid,
            temperature=given.electrolyte.temperature,
            air_agitation=given.air_agitation,
            voltage_limit=given.voltage_limit,
            duration=given.duration,
            highest_wire_current_density=max(
                (wire.metal_current_density for wire in given.wires), default=0.0
            ),
            makes_hydrogen=given.hydrogen_share > HYDROGEN_NOTICED,
        )
    )
    sources = {*given.electrolyte.sources, *(caution.source for caution in cautions), *BOOKS}
    return Words(
        cautions=tuple(caution.text for caution in cautions),
        assumptions=(
            *given.task_assumptions,
            *given.electrolyte.assumptions,
            *given.cell.notes,
            *(OF_COATS if given.coated else (OF_METAL,)),
            *STANDING,
        ),
        sources=tuple(sorted(sources - {""})),
    )


BOOKS = ("newman2004",)
"""Works that every plan's field stands on."""
