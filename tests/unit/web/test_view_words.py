"""The part's picture says nothing that the page does not hand over in the reader's language."""

import json
import re
from pathlib import Path

import pytest

from tankside.app.work import languages
from tankside.app.work.preferences import Preferences
from tankside.sheets import view_pack
from tankside.web.reader import READER
from tankside.web.view_words import TEXTS, view_words
from tests.unit.web.test_languages import bracketed, in_brackets

__all__ = ["bracketed"]

SCRIPTS = Path(__file__).parents[3] / "frontend" / "src"
SAID = re.compile(r'\bsay\(\s*"((?:[^"\\]|\\.)*)"')
CONSTANT = re.compile(r'const \w+ = "((?:[^"\\]|\\.)* .*)";')
CHOSEN = re.compile(r'say\(which === "least" \? "([^"]*)" : "([^"]*)"\)')


def of_the_scripts() -> set[str]:
    found = set()
    for name in (
        "part-view.ts",
        "part-controls.ts",
        "part-figures.ts",
        "run-chart.ts",
        "chart-data.ts",
    ):
        text = (SCRIPTS / name).read_text("utf-8")
        found |= set(SAID.findall(text)) | set(CONSTANT.findall(text))
        found |= {word for pair in CHOSEN.findall(text) for word in pair}
    return found


def test_every_text_of_the_script_is_handed_over() -> None:
    said = of_the_scripts()
    assert len(said) > 20
    assert {"volts expected", "No sample yet."} < said
    assert said <= set(TEXTS)


def test_every_quantity_of_a_pack_is_handed_over() -> None:
    assert {quantity.words for quantity in view_pack._QUANTITIES} <= set(TEXTS)


def test_english_hands_nothing_over() -> None:
    assert view_words() == "{}"


@pytest.mark.usefixtures("bracketed")
def test_another_language_hands_all_over() -> None:
    mine = READER.set(Preferences(language="xa"))
    try:
        assert json.loads(view_words()) == {text: in_brackets(text) for text in TEXTS}
    finally:
        READER.reset(mine)
        languages._catalogue.cache_clear()
