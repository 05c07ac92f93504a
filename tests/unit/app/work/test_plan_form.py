"""From answers as typed to a job that hangs the part where the person said."""

import numpy as np
import pytest

from tankside.app.job.bodies import BoxTank, Plate
from tankside.app.job.reading import read_job
from tankside.app.work.plan_fields import FIELDS, defaults
from tankside.app.work.plan_form import FormFault, check_job, field_fault, job_from_form
from tankside.base.intervals import Interval
from tankside.cell.placing import rotation_matrix

BLOCK = {
    "file": "block.stl",
    "unit": "mm",
    "box_low_m": [0.01, -0.02, 0.0],
    "box_high_m": [0.05, 0.02, 0.03],
}
MIDDLE = np.array([0.03, 0.0, 0.015])


@pytest.mark.parametrize(
    ("x", "z"), [("0 deg", "0 deg"), ("180 deg", "0 deg"), ("90 deg", "30 deg")]
)
def test_the_middle_of_the_part_hangs_where_the_person_said(x: str, z: str) -> None:
    text = job_from_form({"turn_x": x, "turn_z": z, "height": "11 cm"}, BLOCK)
    part = read_job(text, name="").parts[0]
    where = np.array(part.at) + rotation_matrix(part.rotate) @ MIDDLE
    assert where == pytest.approx([0.0, 0.0, 0.11], abs=2e-6)


def test_wires_are_asked_for_on_top() -> None:
    two = read_job(job_from_form({"height": "12 cm"}, BLOCK), name="").contact
    assert [contact.near[2] for contact in two] == pytest.approx([0.135, 0.135])
    assert two[0].near[1] == pytest.approx(-two[1].near[1])
    assert len(read_job(job_from_form({"wires": "1"}, BLOCK), name="").contact) == 1


def test_anodes_face_the_part_from_either_side_and_stay_under_the_surface() -> None:
    job = read_job(job_from_form({}, BLOCK), name="")
    for anode in job.anode:
        assert isinstance(anode, Plate)
        assert anode.at[0] * anode.facing[0] < 0
        assert anode.at[2] + anode.size[1] / 2 < job.tank.liquid_depth
    assert isinstance(job.tank, BoxTank)


def test_paint_becomes_a_coat() -> None:
    typed = {"surface": "coat", "sheet_resistance": "2,5 ohm"}
    part = read_job(job_from_form(typed, BLOCK), name="").parts[0]
    assert part.seed is not None
    assert part.seed.sheet_resistance == Interval.exact(2.5)


def test_each_default_is_a_right_answer() -> None:
    for key, value in defaults().items():
        assert field_fault(key, value) == "", key


@pytest.mark.parametrize(
    ("key", "text", "said"),
    [
        ("thickness", "120", "unit"),
        ("thickness", "0 um", "above zero"),
        ("chloride", "-1 mg/L", "negative"),
        ("chloride", "0 mg/L", ""),
        ("turn_x", "-90 deg", ""),
        ("agitation", "wild", "not one of"),
        ("tank_length", "3 s", ""),
        ("nothing", "1", "no field"),
    ],
)
def test_what_is_wrong_with_an_answer(key: str, text: str, said: str) -> None:
    fault = field_fault(key, text)
    assert said in fault
    assert bool(fault) == bool(said or text.endswith(" s"))


def test_all_wrong_answers_are_told_at_once() -> None:
    typed = {key: "x" for key, field in FIELDS.items() if field.kind is not None}
    with pytest.raises(FormFault) as caught:
        job_from_form(typed, BLOCK)
    assert set(caught.value.faults) == set(typed)


@pytest.mark.parametrize(
    "typed",
    [{"voltage_limit": "90 V"}, {"temperature": "90 degC"}, {"sulfuric_acid": "900 g/L"}],
)
def test_unsafe_answers_are_refused(typed: dict[str, str]) -> None:
    with pytest.raises(FormFault) as caught:
        job_from_form(typed, BLOCK)
    assert set(caught.value.faults) == {""}


def test_a_name_with_quotes_stays_a_name() -> None:
    odd = 'a"b\\c\n[tank].stl'
    job = read_job(job_from_form({}, {**BLOCK, "file": odd}), name="")
    assert job.parts[0].file == odd


def test_a_job_that_cannot_be_read_is_told_with_its_place() -> None:
    with pytest.raises(FormFault, match=r"job\.toml"):
        check_job("[bath]\nfamily = 'acid sulfate'\n")
