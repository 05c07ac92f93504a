"""The start of a coated part on the sheet: settings, front at four times, ramp."""

import io
from xml.etree import ElementTree

import numpy as np
import pytest
from pypdf import PdfReader

from tankside.app.plan_a_job import PlanRequest, plan_a_job
from tankside.app.ports import SheetRequest
from tankside.plan.plan import Plan
from tankside.sheets.picture_front import front_picture
from tankside.sheets.picture_ramp import ramp_picture
from tankside.sheets.plan_pdf import plan_pdf
from tankside.storage.local_files import LocalFiles
from tests.faces.conftest import JOB, block_stl

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    folder = tmp_path_factory.mktemp("job")
    (folder / "block.stl").write_bytes(block_stl())
    job = JOB.replace('surface = "metal"', 'seed = { sheet_resistance = "100 ohm" }')
    files = LocalFiles(folder)
    return plan_a_job(PlanRequest(job_text=job, job_name="job.toml", files=files)).plan


def test_the_front_is_drawn_at_four_times_and_grows(plan: Plan) -> None:
    assert plan.start is not None
    root = ElementTree.fromstring(front_picture(plan, plan.start))
    assert len(list(root.iter(f"{SVG}image"))) == 4
    words = [one.text or "" for one in root.iter(f"{SVG}text")]
    assert [word for word in words if "of the coat" in word] == [
        f"{share} % of the coat" for share in (25, 50, 90, 99)
    ]
    times = [time for time, _ in plan.start.front]
    assert times == sorted(times)
    assert (np.array(times) > 0).all()


def test_the_staircase_stays_under_the_fastest_rise(plan: Plan) -> None:
    """In the picture itself: the knob's strokes never lie above the ramp's (y grows downwards)."""
    assert plan.start is not None
    root = ElementTree.fromstring(ramp_picture(plan.start))
    lines = {
        one.attrib["stroke"]: np.array(
            [[float(v) for v in pair.split(",")] for pair in one.attrib["points"].split()]
        )
        for one in root.iter(f"{SVG}polyline")
    }
    fastest, stairs = lines["#a4491d"], lines["#1d1d26"]
    middles = (stairs[::2] + stairs[1::2])[:, 0] / 2
    allowed = np.interp(middles, fastest[:, 0], fastest[:, 1])
    assert (stairs[1::2, 1] >= allowed - 1.0).all()


def test_the_sheet_holds_every_setting(plan: Plan) -> None:
    assert plan.start is not None
    pdf = plan_pdf(plan, SheetRequest(title="block", prepared="2026-03-01"))
    text = " ".join(" ".join(p.extract_text() for p in PdfReader(io.BytesIO(pdf)).pages).split())
    assert "The start, on bare coat" in text
    assert text.count("set the current to") == len(plan.start.table)
    for entry in plan.start.table:
        assert f"{entry.current:.3g} A" in text
    assert text.index("Before you start") < text.index("The start, on bare coat")
