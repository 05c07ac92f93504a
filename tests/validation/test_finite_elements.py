"""The rows computed by finite elements are computed anew, from scratch, with scikit-fem.

Three legs: the stored number is what the elements give today; the elements converge; and where an
exact answer exists, they meet it. That the field solver meets the stored numbers is a row of the
validation cases like any other (test_cases.py).
"""

from itertools import pairwise

import pytest

from tankside.validation import slanted
from tankside.validation.cases import Case, cases
from tests.validation.finite_elements.figures import REFERENCES, SIZE
from tests.validation.finite_elements.trapezoid import SlantedCell

STORED = [case for case in cases() if case.evidence.startswith("computed by scikit-fem")]
EXACT_SLANTED = [
    case
    for case in cases()
    if case.quantity == "slanted cell: relative current" and case.evidence == "exact"
]
CONVERGING = ["recess: relative current", "plate: relative current", "cup: relative current"]


@pytest.mark.slow
@pytest.mark.parametrize("case", STORED, ids=lambda case: case.id)
def test_the_stored_number_is_what_the_elements_give(case: Case) -> None:
    computed = REFERENCES[case.quantity](**case.inputs)
    assert computed == pytest.approx(case.expected, rel=5e-4)


@pytest.mark.slow
@pytest.mark.parametrize("quantity", CONVERGING)
def test_halving_the_mesh_changes_ever_less(quantity: str) -> None:
    for case in [case for case in STORED if case.quantity == quantity][:6]:
        coarse, middle, fine = (
            REFERENCES[quantity](**case.inputs, size=size) for size in (4 * SIZE, 2 * SIZE, SIZE)
        )
        assert abs(fine - middle) < 0.7 * abs(middle - coarse)
        assert fine == pytest.approx(middle, rel=1e-3)


def test_the_stored_trapezoid_is_the_exact_one() -> None:
    cell = SlantedCell.of(slanted.NEAR_SIDE, slanted.FAR_SIDE, slanted.APART)
    assert EXACT_SLANTED
    for case in EXACT_SLANTED:
        exact = cell.relative_current(case.inputs["from_m"], case.inputs["to_m"])
        assert case.expected == pytest.approx(exact, rel=1e-5)
    (resistance,) = (case for case in cases() if case.quantity == "slanted cell: resistance")
    assert resistance.expected == pytest.approx(cell.resistance(), rel=1e-6)


@pytest.mark.slow
def test_elements_meet_the_exact_trapezoid() -> None:
    cell = SlantedCell.of(slanted.NEAR_SIDE, slanted.FAR_SIDE, slanted.APART)
    for start, end in ((0.0254, 0.05), (0.05, 0.08255)):
        computed = REFERENCES["slanted cell: relative current"](
            wagner=0.0, from_m=start, to_m=end, size=1 / 120
        )
        assert computed == pytest.approx(cell.relative_current(start, end), rel=3e-4)


def test_the_exact_map_keeps_current_and_bounds() -> None:
    """All shares make one; resistance lies between those of two straight cells (Rayleigh)."""
    cell = SlantedCell.of(0.04, 0.07, 0.05)
    slant = (0.03**2 + 0.05**2) ** 0.5
    stops = [0.0, 0.1 * slant, 0.45 * slant, slant]
    bands = list(pairwise(stops))
    parts = [cell.relative_current(start, end) * (end - start) / slant for start, end in bands]
    assert sum(parts) == pytest.approx(1.0, abs=1e-9)
    assert 0.04 / 0.05 < cell.resistance() < 0.07 / 0.05


def test_every_reference_is_leaned_on() -> None:
    assert {case.quantity for case in STORED} == set(REFERENCES)
