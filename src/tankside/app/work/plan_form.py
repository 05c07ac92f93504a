"""Use case: from the plan's form, as typed, to a job file's text; or what is wrong, by field.

The part's middle hangs over the middle of the floor. Wires are asked for just above its top and are
snapped to the nearest places of its surface. What the form cannot say, a job file can.
"""

import json
from collections.abc import Mapping
from typing import Any

from tankside.app.work.plan_fields import FIELDS
from tankside.base.errors import BadInput, TanksideError
from tankside.base.units import Kind, in_unit, quantity, signed
from tankside.base.wording import quoting, strung

JOB_NAME = "job.toml"
SHOP_TESTS = "shop.toml"
"""The shop's own tests, beside the job as in the home folder."""


class FormFault(BadInput):
    """Some fields are wrong; `faults` has a sentence for each, by key ("" for the whole form)."""

    def __init__(self, faults: Mapping[str, str]) -> None:
        self.faults = dict(faults)
        super().__init__(strung(self.faults.values()), where="the form")


def field_fault(key: str, text: str) -> str:
    """What is wrong with one answer, in a sentence; "" where nothing is."""
    field = FIELDS.get(key)
    if field is None:
        return quoting("the form has no field {key!r}", key=key)
    if field.kind is None:
        known = [value for value, _ in field.choices]
        return (
            ""
            if text in known
            else quoting("{text!r} is not one of {known}", text=text, known=", ".join(known))
        )
    try:
        value = quantity(text, field.kind, where="")
    except BadInput as error:
        return error.message
    if field.signed:
        return ""
    if value < 0 or (field.positive and value == 0):
        if field.positive:
            return quoting("{text!r} must be above zero", text=text)
        return quoting("{text!r} must not be negative", text=text)
    return ""


def answer_words(key: str, text: str) -> tuple[str, str]:
    """A field's words, and those of its answer: a choice's, or as typed."""
    field = FIELDS[key]
    return field.words, dict(field.choices).get(text, signed(text))


def job_from_form(typed: Mapping[str, str], part: Mapping[str, Any]) -> str:
    """The job file's text.

    typed    the answers by key; those left out stand at their defaults
    part     the result of the part's examination: file, unit and box

    FormFault where answers are wrong, or where together they do not make a job that can be read.
    """
    answers = {key: typed.get(key, field.default).strip() for key, field in FIELDS.items()}
    faults = {key: said for key in FIELDS if (said := field_fault(key, answers[key]))}
    if faults:
        raise FormFault(faults)
    text = "\n".join(_lines(answers, part)) + "\n"
    check_job(text)
    return text


def check_job(text: str, name: str = JOB_NAME) -> None:
    """FormFault where a job's text cannot be read, or asks for what is unsafe."""
    from tankside.app.job.baths import electrolyte_of
    from tankside.app.job.reading import read_job
    from tankside.bath.boundary_layer import DEFAULT_HEIGHT
    from tankside.safety.gates import refuse_unsafe

    try:
        job = read_job(text, name=name)
        refuse_unsafe(
            sulfuric_acid=job.bath.sulfuric_acid,
            temperature=job.bath.temperature,
            voltage_limit=job.supply.voltage_limit,
        )
        electrolyte_of(job.bath, height=DEFAULT_HEIGHT)
    except TanksideError as error:
        raise FormFault({"": str(error)}) from error


def _lines(answers: Mapping[str, str], part: Mapping[str, Any]) -> list[str]:
    """The job file, table by table."""

    def text(key: str) -> str:
        return json.dumps(answers[key], ensure_ascii=False)

    depth = _si("liquid_depth", answers)
    at, turn, contacts = _hung(answers, part)
    lines = [
        "[bath]",
        'family = "acid sulfate"',
        f"copper_sulfate_pentahydrate = {text('copper_sulfate')}",
        f"sulfuric_acid = {text('sulfuric_acid')}",
        f"chloride = {text('chloride')}",
        f"temperature = {text('temperature')}",
        f"agitation = {text('agitation')}",
        "",
        "[tank]",
        'shape = "box"',
        f"inside = [{text('tank_length')}, {text('tank_width')}, {text('tank_height')}]",
        f"liquid_depth = {text('liquid_depth')}",
    ]
    away, middle = _si("anode_distance", answers), _anode_middle(answers, depth)
    for side in (-1, 1)[: int(answers["anodes"])]:
        lines += [
            "",
            "[[anode]]",
            'shape = "plate"',
            f"size = [{text('anode_width')}, {text('anode_height')}]",
            f"at = {_point((side * away, 0.0, middle))}",
            f"facing = [{-side}, 0, 0]",
        ]
    surface = (
        'surface = "metal"'
        if answers["surface"] == "metal"
        else f"seed = {{ sheet_resistance = {text('sheet_resistance')} }}"
    )
    lines += [
        "",
        "[part]",
        f"file = {json.dumps(part['file'], ensure_ascii=False)}",
        f"unit = {json.dumps(part['unit'])}",
        f"at = {_point(at)}",
        f"rotate = {list(turn)}",
        surface,
    ]
    for near in contacts:
        lines += ["", "[[contact]]", f"near = {_point(near)}", f"wire = {text('wire')}"]
    if answers["known"] == "shop":
        lines += ["", "[shop]", f"file = {json.dumps(SHOP_TESTS)}"]
    return [
        *lines,
        "",
        "[supply]",
        f"current_limit = {text('current_limit')}",
        f"voltage_limit = {text('voltage_limit')}",
        "",
        "[goal]",
        f"thickness = {text('thickness')}",
        f"measured_at = {text('measured_at')}",
    ]


def _anode_middle(answers: Mapping[str, str], depth: float) -> float:
    """Plates hang so that their upper edge is a centimetre under the surface, where they fit."""
    height = _si("anode_height", answers)
    return max(depth - 0.01 - height / 2, height / 2)


def _hung(
    answers: Mapping[str, str], part: Mapping[str, Any]
) -> tuple[tuple[float, ...], tuple[float, ...], list[tuple[float, ...]]]:
    """Where the file's origin goes [m], its turn [deg], and where wires are asked for [m]."""
    import numpy as np

    from tankside.cell.placing import rotation_matrix

    degrees = (
        round(in_unit(_si("turn_x", answers, Kind.ANGLE), "deg"), 6),
        0.0,
        round(in_unit(_si("turn_z", answers, Kind.ANGLE), "deg"), 6),
    )
    low, high = np.array(part["box_low_m"]), np.array(part["box_high_m"])
    turn = rotation_matrix(degrees)
    half = np.abs(turn) @ (high - low) / 2
    middle = np.array([0.0, 0.0, _si("height", answers)])
    at = middle - turn @ (low + high) / 2
    top = float(middle[2] + half[2])
    apart = 0.5 * float(half[1])
    sides = (-apart, apart) if answers["wires"] == "2" else (0.0,)
    return tuple(map(float, at)), degrees, [(0.0, side, top) for side in sides]


def _si(key: str, answers: Mapping[str, str], kind: Kind = Kind.LENGTH) -> float:
    return quantity(answers[key], kind, where=FIELDS[key].words)


def _point(values: tuple[float, ...]) -> str:
    return (
        "["
        + ", ".join(f'"{round(in_unit(value, "mm"), 3) + 0.0:.10g} mm"' for value in values)
        + "]"
    )
