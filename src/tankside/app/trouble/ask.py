"""Use case: a trouble asked about at the workplace, from plain words and ids to a diagnosis.

Stateless, as diagnose is: whoever asks sends the whole case each time, with one answer more.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from tankside.app.diagnose import DEFAULT_FAMILY, DiagnoseReply, DiagnoseRequest, diagnose
from tankside.app.known_of_a_case import warmed
from tankside.app.read_a_panel import PanelRequest
from tankside.app.trouble.corrections import counts_of
from tankside.app.trouble.known import bath_numbers, plan_field, run_log
from tankside.app.trouble.panels import PanelTyped, panel_request
from tankside.app.work.workplace import Workplace
from tankside.base.errors import BadInput
from tankside.base.units import Kind, quantity
from tankside.bath.families import families
from tankside.diagnosis.known_numbers import BathNumbers
from tankside.diagnosis.place import PLACES

MOST_ANSWERS = 200
"""Answers and faults in one case; more is no person's."""


@dataclass(frozen=True, kw_only=True)
class TroubleAsked:
    """A case as typed.

    seen     ids of faults;  answers   yes, slight, no or unsure by id of a fault or check
    values   numbers by name, as text with unit;  family   of the bath, whose windows count
    bath     id of a stored bath, plan of a finished plan, run of a run, each "" for none
    place    where on the part it was seen: a name, three lengths with semicolons between, or ""
    panel    a test panel, or None
    """

    seen: tuple[str, ...] = ()
    answers: Mapping[str, str] = field(default_factory=dict)
    values: Mapping[str, str] = field(default_factory=dict)
    family: str = ""
    bath: str = ""
    plan: str = ""
    run: str = ""
    place: str = ""
    panel: PanelTyped | None = None
    most: int = 6


def ask(place: Workplace, asked: TroubleAsked) -> DiagnoseReply:
    """Diagnoses the case with what the workplace knows; BadInput says what is not understood."""
    if len(asked.seen) + len(asked.answers) > MOST_ANSWERS:
        raise BadInput("a case holds {most_answers} answers at most", most_answers=MOST_ANSWERS)
    if asked.place and not asked.plan:
        raise BadInput("a place on the part needs the plan of that part; choose one", where="plan")
    numbers, family = _of_bath(place, asked)
    log = None
    if asked.run:
        log, temperature = run_log(place, asked.run)
        if temperature is not None:
            numbers = warmed(numbers, temperature)
    request = DiagnoseRequest(
        seen=asked.seen,
        answers=asked.answers,
        values={name: text for name, text in asked.values.items() if text.strip()},
        bath=numbers,
        run=log,
        panel=_panel(place, asked, numbers),
        family=family,
        planned=plan_field(place, asked.plan) if asked.plan else None,
        place=_place(asked.place),
        counts=counts_of(place.store),
        most=asked.most,
    )
    return diagnose(request)


def place_names() -> tuple[str, ...]:
    """Names of places on a part."""
    return tuple(PLACES)


def _of_bath(place: Workplace, asked: TroubleAsked) -> tuple[BathNumbers | None, str]:
    if not asked.bath:
        return None, asked.family or DEFAULT_FAMILY
    held, numbers = bath_numbers(place, asked.bath)
    kept = held.value.family  # as a job names it, which need not be a family with windows
    return numbers, asked.family or (kept if kept in families() else DEFAULT_FAMILY)


def _panel(
    place: Workplace, asked: TroubleAsked, numbers: BathNumbers | None
) -> PanelRequest | None:
    if asked.panel is None or not asked.panel.zones.strip():
        return None
    return panel_request(place.store, asked.panel, numbers)


def _place(text: str) -> str | tuple[float, float, float] | None:
    if not text.strip():
        return None
    if ";" not in text:
        return text.strip()
    parts = [quantity(part.strip(), Kind.LENGTH, where="place") for part in text.split(";")]
    if len(parts) != 3:
        raise BadInput("{text!r} is no point; a point is three lengths", text=text, where="place")
    return parts[0], parts[1], parts[2]
