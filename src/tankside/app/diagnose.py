"""Use case: from what a person sees and measured to ranked causes, the next check, and advice.

Stateless: a face sends the whole case each time, with one answer more. Where a job is named, it is
planned, and the plan and the place on the part speak too.
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any

from tankside.app.diagnosed_case import case_of, panel_of
from tankside.base.progress import Progress, silent
from tankside.diagnosis.advice import CAUTIONS, Advice, advice_for
from tankside.diagnosis.atlas import Atlas
from tankside.diagnosis.diagnosis import Diagnosis, Spread, Suspect, Verdict, diagnosed
from tankside.diagnosis.known_numbers import BathNumbers, RunNumbers
from tankside.diagnosis.loading import atlas as held_atlas
from tankside.diagnosis.network import network_of
from tankside.diagnosis.next_check import Proposal, proposals
from tankside.diagnosis.record import question, record, told_item
from tankside.diagnosis.shop import Counts, learned_priors
from tankside.diagnosis.words import likely_faults

if TYPE_CHECKING:  # a plan's rooms and a panel's load slowly, and few diagnoses have one
    from tankside.app.plan_a_job import PlanRequest
    from tankside.app.read_a_panel import PanelReply, PanelRequest
    from tankside.app.trouble.kept_field import Planned

DEFAULT_FAMILY = "conventional"


@dataclass(frozen=True, kw_only=True)
class DiagnoseRequest:
    """A case as a face hands it in.

    seen     ids of faults that the person sees
    answers  yes, slight, no or unsure by id of a fault or check
    values   numbers by name, as text with unit and, where known, range ("40-70 mg/L")
    bath     what the ledger's estimate says of the bath (known_numbers.bath_numbers), or None
    run      what the log of the run says (of_log.run_numbers), or None
    panel    a test panel of the bath, or None
    family   name of the bath's family, whose windows the bath's numbers are judged by
    job      a job to be planned, so that its plan speaks too, or None
    planned  what a plan that is done says, in place of `job`, or None
    place    a name of a place, or a point [m] in the tank, where the faults were seen; with a plan
    counts   what this shop's audits have taught
    on_own_bench  the person named what they see on their own bench, so that what was not named
                  counts a little as absent; False for a statement about one fault alone
    most     how many causes and how many checks to return
    """

    seen: tuple[str, ...]
    answers: Mapping[str, str] | None = None
    values: Mapping[str, str] | None = None
    bath: BathNumbers | None = None
    run: RunNumbers | None = None
    panel: "PanelRequest | None" = None
    family: str = DEFAULT_FAMILY
    job: "PlanRequest | None" = None
    planned: "Planned | None" = None
    place: str | tuple[float, float, float] | None = None
    counts: Counts | None = None
    on_own_bench: bool = True
    most: int = 6


@dataclass(frozen=True, kw_only=True)
class DiagnoseReply:
    """The diagnosis, the checks worth most by the minute, and what to do."""

    diagnosis: Diagnosis
    proposed: tuple[Proposal, ...]
    advised: tuple[Advice, ...]
    atlas: Atlas
    panel: "PanelReply | None" = None

    @property
    def settled(self) -> bool:
        """True where one cause stands out enough to stop asking."""
        return self.diagnosis.verdict is Verdict.ANSWER

    @property
    def cautions(self) -> tuple[str, ...]:
        """Said before any advice."""
        return CAUTIONS

    def question(self, finding: str) -> str:
        """How to ask a person about one finding."""
        return question(finding, self.atlas)

    def materials(self, finding: str) -> str:
        """What a check takes; "" for a look."""
        check = self.atlas.checks.get(finding)
        return "" if check is None else check.materials

    def as_text(self) -> str:
        """The record, to print or keep."""
        shown = () if self.panel is None else self.panel.sentences
        return record(self.diagnosis, self.proposed, self.advised, self.atlas, panel=shown)

    def as_json(self) -> dict[str, Any]:
        """The reply with the unit in each key."""
        return {
            "verdict": self.diagnosis.verdict.value,
            "sentence": self.diagnosis.sentence,
            "causes": [_cause(suspect, self.atlas) for suspect in self.diagnosis.suspects],
            "unexplained": [
                {"fault": one.fault, "chance": one.share} for one in self.diagnosis.unexplained
            ],
            "next": [_next(proposal, self.atlas) for proposal in self.proposed],
            "advice": [_advice(advice) for advice in self.advised],
            "cautions": list(CAUTIONS),
            "panel": None if self.panel is None else self.panel.as_json(),
        }


def diagnose(request: DiagnoseRequest, progress: Progress = silent) -> DiagnoseReply:
    """Diagnoses the case. BadInput where no fault is seen or a word or number is not understood."""
    atlas = held_atlas()
    panel = panel_of(request)
    case = case_of(request, atlas, progress, panel)
    priors = learned_priors(request.counts or Counts(), atlas)
    found = diagnosed(case, atlas, priors=priors, spread=Spread(), most=request.most)
    return DiagnoseReply(
        diagnosis=found,
        proposed=proposals(case, atlas, network_of(atlas, priors))[: request.most],
        advised=advice_for(found, atlas),
        atlas=atlas,
        panel=panel,
    )


def understood(text: str) -> tuple[tuple[str, str, str], ...]:
    """Faults that a person's words may mean: id, name and look, the best first."""
    return tuple((fault.id, fault.name, fault.look) for fault in likely_faults(text, held_atlas()))


def all_faults() -> tuple[tuple[str, str, str], ...]:
    """Every fault of the atlas: id, name and look."""
    return tuple((one.id, one.name, one.look) for one in held_atlas().faults.values())


def likely_faults_of(text: str) -> list[tuple[str, str, str]]:
    """Faults that words may mean, told as `all_faults` tells them; all where there are no words."""
    return list(understood(text)) if text.strip() else list(all_faults())


@dataclass(frozen=True, slots=True, kw_only=True)
class Likely:
    """A suspect with its remedies: id, name and kind of the cause; the suspect itself; what to do;
    and the checks that the tank has to wait for, what to do and what is needed, by remedy."""

    cause: str
    name: str
    kind: str
    suspect: Suspect
    advice: tuple[Advice, ...]
    waits: Mapping[str, tuple[tuple[str, str], ...]]


def likely(reply: DiagnoseReply) -> tuple[Likely, ...]:
    """The suspects, the likeliest first, each with what to do."""
    held = reply.atlas
    return tuple(
        Likely(
            cause=one.cause,
            name=held.causes[one.cause].name,
            kind=held.causes[one.cause].kind,
            suspect=one,
            advice=tuple(advice for advice in reply.advised if advice.cause == one.cause),
            waits={
                advice.remedy: tuple(
                    (held.checks[name].do, held.checks[name].yes) for name in advice.checks_first
                )
                for advice in reply.advised
                if advice.cause == one.cause
            },
        )
        for one in reply.diagnosis.suspects
    )


def asked(finding: str) -> str:
    """How to ask a person about one finding."""
    return question(finding, held_atlas())


def _cause(suspect: Suspect, atlas: Atlas) -> dict[str, Any]:
    blame = suspect.to_blame
    return {
        "id": suspect.cause,
        "name": atlas.causes[suspect.cause].name,
        "kind": atlas.causes[suspect.cause].kind,
        "to_blame": {field.name: getattr(blame, field.name) for field in fields(blame)},
        "present": suspect.present,
        "prior": suspect.prior,
        "evidence": [
            {"what": told_item(one.item, atlas), "log_odds": one.log_odds}
            for one in suspect.contributions
        ],
    }


def _next(proposal: Proposal, atlas: Atlas) -> dict[str, Any]:
    check = atlas.checks.get(proposal.finding)
    return {
        "id": proposal.finding,
        "kind": "look" if check is None else "check",
        "question": question(proposal.finding, atlas),
        "materials": "" if check is None else check.materials,
        "effort_s": proposal.effort,
        "information_bit": proposal.information,
        "yes_chance": proposal.yes_chance,
    }


def _advice(advice: Advice) -> dict[str, Any]:
    return {
        "cause": advice.cause,
        "remedy": advice.remedy,
        "first": advice.first,
        "then": advice.then,
        "checks_first": list(advice.checks_first),
        "side_effect": advice.side_effect,
    }
