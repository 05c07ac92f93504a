"""Answers while they are typed: read as people type them, or refused in one sentence."""

import pytest

from tankside.app.work.typed_answers import fault_of, understood
from tankside.base.errors import UnknownName


@pytest.mark.parametrize(
    ("question", "text", "best"),
    [
        ("length", "0,5 mm", 5e-4),
        ("mass", "41.20 g", 0.0412),
        ("mass", "0 g", 0.0),
        ("time", "40 min", 2400.0),
        ("temperature", "-5 degC", 268.15),
        ("spread volume", "18 ± 0,3 L", 0.018),
        ("concentration", "50-54 g/L", 52.0),
        ("amount", "120 mL", 1.2e-4),
        ("amount", "45 ± 1 g", 0.045),
        ("trouble chloride", "55 mg/L", 0.055),
        ("trouble idle_anode_time", "12 h", 43200.0),
    ],
)
def test_an_answer_is_understood(question: str, text: str, best: float) -> None:
    found = understood(question, text)
    assert found is not None
    assert found.value.best == pytest.approx(best)
    assert fault_of(question, text) == ""


def test_a_spread_is_told_with_both_its_ends() -> None:
    found = understood("concentration", "58 ± 4 g/L")
    assert found is not None
    assert (found.value.low, found.value.high) == pytest.approx((54.0, 62.0))


@pytest.mark.parametrize(
    ("question", "text", "said"),
    [
        ("length", "0,5", "unit"),
        ("length", "5 g", "length"),
        ("length", "-5 mm", "above zero"),
        ("volume", "18 ± 0.3 L", "18 ± 0.3 L"),
        ("spread volume", "> 18 L", "write both"),
        ("concentration", "much", "number"),
        ("price of copper", "12 EUR", "write for example"),
        ("price of copper", "12/kg", "names no currency"),
        ("amount", "120", "unit"),
        ("amount", "5 mm", "volume"),
        ("moment", "yesterday", "is no date"),
        ("moment", "2900-01-01", "future"),
        ("trouble mass_ratio", "1.2 g", "plain ratio"),
        ("trouble charge_since_carbon", "8 Ah", "charge by volume"),
        ("trouble level_drop", "-5 mm", "zero or more"),
    ],
)
def test_what_cannot_be_read_is_told(question: str, text: str, said: str) -> None:
    assert said in fault_of(question, text)


@pytest.mark.parametrize(
    ("question", "text"),
    [
        ("mass", " "),
        ("price of work", "25 EUR/h"),
        ("moment", "2026-03-01 18:30"),
        ("trouble mass_ratio", "0.98"),
    ],
)
def test_of_some_nothing_is_said(question: str, text: str) -> None:
    assert understood(question, text) is None


@pytest.mark.parametrize(
    "question", ["colour", "spread concentration", "price of love", "trouble taste", ""]
)
def test_a_question_that_there_is_not_is_refused(question: str) -> None:
    with pytest.raises(UnknownName):
        understood(question, "5 mm")
