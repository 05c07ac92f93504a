"""The bath of a job beside its windows: sides, numbers with units, one sentence a fault."""

import json

import pytest

from tankside.app.examine_a_bath import BathRequest, examine_a_bath
from tankside.base.errors import BadInput

STRONG = """[bath]
family = "acid sulfate"
copper_sulfate_pentahydrate = "230 g/L"
sulfuric_acid = "60 g/L"
chloride = "160 mg/L"
temperature = "25 degC"
agitation = "gentle air"
"""
WEAK = """[bath]
family = "acetate"
dissolved_copper = "8 g/L"
acetic_acid = "50 g/L"
temperature = "22 degC"
boundary_layer = "150 um"
"""


def reply(text: str, **more: object) -> dict[str, object]:
    request = BathRequest(job_text=text, job_name="job.toml", **more)  # type: ignore[arg-type]
    return dict(json.loads(json.dumps(examine_a_bath(request).as_json())))


def test_a_strong_bath_on_a_cold_night() -> None:
    told = reply(STRONG, coldest="0 degC", current_density=250.0)
    sides = {row["quantity"]: row["side"] for row in told["windows"]}  # type: ignore[attr-defined]
    assert sides["chloride"] == "above"
    assert sides["sulfuric_acid"] == "inside"
    assert told["properties"]["dissolved_share"]["best"] > 1.0  # type: ignore[index]
    warm = reply(STRONG, coldest="68 degF")
    assert warm["properties"]["dissolved_share"]["best"] < 1.0  # type: ignore[index]
    assert told["family"] == "conventional"


def test_a_weak_bath() -> None:
    told = reply(WEAK, current_density=30.0)
    properties = told["properties"]
    assert properties["pH"]["unit"] == "1"  # type: ignore[index]
    assert properties["boundary_layer"]["best"] == pytest.approx(150e-6)  # type: ignore[index]
    assert properties["conductivity"]["high"] < 1.0  # type: ignore[index]
    assert {row["side"] for row in told["windows"]} == {"inside"}  # type: ignore[attr-defined]
    measured = reply(WEAK + 'conductivity = "0.7 S/m"\n')["properties"]
    assert measured["conductivity"]["best"] == pytest.approx(0.7)  # type: ignore[index]


@pytest.mark.parametrize(
    ("text", "more", "words"),
    [
        ("", {}, "job.toml: the table .bath. is missing"),
        ("[bath", {}, "not a TOML file"),
        (STRONG.replace("chloride", "clhoride"), {}, "did you mean 'chloride'"),
        (STRONG.replace('"230 g/L"', '"230"'), {}, r"\[bath\] copper_sulfate_pentahydrate"),
        (STRONG.replace("acid sulfate", "cyanide"), {}, "'cyanide' is not known"),
        (WEAK.replace('"8 g/L"', '"8 mg/L"'), {}, "did you mean 8 g/L"),
        (STRONG, {"coldest": "-20 degC"}, "known from 0 to 55 °C"),
        (STRONG, {"coldest": "cold"}, "a temperature"),
    ],
)
def test_faults(text: str, more: dict[str, object], words: str) -> None:
    with pytest.raises(BadInput, match=words):
        reply(text, **more)
