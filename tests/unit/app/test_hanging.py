"""The plan warns of air that stays under a part as it hangs."""

from dataclasses import replace

import numpy as np
import pytest

from tankside.app import hanging
from tankside.app.hanging import hanging_warnings
from tankside.app.job.building import BuiltPart
from tankside.base.progress import silent
from tankside.cell.description import PlacedPart
from tankside.part.mesh import TriangleMesh
from tankside.part.pockets import pockets
from tankside.part.read import read_part
from tankside.part.surface import AnalysisSurface
from tests.unit.app.test_examine_a_part import cup, stl


def hung(rotation: tuple[float, float, float], mass: float | None = None) -> BuiltPart:
    loaded = read_part(stl(cup()), "cup.stl", "mm")
    surface = AnalysisSurface(
        mesh=TriangleMesh(vertices=loaded.mesh.vertices, triangles=loaded.mesh.triangles),
        original_triangle=np.arange(len(loaded.mesh.triangles)),
        route="direct",
        largest_distance=0.0,
        area_change=0.0,
        smallest_angle_5_percent=0.5,
    )
    placed = PlacedPart(surface=surface, at=(0.0, 0.0, 0.1), rotation=rotation, mass=mass)
    return BuiltPart(loaded=loaded, surface=surface, placed=placed)


@pytest.mark.parametrize(
    ("rotation", "expected"),
    [
        ((0.0, 0.0, 0.0), "carries 14 mL of bath out"),
        ((180.0, 0.0, 0.0), "traps 14 mL of air"),
    ],
)
def test_a_cup_upright_carries_bath_and_turned_over_traps_air(
    rotation: tuple[float, float, float], expected: str
) -> None:
    (sentence,) = hanging_warnings((hung(rotation),), 1150.0, silent)
    assert expected in sentence


def test_several_hollows_are_told_in_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    one = pockets(hung((0.0, 0.0, 0.0)).surface.mesh, (0.0, 0.0, 1.0), progress=silent)
    twice = replace(one, liquid=one.liquid * 2)
    monkeypatch.setattr(hanging, "pockets", lambda *_, **__: twice)
    (sentence,) = hanging_warnings((hung((0.0, 0.0, 0.0)),), 1150.0, silent)
    assert "carries 28 mL of bath out" in sentence
    assert "in 2 hollows" in sentence


def test_on_its_side_the_cup_keeps_nothing() -> None:
    assert hanging_warnings((hung((90.0, 0.0, 0.0)),), 1150.0, silent) == ()


def test_a_light_print_floats() -> None:
    sentences = hanging_warnings((hung((90.0, 0.0, 0.0), mass=0.02),), 1150.0, silent)
    # 23.56 mL of material in a liquid of 1.15 g/mL lift 27.1 g
    assert len(sentences) == 1
    assert "floats" in sentences[0]
    assert "7.0" in sentences[0] or "7.1" in sentences[0]
