"""The job file: its example fits its schema, and a read job is in SI."""

import tomllib
from importlib import resources

import jsonschema
import pytest

from tankside.app.job.reading import job_schema, read_job
from tankside.base.errors import BadInput, UnknownName

EXAMPLE = resources.files("tankside.examples").joinpath("finial.toml").read_text("utf-8")


def test_the_example_fits_the_published_schema() -> None:
    jsonschema.validate(tomllib.loads(EXAMPLE), job_schema())


def test_the_schema_refuses_what_the_reader_refuses() -> None:
    spoiled = tomllib.loads(EXAMPLE.replace("[supply]", "[suply]"))
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(spoiled, job_schema())


def test_quantities_are_si() -> None:
    job = read_job(EXAMPLE, name="finial.toml")
    assert job.bath.sulfuric_acid == pytest.approx(190.0)  # g/L is kg/m³
    assert job.bath.chloride == pytest.approx(0.07)
    assert job.bath.temperature == pytest.approx(298.15)
    assert job.tank.liquid_depth == pytest.approx(0.25)
    assert job.goal.thickness == pytest.approx(120e-6)
    assert job.contact[0].wire == pytest.approx(0.8e-3)


def test_several_parts_are_read_as_one_or_many() -> None:
    one = read_job(EXAMPLE, name="x")
    two = read_job(EXAMPLE.replace("[part]", "[[part]]"), name="x")
    assert one.parts == two.parts


def test_unknown_keys_offer_close_ones() -> None:
    with pytest.raises(UnknownName) as caught:
        read_job(EXAMPLE.replace("liquid_depth", "liquid_dept"), name="finial.toml")
    assert caught.value.candidates == ("liquid_depth",)
    assert caught.value.where == "finial.toml: [tank]"


def test_a_place_is_counted_as_a_person_counts() -> None:
    with pytest.raises(BadInput) as caught:
        read_job(EXAMPLE.replace('"13 cm", "0 cm", "14 cm"', '"13 cm", "0", "14 cm"'), name="j")
    assert caught.value.where == "j: [anode 2] at[2]"
