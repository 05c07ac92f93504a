"""The test cells and the published formula, by hand and against what the same source prints."""

from math import log10

import numpy as np
import pytest
from scipy.integrate import quad

from tankside.base.errors import BadInput, OutsideValidity, UnknownName
from tankside.diagnosis.panel import cell_named, cells
from tankside.validation import slanted

SMALL, LARGE = cell_named("267 mL"), cell_named("1000 mL")


def test_the_panels_have_the_lengths_they_are_sold_in() -> None:
    assert SMALL.length == pytest.approx(4 * 0.0254, rel=2e-3)
    assert LARGE.length == pytest.approx(5 * 0.0254, rel=4e-3)


def test_the_small_cell_is_the_one_that_is_validated() -> None:
    assert SMALL.length == pytest.approx(slanted.SLANT)
    assert SMALL.depth == pytest.approx(slanted.DEPTH)


def test_the_metric_form_that_is_printed_beside_it_agrees() -> None:
    """Both forms are printed with three figures, and nearly cancel at the far end."""
    for distance, limit in ((0.635, 0.002), (2.54, 0.002), (5.0, 0.003), (8.255, 0.008)):
        metric = 100.0 * (5.10 - 5.24 * log10(distance))
        assert SMALL.published(distance / 100, 1.0) == pytest.approx(metric, rel=limit)


def test_the_mean_is_the_integral() -> None:
    for cell in (SMALL, LARGE):
        start, end = cell.reach
        whole, _ = quad(lambda x, of=cell: of.published(x, 2.0), start, end)
        assert cell.published_mean(start, end, 2.0) == pytest.approx(whole / (end - start))


@pytest.mark.parametrize("distance", [0.0, 0.004, 0.0063, 0.0826, 0.0935, 0.1])
def test_outside_its_range_the_formula_fails_and_says_so(distance: float) -> None:
    with pytest.raises(OutsideValidity, match="formula of the 267 mL cell fails"):
        SMALL.published(distance, 1.0)
    assert not SMALL.holds_at(distance)


def test_beyond_its_range_it_would_turn_negative() -> None:
    """Why it is refused there: the bare expression has a zero on the panel."""
    zero = 0.0254 * 10 ** (SMALL.constant / SMALL.slope)
    assert SMALL.reach[1] < zero < SMALL.length


def test_current_scales_and_falls() -> None:
    places = np.linspace(*SMALL.reach, 20)
    found = [SMALL.published(float(x), 1.0) for x in places]
    assert all(np.diff(found) < 0.0)
    assert SMALL.published(0.03, 3.0) == pytest.approx(3.0 * SMALL.published(0.03, 1.0))


def test_unknown_cells_and_empty_stretches_are_refused() -> None:
    with pytest.raises(UnknownName, match="267 mL"):
        cell_named("250 mL")
    with pytest.raises(BadInput, match="stretch"):
        SMALL.published_mean(0.03, 0.03, 1.0)
    assert set(cells()) == {"267 mL", "1000 mL"}
