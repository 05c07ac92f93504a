"""A coat given by multimeter readings: inferred on the part's skin, in the tank's coordinates."""

from importlib import resources
from math import log, pi

import numpy as np
import pytest
import trimesh

from tankside.app.job.building import parts_of
from tankside.app.job.coat import coat_sentence
from tankside.app.job.reading import read_job
from tankside.base.errors import BadInput
from tankside.base.progress import silent
from tests.unit.app.test_examine_a_part import Held, stl

EXAMPLE = resources.files("tankside.examples").joinpath("finial.toml").read_text("utf-8")
RADIUS = 20.0  # mm, the ball's; its middle hangs at z = 160 mm


def job_text(seed: str) -> str:
    text = EXAMPLE.replace('surface = "metal"', f"seed = {{ {seed} }}")
    text = text.replace("rotate = [180, 0, 0]", "rotate = [0, 90, 0]")
    for x in ("-1.2", "1.2"):
        text = text.replace(f'"0 cm", "{x} cm", "16 cm"', f'"0 cm", "{x} cm", "17.6 cm"')
    return text + "\n[detail]\npart_panels = 2000\n"


def reading(one: tuple[float, float, float], other: tuple[float, float, float], ohms: float) -> str:
    places = ", ".join("[" + ", ".join(f'"{x} mm"' for x in place) + "]" for place in (one, other))
    return f'{{ between = [{places}], reads = "{ohms} ohm" }}'


def ball() -> Held:
    return Held(finial_stl=stl(trimesh.creation.icosphere(4, RADIUS)))


PLACES = (
    ((0.0, 0.0, 180.0), (0.0, 0.0, 140.0), pi),
    ((0.0, 0.0, 180.0), (20.0, 0.0, 160.0), pi / 2),
    ((0.0, 20.0, 160.0), (0.0, -20.0, 160.0), pi),
    ((20.0, 0.0, 160.0), (0.0, 20.0, 160.0), pi / 2),
)


def exact(sheet_resistance: float, apart: float) -> float:
    """Tips of 0.5 mm radius on a ball, and leads of 0.3 ohm."""
    return sheet_resistance / pi * log(2 * RADIUS * np.sin(apart / 2) / 0.5) + 0.3


def test_the_sheet_resistance_of_a_ball_is_found() -> None:
    rows = ", ".join(reading(a, b, exact(40.0, apart)) for a, b, apart in PLACES)
    job = read_job(job_text(f'readings = [{rows}], leads = "0.3 ohm"'), name="job.toml")
    (built,) = parts_of(job, ball(), silent)
    assert built.coat is not None
    assert built.placed.sheet_resistance == pytest.approx(40.0, rel=0.05)
    assert built.placed.sheet_resistance == built.coat.sheet_resistance.best
    sentence = coat_sentence("ball.stl", built.coat)
    assert "4 readings put the coat at" in sentence


@pytest.mark.parametrize(
    ("seed", "message"),
    [
        ("", "either sheet_resistance or readings"),
        (
            f'sheet_resistance = "3 ohm", readings = [{reading((0, 0, 0), (1, 0, 0), 1)}]',
            "either sheet_resistance or readings",
        ),
        (f"readings = [{reading((0, 0, 0), (1, 0, 0), 1)}]", "give 3 or more"),
    ],
)
def test_a_coat_is_given_one_way(seed: str, message: str) -> None:
    with pytest.raises(BadInput, match=message):
        read_job(job_text(seed), name="job.toml")


@pytest.mark.parametrize(
    ("place", "ohms", "message"),
    [
        ((0.0, 0.0, 220.0), 30.0, "from the part; give places on its surface"),
        ((0.0, 0.0, 180.0), 0.0, "must be a resistance above zero"),
    ],
)
def test_a_bad_reading_is_named(
    place: tuple[float, float, float], ohms: float, message: str
) -> None:
    rows = [reading(a, b, 30.0) for a, b, _ in PLACES[:2]]
    rows.append(reading(place, (0.0, 0.0, 140.0), ohms))
    job = read_job(job_text(f"readings = [{', '.join(rows)}]"), name="job.toml")
    with pytest.raises(BadInput, match=message) as caught:
        parts_of(job, ball(), silent)
    assert "[part] seed" in caught.value.where
