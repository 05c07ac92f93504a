"""A rig's drawing is in its reader's language and numbers, whatever hangs in the tank."""

import re
from dataclasses import replace

import pytest

from tankside.app.ports import SheetRequest
from tankside.base.messages import Reader
from tankside.sheets.rig.sheet import rig_sheets
from tests.unit.sheets.brackets import drawn_texts, how, outside
from tests.unit.sheets.rig.test_rig_drawing import KINDS, cell_of
from tests.unit.web.test_languages import bracketed

__all__ = ["bracketed", "how"]
MARKS = re.compile(r"\b[PAST]\d+\b")


@pytest.mark.parametrize("kind", KINDS)
def test_every_word_is_in_the_reader_s_language(kind: str, how: SheetRequest) -> None:
    for sheet in rig_sheets(cell_of(kind), how):
        found = [MARKS.sub("", one) for one in drawn_texts(sheet)]
        assert any("⟦" in one for one in found)
        assert [one for one in found if list(outside(one, ()))] == []


@pytest.mark.parametrize("kind", KINDS)
def test_with_a_decimal_comma_no_decimal_point_is_left(kind: str, how: SheetRequest) -> None:
    point, comma = (replace(how, reader=Reader(comma=comma)) for comma in (False, True))
    count = 0
    for english, mine in zip(
        *(rig_sheets(cell_of(kind), one) for one in (point, comma)), strict=True
    ):
        for one, other in zip(drawn_texts(english), drawn_texts(mine), strict=True):
            count += bool(re.search(r"\d\.\d", one))
            assert not re.search(r"\d\.\d", other), other
    assert count > 3
