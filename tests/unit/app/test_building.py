"""A job's part is cut finer where its wires hold it, however it is turned."""

from importlib import resources

import numpy as np
import pytest
import trimesh

from tankside.app.job.building import panels_of_each, parts_of, tallest
from tankside.app.job.reading import read_job
from tankside.base.progress import silent
from tests.unit.app.test_examine_a_part import Held, stl

EXAMPLE = resources.files("tankside.examples").joinpath("finial.toml").read_text("utf-8")


def test_the_skin_is_finer_at_a_contact() -> None:
    text = EXAMPLE.replace("rotate = [180, 0, 0]", "rotate = [0, 90, 0]")
    text = text.replace('"0 cm", "-1.2 cm", "16 cm"', '"0 cm", "0 cm", "18 cm"')
    text = text.replace('"0 cm", "1.2 cm", "16 cm"', '"0 cm", "0 cm", "18 cm"')
    job = read_job(text + "\n[detail]\npart_panels = 2000\n", name="job.toml")
    block = trimesh.creation.box((40.0, 40.0, 40.0))
    (built,) = parts_of(job, Held(finial_stl=stl(block)), silent)
    mesh = built.surface.mesh

    def mean_area_around(point: list[float]) -> float:
        close = np.linalg.norm(mesh.centroids - np.array(point), axis=1) < 0.005
        assert close.any()
        return float(mesh.areas[close].mean())

    # turned by 90 degrees about y, the top of the hanging block is the file's -x face
    assert mean_area_around([-0.02, 0.0, 0.0]) < 0.7 * mean_area_around([0.02, 0.0, 0.0])


def test_a_part_that_lies_flat_counts_by_its_area_over_its_rim() -> None:
    """A leaf of 0.2 mm has no height to speak of; hung upright, its height counts."""
    leaf = Held(finial_stl=stl(trimesh.creation.box((80.0, 40.0, 0.2))))
    heights = []
    for turn in ("[0, 0, 0]", "[0, 90, 0]"):
        text = EXAMPLE.replace("rotate = [180, 0, 0]", f"rotate = {turn}")
        job = read_job(text + "\n[detail]\npart_panels = 2000\n", name="job.toml")
        heights.append(tallest(parts_of(job, leaf, silent)))
    assert heights == pytest.approx([80e-3 * 40e-3 / 240e-3, 80e-3], rel=1e-3)


@pytest.mark.parametrize(
    ("parts", "each"), [(1, 12_000), (4, 3000), (8, 2000), (15, 2000), (30, 1000), (90, 500)]
)
def test_many_small_parts_share_what_can_be_solved(parts: int, each: int) -> None:
    assert panels_of_each(12_000, parts) == each
