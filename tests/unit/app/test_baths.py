"""The job's [bath] table: each family by its own keys, and one sentence for each mistake."""

import tomllib

import jsonschema
import pytest

from tankside.app.job.baths import electrolyte_of
from tankside.app.job.reading import job_schema, read_job
from tankside.base.errors import BadInput
from tankside.bath.electrolyte import Electrolyte
from tests.faces.conftest import JOB

ACID = """family = "acid sulfate"
copper_sulfate_pentahydrate = "75 g/L"
sulfuric_acid = "190 g/L"
"""
CITRATE = """family = "citrate"
copper_sulfate_pentahydrate = "50 g/L"
citric_acid = "60 g/L"
"""
ACETATE = """family = "acetate"
dissolved_copper = "8 g/L"
acetic_acid = "50 g/L"
"""


def bath(text: str) -> Electrolyte:
    assert ACID in JOB
    return electrolyte_of(read_job(JOB.replace(ACID, text), name="job.toml").bath, height=0.1)


def test_each_family_is_read_and_computed() -> None:
    strong, citrate, acetate = bath(ACID), bath(CITRATE), bath(ACETATE)
    assert (strong.family, citrate.family, acetate.family) == ("acid sulfate", "citrate", "acetate")
    assert strong.conductivity.best > 10.0 * citrate.conductivity.best
    assert citrate.conductivity.best > acetate.conductivity.best


@pytest.mark.parametrize("text", [ACID, CITRATE, ACETATE])
def test_each_family_fits_the_published_schema(text: str) -> None:
    jsonschema.validate(tomllib.loads(JOB.replace(ACID, text)), job_schema())


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (CITRATE.replace("citrate", "citrat", 1), "'citrat' is not known; did you mean 'citrate'"),
        (ACID.replace("acid sulfate", "cyanide"), "'cyanide' is not known; known are"),
        (CITRATE.replace("citric_acid", "citricacid"), "did you mean 'citric_acid'"),
        (ACID.replace("sulfuric_acid", "citric_acid"), "'citric_acid' is not known"),
        (ACID.replace('sulfuric_acid = "190 g/L"\n', ""), "'sulfuric_acid' is missing"),
        (CITRATE.replace('citric_acid = "60 g/L"\n', ""), "give citric acid"),
        (ACETATE.replace('dissolved_copper = "8 g/L"\n', ""), "holds no copper"),
        (CITRATE.replace("50 g/L", "50 mg/L"), "did you mean 50 g/L?"),
        (ACETATE.replace('"8 g/L"', '"8"'), "has no unit"),
        (ACETATE.replace('"8 g/L"', '"-8 g/L"'), "must not be negative"),
        (ACETATE + 'sodium_sulfate = "300 g/L"\n', "2 mol/kg"),
    ],
)
def test_wrong_baths_get_one_sentence(text: str, words: str) -> None:
    with pytest.raises(BadInput, match=words) as caught:
        bath(text)
    assert "[bath]" in str(caught.value)
