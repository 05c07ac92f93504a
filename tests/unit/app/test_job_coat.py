"""A coat given by multimeter readings: inferred on the part's skin, in the tank's coordinates."""

from importlib import resources
from math import log, pi

import numpy as np
import pytest
import trimesh
from scipy.spatial.transform import Rotation

from tankside.app.job.building import parts_of
from tankside.app.job.coat import coat_sentences
from tankside.app.job.reading import read_job
from tankside.base.errors import BadInput
from tankside.base.progress import silent
from tankside.field.panels import Panels
from tankside.field.seed.coat import Coat
from tankside.field.seed.readings import Reading, resistance_between
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
    found = built.coat.coat.sheet_resistance
    assert found.best == pytest.approx(40.0, rel=0.05)
    assert 40.0 in found
    assert built.placed.coat == built.coat.coat
    (sentence,) = coat_sentences("ball.stl", built.coat)
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


ALONG = {"one": 18.0, "other": -18.0}
"""x in the tank [mm] of places on the two paints. The part is turned by 90 degrees about y, so that
z of its file lies along x of the tank."""

HALF = '[["-25 mm", "-25 mm", "-25 mm"], ["25 mm", "25 mm", "0 mm"]]'
"""What has z below 0 in the file, a half of the ball."""


def around(x: float) -> tuple[tuple[tuple[float, float, float], tuple[float, float, float]], ...]:
    """Pairs of places a quarter and a half round the ball's circle at this x [mm]."""
    ring = float(np.sqrt(RADIUS**2 - x**2))
    places = [
        (x, ring * float(np.cos(turn)), 160.0 + ring * float(np.sin(turn)))
        for turn in np.linspace(0, 2 * pi, 4, endpoint=False)
    ]
    return (
        (places[0], places[1]),
        (places[1], places[2]),
        (places[0], places[2]),
        (places[1], places[3]),
    )


def test_two_paints_are_told_apart_by_their_own_readings() -> None:
    """The readings are simulated by the shell model on three times as many panels: what is tried
    here is the going round in turn; the model's own proof is on the ball with one paint."""
    known = (
        f'sheet_resistance = "90 ohm", region = [{{ box = {HALF}, sheet_resistance = "9 ohm" }}]'
    )
    finer = job_text(known).replace("part_panels = 2000", "part_panels = 6000")
    (painted,) = parts_of(read_job(finer, name="job.toml"), ball(), silent)
    mesh, coat = painted.surface.mesh, painted.placed.coat
    assert coat is not None
    panels = Panels(corners=mesh.corners, group=np.ones(len(mesh.triangles), dtype=np.int64))
    laid = Coat(sheet_resistance=coat.laid_on(mesh.centroids).best)
    turn = Rotation.from_euler("y", 90, degrees=True).as_matrix()

    def read(pair: tuple[tuple[float, float, float], tuple[float, float, float]]) -> str:
        ends = [(np.array(place) / 1e3 - (0.0, 0.0, 0.16)) @ turn for place in pair]
        told = Reading(first=ends[0], second=ends[1], resistance=1.0)
        return reading(*pair, round(0.3 + resistance_between(panels, laid, told), 3))

    (poor, good) = (
        ", ".join(read(pair) for pair in around(x)) for x in (ALONG["one"], ALONG["other"])
    )
    region = f"region = [{{ box = {HALF}, readings = [{good}] }}]"
    text = f'readings = [{poor}], leads = "0.3 ohm", {region}'
    (built,) = parts_of(read_job(job_text(text), name="job.toml"), ball(), silent)
    assert built.coat is not None
    found = built.coat.coat
    assert found.sheet_resistance.best == pytest.approx(90.0, rel=0.1)
    assert found.regions[0].sheet_resistance is not None
    assert found.regions[0].sheet_resistance.best == pytest.approx(9.0, rel=0.1)
    at_large, below = coat_sentences("ball.stl", built.coat)
    assert at_large.startswith("ball.stl: 4 readings")
    assert below.startswith("ball.stl, region 1: 4 readings")


def test_ranges_regions_and_strokes_are_laid_on_the_part() -> None:
    text = (
        'sheet_resistance = "80-120 ohm", brush = [0, 0, 1], across = 1.5, region = ['
        f'{{ box = {HALF}, sheet_resistance = "5 ohm", brush = [1, 0, 0] }}, '
        '{ centre = ["0 mm", "0 mm", "-20 mm"], radius = "6 mm", bare = true }]'
    )
    (built,) = parts_of(read_job(job_text(text), name="job.toml"), ball(), silent)
    assert built.placed.coat is not None
    places = np.array([[0.0, 0.0, 0.02], [0.02, 0.0, -0.001], [0.0, 0.0, -0.02]])
    turn = Rotation.from_euler("y", 90, degrees=True).as_matrix()
    laid = built.placed.coat.laid_on(places, turn)
    assert laid.low.tolist() == [80.0, 5.0, np.inf]
    assert laid.best.tolist() == [100.0, 5.0, np.inf]
    assert laid.high.tolist() == [120.0, 5.0, np.inf]
    assert laid.across_over_along == 1.5
    assert laid.strokes is not None
    along_x, down = (
        [1.0, 0.0, 0.0],
        [0.0, 0.0, -1.0],
    )  # file's z and x, turned about y by 90 degrees
    assert np.allclose(laid.strokes[:2], [along_x, down])


@pytest.mark.parametrize(
    ("seed", "message", "where"),
    [
        ('sheet_resistance = "120-80 ohm"', "runs backwards", "seed sheet_resistance"),
        ('sheet_resistance = "at most 80 ohm"', "has one end only", "seed sheet_resistance"),
        ('sheet_resistance = "-3 ohm"', "above zero", "seed sheet_resistance"),
        ('sheet_resistance = "80-120 mm"', "sheet resistance", "seed sheet_resistance"),
        ('sheet_resistance = "3 ohm", brush = [0, 0, 1]', "give both", "seed"),
        ('sheet_resistance = "3 ohm", across = 2', "give both", "seed"),
        (f'sheet_resistance = "3 ohm", region = [{{ box = {HALF} }}]', "give one of", "region"),
        (
            'sheet_resistance = "3 ohm", region = [{ bare = true, radius = "3 mm" }]',
            "needs both centre and radius",
            "region",
        ),
        (
            'sheet_resistance = "3 ohm", region = [{ bare = true }]',
            "either centre and radius, or box",
            "region",
        ),
    ],
)
def test_a_coat_that_makes_no_sense_is_told_in_a_sentence(
    seed: str, message: str, where: str
) -> None:
    with pytest.raises(BadInput, match=message) as caught:
        read_job(job_text(seed), name="job.toml")
    assert where in caught.value.where


def test_a_region_beside_the_part_and_a_tip_on_another_paint_are_told() -> None:
    beside = (
        'sheet_resistance = "3 ohm", region = [{ centre = ["9 cm", "0 cm", "0 cm"], '
        'radius = "1 cm", bare = true }]'
    )
    with pytest.raises(BadInput, match="holds no place of the part") as caught:
        parts_of(read_job(job_text(beside), name="job.toml"), ball(), silent)
    assert "seed, region 1" in caught.value.where
    rows = ", ".join(reading(a, b, 30.0) for a, b in around(ALONG["one"]))
    other = f'sheet_resistance = "3 ohm", region = [{{ box = {HALF}, readings = [{rows}] }}]'
    with pytest.raises(BadInput, match="lies on another paint") as caught:
        parts_of(read_job(job_text(other), name="job.toml"), ball(), silent)
    assert "region 1, reading 1" in caught.value.where
