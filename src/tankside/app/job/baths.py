"""Turns the job's [bath] table into the bath's properties, whichever family it is of."""

from tankside.app.job import schema
from tankside.base.errors import BadInput, OutsideValidity, UnknownName
from tankside.base.intervals import Interval
from tankside.bath.acid_sulfate import FAMILY, acid_sulfate
from tankside.bath.composition import Composition
from tankside.bath.electrolyte import Electrolyte
from tankside.bath.slips import refuse_little_solute, refuse_much_chloride, refuse_thousandfold
from tankside.bath.speciation.recipe import INGREDIENTS, WeakAcidRecipe
from tankside.bath.weak_acid import FAMILIES as WEAK_ACID_FAMILIES
from tankside.bath.weak_acid import weak_acid

FAMILIES = (FAMILY, *WEAK_ACID_FAMILIES)
"""The families that a job may name."""


def electrolyte_of(
    bath: schema.AcidSulfateBath | schema.WeakAcidBath, *, height: float
) -> Electrolyte:
    """The bath's properties around a part of a `height` [m]; BadInput beyond the laws' ranges."""
    if bath.family not in FAMILIES:
        raise UnknownName("bath family", bath.family, FAMILIES, where="[bath] family")
    agitation = bath.agitation if bath.boundary_layer is None else bath.boundary_layer
    if agitation is None:
        raise BadInput("give either agitation or boundary_layer", where="[bath]")
    try:
        if isinstance(bath, schema.WeakAcidBath):
            return _weak_acid(bath, agitation, height)
        return _acid_sulfate(bath, agitation, height)
    except UnknownName as error:
        raise UnknownName(error.kind, error.given, error.known, where="[bath]") from error
    except (OutsideValidity, BadInput) as error:
        raise BadInput(error.message, where=error.where or "[bath]") from error


def _acid_sulfate(
    bath: schema.AcidSulfateBath, agitation: str | float | Interval, height: float
) -> Electrolyte:
    composition = Composition(
        copper_sulfate_pentahydrate=bath.copper_sulfate_pentahydrate,
        sulfuric_acid=bath.sulfuric_acid,
        chloride=bath.chloride,
    )
    refuse_thousandfold(composition)
    return acid_sulfate(
        composition,
        bath.temperature,
        agitation,
        height=height,
        measured_conductivity=bath.conductivity,
    )


def _weak_acid(
    bath: schema.WeakAcidBath, agitation: str | float | Interval, height: float
) -> Electrolyte:
    held = {name: float(getattr(bath, name)) for name in INGREDIENTS}
    refuse_much_chloride(bath.chloride, where="[bath] chloride")
    for name in held.keys() - {"chloride"}:
        refuse_little_solute(name, held[name], where=f"[bath] {name}")
    return weak_acid(
        bath.family,
        WeakAcidRecipe(**held),
        bath.temperature,
        agitation,
        height=height,
        measured_conductivity=bath.conductivity,
    )
