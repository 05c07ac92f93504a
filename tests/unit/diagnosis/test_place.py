"""Where a fault was seen, against the field: on arrays made by hand and on a real plan."""

from pathlib import Path

import numpy as np
import pytest

from tankside.app.plan_a_job import PlanRequest, plan_a_job
from tankside.base.arrays import Floats
from tankside.base.errors import BadInput, UnknownName
from tankside.diagnosis.diagnosis import Diagnosis, Spread, diagnosed
from tankside.diagnosis.evidence import Case, Told
from tankside.diagnosis.known_numbers import of_plan
from tankside.diagnosis.loading import atlas
from tankside.diagnosis.place import (
    PLACES,
    FieldOnPart,
    around_point,
    field_of,
    named_place,
    readings_at,
)
from tankside.plan.plan import Plan
from tankside.storage.local_files import LocalFiles
from tests.faces.conftest import JOB, block_stl

ATLAS = atlas()
SHAPE = {"current-too-high", "sharp-edges", "anode-too-near"}


def strip(fraction: Floats, *, up: float = 0.0) -> FieldOnPart:
    """Eleven panels in a row along x, hung by its left end, an anode 10 cm beyond its right end."""
    count = len(fraction)
    centres = np.zeros((count, 3))
    centres[:, 0] = np.linspace(0.0, 0.1, count)
    normals = np.tile([0.0, np.sqrt(1.0 - up**2), up], (count, 1))
    return FieldOnPart(
        centres=centres,
        normals=normals,
        areas=np.ones(count),
        current_density=200.0 * fraction,
        fraction_of_limit=fraction,
        anodes=np.array([[0.2, 0.0, 0.0]]),
        contacts=np.array([[0.0, 0.0, 0.0]]),
    )


def burnt_at(fraction: float) -> Diagnosis:
    """Burnt edges at a place where the model says this fraction of the limit, the rest half."""
    here = np.full(11, fraction / 2.0)
    here[5] = fraction
    field = strip(here)
    place = around_point(field, np.array([0.05, 0.0, 0.0]))
    assert place.sum() == 1
    measured = readings_at(field, place, ["burning"])
    case = Case(told=(Told(finding="burnt-edges"),), measured=measured)
    return diagnosed(case, ATLAS, spread=Spread(draws=5), most=80)


def share(found: Diagnosis, kinds: set[str]) -> float:
    """Sum of the chances of causes of these kinds."""
    return sum(one.to_blame.best for one in found.suspects if ATLAS.causes[one.cause].kind in kinds)


def test_burnt_at_a_third_of_the_limit_speaks_for_the_bath() -> None:
    found = burnt_at(0.3)
    bath = {"chemistry", "additive", "temperature", "agitation", "contamination"}
    assert ATLAS.causes[found.suspects[0].cause].kind in bath
    assert share(found, bath) > 2 * share(found, {"geometry", "current"})


def test_burnt_beyond_the_limit_speaks_for_current_and_shape() -> None:
    found = burnt_at(1.2)
    assert found.suspects[0].cause in SHAPE
    bath = {"chemistry", "additive", "temperature", "agitation", "contamination"}
    assert share(found, {"geometry", "current"}) > 2 * share(found, bath)


def test_the_evidence_turns_smoothly() -> None:
    chances = []
    for fraction in np.linspace(0.1, 1.6, 31):
        found = {one.cause: one.to_blame.best for one in burnt_at(float(fraction)).suspects}
        chances.append(found["current-too-high"])
    steps = np.diff(chances)
    assert (steps >= -1e-9).all()
    assert steps.max() < 0.1


def test_roughness_on_faces_that_look_up_speaks_for_settling() -> None:
    def settling(up: float) -> float:
        field = strip(np.full(11, 0.2), up=up)
        measured = readings_at(field, named_place(field, "everywhere"), ["rough"])
        case = Case(told=(Told(finding="nodules"),), measured=measured)
        found = diagnosed(case, ATLAS, spread=Spread(draws=5), most=80)
        return next(one.to_blame.best for one in found.suspects if one.cause == "particles")

    assert settling(1.0) > settling(0.0) > settling(-1.0)


def test_bare_far_from_the_wire_speaks_for_the_coat() -> None:
    field = strip(np.full(11, 0.2))

    def coat(place: str) -> float:
        measured = readings_at(field, named_place(field, place), ["far"])
        case = Case(told=(Told(finding="bare-far"),), measured=measured)
        found = diagnosed(case, ATLAS, spread=Spread(draws=5), most=80)
        return next(one.to_blame.best for one in found.suspects if one.cause == "seed-resistive")

    assert coat("far from the wires") > coat("near a wire")


def test_a_reading_of_another_group_says_nothing() -> None:
    field = strip(np.full(11, 0.2))
    assert readings_at(field, named_place(field, "everywhere"), ["none"]) == ()
    other = readings_at(field, named_place(field, "everywhere"), ["rough"])
    same = readings_at(field, named_place(field, "everywhere"), ["bare"])
    told = (Told(finding="bare-spots"),)
    plain, with_other, with_same = (
        diagnosed(Case(told=told, measured=measured), ATLAS, spread=Spread(draws=2), most=80)
        for measured in ((), other, same)
    )

    def of(found: Diagnosis) -> float:
        return next(one.present for one in found.suspects if one.cause == "seed-gaps")

    assert of(with_other) == pytest.approx(of(plain))
    assert of(with_same) > of(plain)


def test_places_lie_where_their_names_say() -> None:
    field = strip(np.linspace(0.1, 0.9, 11))
    at = field.centres[:, 0]
    assert at[named_place(field, "edges")].min() > 0.085
    assert at[named_place(field, "recesses")].max() < 0.015
    assert at[named_place(field, "near a wire")].max() < 0.02
    assert at[named_place(field, "far from the wires")].min() > 0.08
    assert at[named_place(field, "towards an anode")].min() > 0.08
    assert at[named_place(field, "away from the anodes")].max() < 0.02
    assert not named_place(field, "top").any()
    assert named_place(strip(np.full(11, 0.2), up=1.0), "top").all()
    assert readings_at(field, named_place(field, "top"), ["rough"]) == ()


def test_wrong_places_and_arrays_are_refused() -> None:
    field = strip(np.full(11, 0.2))
    with pytest.raises(UnknownName, match="edges"):
        named_place(field, "edge")
    with pytest.raises(BadInput, match="from the part"):
        around_point(field, np.array([3.0, 0.0, 0.0]))
    with pytest.raises(BadInput, match="shape"):
        FieldOnPart(**{**_parts(field), "areas": np.ones(4)})
    with pytest.raises(BadInput, match="not finite"):
        FieldOnPart(**{**_parts(field), "fraction_of_limit": np.full(11, np.nan)})


def _parts(field: FieldOnPart) -> dict[str, Floats]:
    return {name: getattr(field, name) for name in FieldOnPart.__dataclass_fields__}


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    folder: Path = tmp_path_factory.mktemp("job")
    (folder / "block.stl").write_bytes(block_stl())
    request = PlanRequest(job_text=JOB, job_name="job.toml", files=LocalFiles(folder))
    return plan_a_job(request).plan


def test_a_plan_s_field_is_read_where_it_lies(plan: Plan) -> None:
    field = field_of(plan)
    assert field.areas.sum() == pytest.approx(6 * 0.04**2, rel=0.02)
    assert len(field.contacts) == 1
    edges = {one.quantity: one.value for one in _read(field, "edges")}
    recesses = {one.quantity: one.value for one in _read(field, "recesses")}
    name = "place_current_density_ratio"
    assert edges[name].best > 1.05 > 0.97 > recesses[name].best
    assert edges["place_fraction_of_limit"].best > recesses["place_fraction_of_limit"].best
    top = {one.quantity: one.value for one in _read(field, "top")}
    assert top["place_facing_up"].best == pytest.approx(1.0, abs=0.02)
    near = {one.quantity: one.value for one in _read(field, "near a wire")}
    far = {one.quantity: one.value for one in _read(field, "far from the wires")}
    name = "place_contact_distance_ratio"
    assert near[name].best < 0.35 < 0.8 < far[name].best
    with pytest.raises(BadInput, match="no part 2"):
        field_of(plan, 2)


def _read(field: FieldOnPart, name: str) -> tuple[object, ...]:
    return readings_at(field, named_place(field, name), ["burning"])


def test_every_name_of_a_place_finds_something_on_a_block(plan: Plan) -> None:
    field = field_of(plan)
    for name in PLACES:
        assert named_place(field, name).any(), name


def test_a_good_plan_speaks_against_too_much_current(plan: Plan) -> None:
    plain = Case(told=(Told(finding="burnt-edges"),))
    planned = Case(told=plain.told, measured=of_plan(plan))
    chances = [
        next(
            one.to_blame.best
            for one in diagnosed(case, ATLAS, spread=Spread(draws=2), most=80).suspects
            if one.cause == "current-too-high"
        )
        for case in (planned, plain)
    ]
    assert chances[0] < chances[1]
