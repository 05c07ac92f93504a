"""The pictures: well-formed, marked where they must be, true to scale, the same every time."""

import base64
import io
import re
from collections.abc import Callable
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest
from PIL import Image

from tankside.part.mesh import TriangleMesh
from tankside.plan.plan import Plan
from tankside.sheets.camera import fitted_camera
from tankside.sheets.colours import decoded, thickness_scale
from tankside.sheets.picture_histogram import histogram_picture
from tankside.sheets.picture_part import part_picture
from tankside.sheets.png import png
from tankside.sheets.render import rendered
from tankside.sheets.shares import area_by_thickness
from tankside.sheets.skin import skin_of
from tankside.sheets.wording import measured

SVG = "{http://www.w3.org/2000/svg}"


def words(picture: str) -> list[str]:
    return ["".join(text.itertext()) for text in ElementTree.fromstring(picture).iter(f"{SVG}text")]


@pytest.mark.parametrize("make", [part_picture, histogram_picture])
def test_each_is_one_well_formed_drawing_and_comes_out_the_same(
    plan: Plan, make: Callable[[Plan], str]
) -> None:
    picture = make(plan)
    tree = ElementTree.fromstring(picture)
    width, height = (float(tree.attrib[name].removesuffix("pt")) for name in ("width", "height"))
    assert tree.attrib["viewBox"] == f"0 0 {width:g} {height:g}"
    assert tree.find(f"{SVG}title").text
    assert "nan" not in picture
    assert make(plan) == picture


def test_part_picture_names_extremes_goal_patterns_and_unit(plan: Plan) -> None:
    said = words(part_picture(plan))
    least = measured(plan.thickness.minimum, "um", 2)
    for expected in ("copper, µm", "thinnest", "thickest", least, "goal", "burning", "bare"):
        assert expected in said
    assert "10 mm" in said
    assert [word for word in said if word.startswith("from the")] != []


def test_part_picture_without_trouble_has_no_patterns(
    invented: Callable[..., Plan], ball: Callable[..., TriangleMesh]
) -> None:
    said = words(part_picture(invented(ball(0.02, (0.0, 0.0, 0.13)), troubled=False)))
    assert "burning" not in said
    assert "bare" not in said


def test_a_mark_inside_a_cavity_is_called_hidden(
    invented: Callable[..., Plan], ball: Callable[..., TriangleMesh]
) -> None:
    outside = ball(0.02, (0.0, 0.0, 0.13))
    inside = ball(0.008, (0.0, 0.0, 0.13)).flipped()
    hollow = TriangleMesh(
        vertices=np.vstack([outside.vertices, inside.vertices]),
        triangles=np.vstack([outside.triangles, inside.triangles + len(outside.vertices)]),
    )
    exposure = np.concatenate(
        [np.full(len(outside.triangles), 1.0), np.full(len(inside.triangles), 0.2)]
    )
    said = words(part_picture(invented(hollow, exposure, troubled=False)))
    assert said.count("hidden") >= 1


def test_rendered_part_shows_the_scales_colours_and_white_ground(plan: Plan) -> None:
    skin, scale = skin_of(plan), thickness_scale(plan)
    points = skin.corners[skin.of_part].reshape(-1, 3)
    camera = fitted_camera(points, -1.0, 0.0, width=160, height=160, margin=(10, 10))
    pixels = rendered(skin, camera, scale)
    assert pixels.shape == (160, 160, 3)
    assert (pixels[2:6, 2:6] == 255).all()
    rows = np.arange(60, 140, 8)
    luminance = decoded(pixels[rows, 80] / 255.0) @ [0.2126, 0.7152, 0.0722]
    assert np.corrcoef(rows, luminance)[0, 1] < -0.9  # thickness falls with height in this plan


def test_burning_is_hatched_in_black_and_bare_is_dotted_in_white(plan: Plan) -> None:
    skin, scale = skin_of(plan), thickness_scale(plan)
    points = skin.corners[skin.of_part].reshape(-1, 3)
    below = fitted_camera(points, 0.0, -1.5, width=200, height=200, margin=(10, 10))
    above = fitted_camera(points, 0.0, 1.5, width=200, height=200, margin=(10, 10))
    bottom = rendered(skin, below, scale)[92:108, 92:108]
    top = rendered(skin, above, scale)[85:115, 85:115]
    assert (bottom.min(axis=2) > 240).any()
    assert (bottom.max(axis=2) < 120).any()
    dark = top.max(axis=2) < 60
    assert 0.1 < dark.mean() < 0.5


def test_the_pictures_in_the_drawing_are_whole_png_files(plan: Plan) -> None:
    held = re.findall(r"data:image/png;base64,([^\"]+)", part_picture(plan))
    assert len(held) == 2
    for data in held:
        image = Image.open(io.BytesIO(base64.b64decode(data)))
        image.load()
        assert image.mode == "RGB"
        assert image.width == 4 * 204


def test_png_keeps_every_pixel() -> None:
    pixels = np.random.default_rng(5).integers(0, 256, (17, 23, 3), dtype=np.uint8)
    np.testing.assert_array_equal(np.asarray(Image.open(io.BytesIO(png(pixels)))), pixels)


def test_histogram_counts_all_area_once(plan: Plan) -> None:
    scale = thickness_scale(plan)
    edges, shares = area_by_thickness(plan, scale, 30)
    assert shares.sum() == pytest.approx(1.0)
    assert set(np.round(scale.ticks, 12)) <= set(np.round(edges, 12))
    part = plan.results[0]
    inside = (part.thickness >= edges[9]) & (part.thickness < edges[10])
    areas = part.body.surface.areas
    assert shares[9] == pytest.approx(areas[inside].sum() / areas.sum())


def test_histogram_flags_goal_mean_and_thinnest(plan: Plan) -> None:
    said = words(histogram_picture(plan))
    assert "mean 120 µm, the goal" in said
    assert any(word.startswith("5 % is thinner than") for word in said)
    other = replace(plan, goal=replace(plan.goal, thickness=90e-6))
    assert "goal 90 µm" in words(histogram_picture(other))
