"""A job written anew is read as the rig that was meant."""

import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from tankside.app.job.building import description_of, parts_of
from tankside.app.job.reading import read_job
from tankside.app.job.writing import job_text
from tankside.app.rig_options import RigOptions, mesh_names, rig_request
from tankside.app.rig_regions import read_regions
from tankside.app.rig_reply import result_as_json, result_from_json
from tankside.base.errors import BadInput, UnknownName
from tankside.base.progress import silent
from tankside.cell.description import CellDescription, Plate, Rod
from tankside.plan.rigs.contact_sites import RegionKind
from tankside.plan.rigs.figures import RigResult
from tankside.storage.local_files import LocalFiles
from tests.faces.conftest import JOB, block_stl
from tests.unit.plan.rigs.test_goals import FIGURES


def description(text: str, folder: Path) -> CellDescription:
    (folder / "block.stl").write_bytes(block_stl())
    job, files = read_job(text, name="job.toml"), LocalFiles(folder)
    return description_of(
        job, tuple(one.placed for one in parts_of(job, files, silent)), files, 1150.0
    )


@pytest.fixture
def own(tmp_path: Path) -> CellDescription:
    return description(JOB, tmp_path)


def test_what_is_written_is_read_again(own: CellDescription, tmp_path: Path) -> None:
    rod = Rod(diameter=4e-3, length=0.06, at=(0.01, -0.0025, 0.12), axis=(0.0, 0.6, 0.8))
    shield = Plate(size=(0.05, 0.07), at=(0.08, 0.0, 0.1), facing=(-1.0, 0.0, 0.0), thickness=2e-3)
    changed = replace(
        own,
        parts=(replace(own.parts[0], at=(0.0125, 0.0, 0.09), rotation=(0.0, 30.0, -90.0)),),
        anodes=(*own.anodes, rod),
        shields=(shield,),
        thieves=(replace(rod, at=(0.0, 0.05, 0.1)),),
        contacts=(replace(own.contacts[0], near=(0.0125, 0.0, 0.105), insulated=True),),
    )
    text = job_text(JOB, changed, goal={"current": "1.25 A"}, head=("Rig 1.", "Turn it."))
    again = description(text, tmp_path)
    assert again.anodes == changed.anodes
    assert again.shields == changed.shields
    assert again.thieves == changed.thieves
    assert again.contacts == changed.contacts
    assert again.parts[0].at == changed.parts[0].at
    assert again.parts[0].rotation == changed.parts[0].rotation
    assert read_job(text, name="").goal.current == 1.25
    assert text.startswith("# Rig 1.\n# Turn it.\n")


def test_the_persons_tables_stay(own: CellDescription) -> None:
    before, after = tomllib.loads(JOB), tomllib.loads(job_text(JOB, own))
    for table in ("bath", "tank", "supply", "goal", "detail"):
        assert after[table] == before[table]
    assert after["part"]["file"] == "block.stl"
    assert "shield" not in after


def test_a_coat_goes_along_and_its_readings_are_written_as_what_they_told(tmp_path: Path) -> None:
    places = ('["0 cm", "2 cm", "10 cm"]', '["0 cm", "0 cm", "8 cm"]')
    row = f'{{ between = [{", ".join(places)}], reads = "40 ohm" }}'
    top = '[["-9 cm", "-9 cm", "15 mm"], ["9 cm", "9 cm", "9 cm"]]'
    region = f'{{ box = {top}, sheet_resistance = "5 ohm" }}'
    seed = f'seed = {{ readings = [{row}, {row}, {row}], leads = "0.3 ohm", region = [{region}] }}'
    text = JOB.replace('surface = "metal"', seed)
    own = description(text, tmp_path)
    moved = replace(own, parts=(replace(own.parts[0], rotation=(0.0, 30.0, -90.0)),))
    again = description(job_text(text, moved), tmp_path)
    before, after = own.parts[0].coat, again.parts[0].coat
    assert before is not None
    assert after is not None
    assert after.regions == before.regions
    assert after.sheet_resistance.low == pytest.approx(before.sheet_resistance.low, rel=0.01)
    assert after.sheet_resistance.high == pytest.approx(before.sheet_resistance.high, rel=0.01)


def test_several_parts_stay_several(tmp_path: Path) -> None:
    two = JOB.replace("[part]", "[[part]]").replace(
        "[[contact]]",
        '[[part]]\nfile = "block.stl"\nunit = "mm"\nat = ["0 cm", "6 cm", "10 cm"]\n'
        'surface = "metal"\n\n[[contact]]\nnear = ["0 cm", "6 cm", "12 cm"]\nwire = "1 mm"\n'
        "part = 2\n\n[[contact]]",
    )
    cell = description(two, tmp_path)
    again = description(job_text(two, cell), tmp_path)
    assert [part.at for part in again.parts] == [part.at for part in cell.parts]
    assert again.contacts == cell.contacts
    assert mesh_names(two, "job.toml") == ("block.stl",)


def test_results_come_back_from_the_journal_as_they_were() -> None:
    for result in (RigResult(figures=FIGURES), RigResult(refusal="part 1 floats")):
        assert result_from_json(result_as_json(result)) == result


def request(**changes: object) -> object:
    options = RigOptions(**changes)  # type: ignore[arg-type]
    return rig_request(JOB, "job.toml", LocalFiles(Path()), options)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"goal": "thinest"}, "did you mean 'thinnest'"),
        ({"allow": "pose,anode"}, "did you mean 'anodes'"),
        ({"allow": " , "}, "nothing may change"),
        ({"lean_degrees": 200.0}, "200 is not 0 to 180 degrees"),
        ({"within": "8"}, "has no unit"),
        ({"within": "8 cm"}, "is not a time"),
        ({"regions": ("[[seen]]", "r.toml")}, "the table 'seen' is not known"),
        ({"regions": ('[[hidden]]\ncentre = ["1 mm", "2 mm"]', "r.toml")}, r"r.toml: \[hidden 1\]"),
        (
            {"regions": ('[hidden]\ncentre=["1 mm","2 mm","0 mm"]\nradius="3"', "r.toml")},
            "has no unit",
        ),
        (
            {"regions": ('[hidden]\ncentre=["1 mm","2 mm","0 mm"]\nradius="3 mm"\npart=2', "r")},
            "part '2' is not known",
        ),
    ],
)
def test_wrong_options_are_told_in_one_sentence(changes: dict[str, object], says: str) -> None:
    with pytest.raises(BadInput, match=says):
        request(**changes)


def test_regions_are_read_in_any_unit() -> None:
    text = '[[forbidden]]\ncentre = ["1 cm", "0 mm", "-2 mm"]\nradius = "5 mm"\n'
    (region,) = read_regions(text, name="r.toml", parts=1)
    assert (region.kind, region.centre, region.radius) == (
        RegionKind.FORBIDDEN,
        (0.01, 0.0, -0.002),
        0.005,
    )


def test_close_names_are_offered() -> None:
    with pytest.raises(UnknownName) as caught:
        request(allow="poses")
    assert caught.value.candidates[0] == "pose"
