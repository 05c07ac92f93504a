"""The drawings of a search: the own rig's, each better one's, and each stage of one that turns."""

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from tankside.app.ports import SheetRequest
from tankside.app.rig.drawing import drawn_rigs, title_of
from tankside.plan.rigs.rig import Rig, Turn
from tankside.sheets.plan_sheets import PlanSheets
from tests.unit.sheets.rig.hung_cells import in_a_box


@pytest.fixture(scope="module")
def drawings() -> dict[str, str]:
    own = in_a_box().description
    (part,) = own.parts
    moved = replace(own, parts=(replace(part, at=(0.007, -0.013, 0.131)),))
    found: Any = SimpleNamespace(
        own_rig=Rig(description=own),
        proposals=[
            SimpleNamespace(rig=Rig(description=moved)),
            SimpleNamespace(rig=Rig(description=own, turn=Turn(after=0.5, angle=90.0))),
        ],
    )
    request = SheetRequest(title="lantern finial", prepared="")
    files = drawn_rigs(found, PlanSheets(), request)
    return {name: text.decode() for name, text in files.items()}


def test_every_rig_and_every_stage_has_its_own(drawings: dict[str, str]) -> None:
    assert set(drawings) == {"rig-own.svg", "rig-1.svg", "rig-2-1-of-2.svg", "rig-2-2-of-2.svg"}
    assert "Rig drawing: lantern finial, your own rig" in drawings["rig-own.svg"]
    assert "Rig drawing: lantern finial, rig 2, stage 2 of 2" in drawings["rig-2-2-of-2.svg"]


def test_what_was_moved_is_seen(drawings: dict[str, str]) -> None:
    assert "part 1 over the floor: 115" in drawings["rig-own.svg"]
    assert "part 1 over the floor: 105" in drawings["rig-1.svg"]


def test_a_turned_part_is_drawn_turned(drawings: dict[str, str]) -> None:
    assert "part 1, from left to right: 46" in drawings["rig-2-1-of-2.svg"]
    assert "part 1, from left to right: 38" in drawings["rig-2-2-of-2.svg"]


def test_a_drawing_is_called_by_its_jobs_file() -> None:
    assert title_of("lantern_finial.toml") == "lantern finial"
