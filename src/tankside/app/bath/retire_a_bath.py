"""Use case: what it takes to retire a bath, and what to tell whoever takes it.

The tool computes and does not license; nothing of it goes down a drain.
"""

from dataclasses import dataclass
from typing import Any

from tankside.app.bath.borders import within_laws
from tankside.app.bath.entries import concentration_range, ranged
from tankside.app.bath.estimate_form import LedgerAsked, read_ledger
from tankside.app.bath.forms import caution_rows
from tankside.app.forms import ends, ends_or_none
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.units import Kind, quantity
from tankside.base.wording import term
from tankside.bath.bases import base
from tankside.bath.composition import Composition, mass_fractions
from tankside.bath.copper_removal import (
    Cemented,
    PlatedOut,
    after_plating_out,
    cemented,
    plated_out,
)
from tankside.bath.density import RELATIVE_ERROR
from tankside.bath.density import density as bath_density
from tankside.bath.inventory.bath_estimate import SALT_OF_COPPER
from tankside.bath.retirement import Holding, Retirement, holding, portions, retired
from tankside.safety.activities import Activity, Doing, cautions_while
from tankside.safety.cautions import Caution
from tankside.safety.handover import hand_over
from tankside.substances import molar_mass

_ROOM_K = 293.15
_HANDLED = {
    "sodium-hydroxide": "sodium hydroxide",
    "soda-ash": "sodium carbonate",
    "bicarbonate": "sodium bicarbonate",
    "lime": "calcium hydroxide",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class RetireRequest:
    """A bath as typed, or as a ledger knows it.

    volume, copper, acid   with their spreads; "" where a ledger is given
    base                   soda-ash, bicarbonate, lime or sodium-hydroxide
    dissolved              True where the base is added as a solution
    vessel                 that it is done in, "" where none is said
    plate_out              copper down to this first, "" for none
    cement                 True to cement copper on steel wool first
    complexed              True where citrate, ammonia or EDTA hold copper dissolved
    name, containers       for the hand-over
    """

    volume: str = ""
    copper: str = ""
    acid: str = ""
    ledger: LedgerAsked | None = None
    base: str = "soda-ash"
    dissolved: bool = False
    vessel: str = ""
    plate_out: str = ""
    cement: bool = False
    complexed: bool = False
    name: str = term("Retired copper bath")
    containers: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class RetireReply:
    """What the bath holds, what it takes, and the sentences around it.

    plated, cemented   what taking copper out first takes, where it was asked for
    rest               what is held then
    portions           of the base in the vessel, None where no vessel was said
    told               sentences for the local authority or a licensed firm
    """

    bath: Holding
    plated: PlatedOut | None
    cemented: Cemented | None
    rest: Holding
    done: Retirement
    portions: int | None
    cautions: tuple[Caution, ...]
    told: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """All of it with SI numbers."""
        done = self.done
        return {
            "cautions": caution_rows(self.cautions),
            "holds": _holding_row(self.bath),
            "plated_out": None
            if self.plated is None
            else {
                "charge_C": ends(self.plated.charge),
                "acid_gained_kg": ends(self.plated.acid_gained),
                "copper_left_kg": ends(self.plated.copper_left),
                "notes": list(self.plated.notes),
            },
            "cemented": None
            if self.cemented is None
            else {
                "iron_kg": ends(self.cemented.iron),
                "copper_left_kg": ends(self.cemented.copper_left),
                "notes": list(self.cemented.notes),
            },
            "base": done.base.name,
            "base_for_acid_kg": ends(done.base_for_acid),
            "base_for_copper_kg": ends(done.base_for_copper),
            "base_kg": ends(done.base_in_all),
            "portions": self.portions,
            "carbon_dioxide_m3": ends_or_none(done.carbon_dioxide),
            "heat_J": ends(done.heat),
            "temperature_rise_K": ends(done.temperature_rise),
            "sludge_dry_kg": ends(done.sludge_dry),
            "sludge_settled_kg": ends(done.sludge_settled),
            "sludge_filtered_kg": ends(done.sludge_filtered),
            "window_pH": ends(done.window),
            "notes": list(done.notes),
            "hand_over": list(self.told),
            "sources": list(done.sources),
        }


@within_laws
def retire_a_bath(request: RetireRequest) -> RetireReply:
    """What it takes; Impossible where the vessel would foam over."""
    if request.plate_out and request.cement:
        raise BadInput("plate copper out or cement it, one of the two", where="retire")
    bath = _bath(request)
    plated = removed = None
    rest = bath
    if request.plate_out:
        down_to = concentration_range(
            request.plate_out, where="--plate-out", molar_mass=molar_mass("Cu")
        ).best
        plated = plated_out(bath.held_copper, bath.volume.best, down_to)
        rest = after_plating_out(bath, plated)
    elif request.cement:
        removed = cemented(bath.held_copper, bath.volume)
    chosen = base(request.base)
    done = retired(rest, chosen, dissolved=request.dissolved)
    count = None
    if request.vessel:
        vessel = quantity(request.vessel, Kind.VOLUME, where="--vessel")
        count = portions(done, vessel, bath.volume.best)
    return RetireReply(
        bath=bath,
        plated=plated,
        cemented=removed,
        rest=rest,
        done=done,
        portions=count,
        cautions=_cautions(bath, request),
        told=hand_over(bath, name=request.name, neutralised=False, containers=request.containers),
    )


def _bath(request: RetireRequest) -> Holding:
    if request.ledger is not None:
        if request.volume or request.copper or request.acid:
            raise BadInput("give a ledger, or volume, copper and acid, not both", where="retire")
        estimate = read_ledger(request.ledger).estimate
        volume, copper, acid = (
            estimate.interval(name) for name in ("volume", "copper", "sulfuric_acid")
        )
    else:
        for name, text in (("volume", request.volume), ("copper", request.copper),
                           ("acid", request.acid)):  # fmt: skip
            if not text:
                raise BadInput(
                    "say the bath's {name}, or give its ledger", name=name, where=f"--{name}"
                )
        volume = ranged(
            request.volume,
            lambda one: quantity(one, Kind.VOLUME, where="--volume"),
            where="--volume",
        )
        copper = concentration_range(request.copper, where="--copper", molar_mass=molar_mass("Cu"))
        acid = concentration_range(request.acid, where="--acid", molar_mass=molar_mass("H2SO4"))
    return holding(
        volume,
        copper=copper,
        sulfuric_acid=acid,
        density=_density(copper, acid),
        complexed=request.complexed,
    )


def _density(copper: Interval, acid: Interval) -> Interval:
    mixture = Composition(
        copper_sulfate_pentahydrate=copper.best * SALT_OF_COPPER, sulfuric_acid=acid.best
    )
    return Interval.about(bath_density(mass_fractions(mixture, _ROOM_K), _ROOM_K), RELATIVE_ERROR)


def _cautions(bath: Holding, request: RetireRequest) -> tuple[Caution, ...]:
    handled = {"sulfuric acid": min(bath.held_acid.high / bath.mass.low, 1.0)}
    if request.base in _HANDLED:
        handled[_HANDLED[request.base]] = 1.0
    both = (
        *cautions_while(Doing(activity=Activity.RETIRING, handled=handled)),
        *cautions_while(Doing(activity=Activity.NEUTRALISING, handled=handled)),
    )
    return tuple({one.id: one for one in both}.values())


def _holding_row(bath: Holding) -> dict[str, Any]:
    return {
        "volume_m3": ends(bath.volume),
        "mass_kg": ends(bath.mass),
        "copper_kg": ends(bath.held_copper),
        "sulfuric_acid_kg": ends(bath.held_acid),
        "complexed": bath.complexed,
    }
