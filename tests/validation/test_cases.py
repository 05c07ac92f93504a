"""Every published number that `tankside check` knows is held here too, one test a row."""

from collections import Counter

import pytest

from tankside.base.errors import MissingData
from tankside.validation.cases import Case, cases, judged

ROWS = [
    pytest.param(case, id=case.id, marks=[pytest.mark.slow] if case.slow else [])
    for case in cases()
]


@pytest.mark.parametrize("case", ROWS)
def test_case_holds(case: Case) -> None:
    verdict = judged(case)
    assert verdict.ok, (
        f"{case.what}: {verdict.computed:.6g} {case.unit} against {case.expected:.6g} "
        f"({case.source}, {case.locator}); deviation {verdict.deviation:+.2e}, "
        f"limit {case.limit:.1e}"
    )


@pytest.mark.parametrize("case", cases(), ids=lambda case: case.id)
def test_case_says_everything_a_reader_needs(case: Case) -> None:
    for text in (case.what, case.unit, case.why, case.locator, case.evidence):
        assert text.strip()
    assert case.limit > 0.0
    if not case.absolute:
        assert case.expected != 0.0
        assert case.limit < 1.0, "a relative limit of one or more can hardly fail"
    assert case.evidence in ("read", "exact", "from memory") or case.evidence.startswith(
        "computed by "
    )


def test_memory_is_the_exception() -> None:
    kinds = Counter(case.evidence == "from memory" for case in cases())
    assert kinds[True] < kinds[False] / 2


def test_a_wrong_number_would_be_noticed() -> None:
    """The frame itself can fail: the same case with another expectation."""
    case = next(case for case in cases() if case.id == "faraday.grams-per-ampere-hour")
    wrong = Case(**{**_as_dict(case), "expected": 2.372})
    assert judged(case).ok
    assert not judged(wrong).ok


def test_an_unknown_quantity_is_named() -> None:
    case = next(iter(cases()))
    with pytest.raises(MissingData, match="no function computes 'phlogiston'"):
        judged(Case(**{**_as_dict(case), "quantity": "phlogiston"}))


def _as_dict(case: Case) -> dict[str, object]:
    return {name: getattr(case, name) for name in Case.__dataclass_fields__}
