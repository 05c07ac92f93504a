"""What a supply is set to."""

import pytest

from tankside.plan.current import settable


@pytest.mark.parametrize(
    ("current", "setting"),
    [
        (0.3, 0.3),
        (0.3 * (1 - 1e-7), 0.3),  # what a field's charge may be off by
        (0.3 * (1 - 1e-4), 0.299),
        (0.2996, 0.299),
        (1.2345, 1.23),
        (12.39, 12.3),
        (999.999999, 1000.0),
        (0.0012398, 0.00123),
    ],
)
def test_currents_are_rounded_down_to_three_figures(current: float, setting: float) -> None:
    assert settable(current) == pytest.approx(setting, rel=1e-12)
