"""A shop's tests read from a file, a job planned narrower by them, and what is refused."""

from pathlib import Path

import pytest

from tankside.app.know_a_shop import know_a_shop, narrowed
from tankside.app.plan_a_job import PlanRequest, plan_a_job
from tankside.base.constants import COPPER_PER_CHARGE_KG_PER_C
from tankside.base.errors import BadInput
from tankside.bath import Composition, acid_sulfate
from tankside.bath.electrolyte import Electrolyte
from tankside.main import run
from tankside.plan.run_order import believed_of
from tankside.storage.local_files import LocalFiles
from tests.faces.conftest import JOB, block_stl

TESTS = """
[[burning]]
name = "coupon, 2 March"
good = "2.2 A/dm^2"
burnt = "2.6 A/dm^2"

[[bent]]
name = "strip, 2 March"
current = "0.8 A"
width = "3 cm"
depth = "5 cm"
burnt = "12 mm"

[[throwing]]
name = "trough, 2 March"
near_gain = "1.44 g"
far_gain = "0.56 g"
near = "3 cm"
far = "15 cm"
current_density = "1.5 A/dm^2"
scale = "0.01 g"

[[sweep]]
name = "trough, 3 March"
gap = "10 cm"
plate = ["5 cm", "5 cm"]
readings = [["0.1 A", "148 mV"], ["0.25 A", "330 mV"], ["0.4 A", "486 mV"]]

[[strip]]
name = "nickel paint, two coats"
resistance = "28 ohm"
length = "10 cm"
width = "1 cm"

[[audit]]
name = "finial"
efficiency = [0.97, 0.985, 1.0]
"""


@pytest.fixture(scope="module")
def bath() -> Electrolyte:
    composition = Composition(copper_sulfate_pentahydrate=75.0, sulfuric_acid=190.0, chloride=0.07)
    return acid_sulfate(composition, 298.15, "gentle air")


def test_six_tests_narrow_what_they_speak_of(bath: Electrolyte) -> None:
    reply = know_a_shop(TESTS, "shop.toml", bath)
    assert reply.tests == 6
    assert reply.learned.surprising == ()
    for name in reply.before.names:
        was, now = reply.before.factor(name), reply.learned.shop.factor(name)
        assert now.high / now.low < was.high / was.low, name
    coat = reply.learned.shop.factor("sheet_resistance")
    assert 2.8 / 5.0 in coat
    assert "known" in reply.text()
    assert reply.as_json()["factors"]["conductivity"]["after"]["best"] > 0
    own = narrowed(TESTS, "shop.toml", bath)
    assert own.conductivity.relative_spread < bath.conductivity.relative_spread


def test_no_tests_teach_nothing(bath: Electrolyte) -> None:
    reply = know_a_shop("", "shop.toml", bath)
    assert reply.learned.shop == reply.before
    assert reply.sentences == ()


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (("2.2 A/dm^2", "2.8 A/dm^2"), "must be above the last that looked well"),
        (("2.2 A/dm^2", "2.2"), "has no unit"),
        (("far_gain", "fargain"), "did you mean 'far_gain'"),
        (('far = "15 cm"', 'far = "2 cm"'), "hang farther away"),
        (("[0.97, 0.985, 1.0]", "[1.0, 0.9, 0.8]"), "low, best and high"),
        (("trough, 3 March", "trough, 2 March"), "two tests are named"),
        (("[[strip]]", "[[strap]]"), "'strap' is not known"),
        (('burnt = "12 mm"', 'burnt = "60 mm"'), "lower the current"),
        (("[[strip]]", "[[strip"), "not a TOML file"),
        (('["0.1 A", "148 mV"], ["0.25 A", "330 mV"], ', ""), "readings"),
    ],
)
def test_refuses_in_one_sentence(change: tuple[str, str], told: str, bath: Electrolyte) -> None:
    assert change[0] in TESTS
    with pytest.raises(BadInput) as caught:
        know_a_shop(TESTS.replace(*change), "shop.toml", bath)
    assert told in str(caught.value)
    assert "shop.toml" in str(caught.value)


def test_a_job_that_names_the_tests_is_planned_narrower(tmp_path: Path) -> None:
    (tmp_path / "block.stl").write_bytes(block_stl())
    (tmp_path / "shop.toml").write_text(TESTS, "utf-8")
    files = LocalFiles(tmp_path)
    plain = plan_a_job(PlanRequest(job_text=JOB, job_name="job.toml", files=files)).plan
    job = JOB + '\n[shop]\nfile = "shop.toml"\n'
    own = plan_a_job(PlanRequest(job_text=job, job_name="job.toml", files=files)).plan
    assert own.voltage_interval.relative_spread < 0.8 * plain.voltage_interval.relative_spread
    assert any("this shop's own tests" in one for one in own.assumptions)
    assert any("stays as metal" in one for one in own.assumptions)
    efficiency = [
        one.copper_mass / (COPPER_PER_CHARGE_KG_PER_C * one.charge) for one in (plain, own)
    ]
    assert efficiency[0] == pytest.approx(1.0, abs=1e-3)
    assert 0.97 < efficiency[1] < 0.995
    assert own.thickness.mean == pytest.approx(plain.thickness.mean, rel=0.02)
    assert believed_of(own).efficiency.best == pytest.approx(efficiency[1], rel=1e-6)
    missing = job.replace("shop.toml", "nothing.toml")
    with pytest.raises(BadInput, match="there is no file"):
        plan_a_job(PlanRequest(job_text=missing, job_name="job.toml", files=files))


def test_on_the_command_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "shop.toml").write_text(TESTS, "utf-8")
    (tmp_path / "job.toml").write_text(JOB, "utf-8")
    assert run(["shop", str(tmp_path / "shop.toml"), str(tmp_path / "job.toml")]) == 0
    assert "6 tests." in capsys.readouterr().out
    assert run(["shop", str(tmp_path / "nothing.toml"), str(tmp_path / "job.toml")]) == 2
    assert "there is no file" in capsys.readouterr().err
