"""The colour scale: even to the eye, rising in lightness, safe, and its ends round and true."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside.base.arrays import Floats
from tankside.plan.plan import BodyResult, Plan
from tankside.sheets.colours import (
    bare,
    burning,
    decoded,
    encoded,
    hexadecimal,
    percentile_by_area,
    ramp,
    thickness_scale,
)

SHARES = np.linspace(0.0, 1.0, 101)


def with_thickness(plan: Plan, change: Callable[[Floats], Floats]) -> Plan:
    part = plan.results[0]
    changed = BodyResult(
        body=part.body,
        current_density=part.current_density,
        fraction_of_limit=part.fraction_of_limit,
        thickness=change(part.thickness),
    )
    return replace(plan, results=(changed, *plan.results[1:]))


def oklab(colour: Floats) -> Floats:
    """sRGB to OKLab by the forward matrices of Ottosson (2020), written out on their own."""
    to_cones = np.array(
        [
            [0.4122214708, 0.5363325363, 0.0514459929],
            [0.2119034982, 0.6806995451, 0.1073969566],
            [0.0883024619, 0.2817188376, 0.6299787005],
        ]
    )
    to_lab = np.array(
        [
            [0.2104542553, 0.7936177850, -0.0040720468],
            [1.9779984951, -2.4285922050, 0.4505937099],
            [0.0259040371, 0.7827717662, -0.8086757660],
        ]
    )
    return np.cbrt(decoded(colour) @ to_cones.T) @ to_lab.T


def test_equal_steps_are_equal_to_the_eye() -> None:
    steps = np.linalg.norm(np.diff(oklab(ramp(SHARES)), axis=0), axis=1)
    assert steps[:-3].max() / steps[:-3].min() < 1.02
    assert steps.max() / steps.min() < 1.5  # the last steps touch the edge of what screens show


def test_lightness_rises_all_the_way_so_grey_print_reads() -> None:
    luminance = decoded(ramp(SHARES)) @ [0.2126, 0.7152, 0.0722]
    assert (np.diff(luminance) > 0).all()
    assert luminance[0] < 0.02
    assert luminance[-1] > 0.8


@given(st.floats(0, 1))
def test_srgb_coding_is_undone_by_decoding(light: float) -> None:
    assert decoded(encoded(np.array([light])))[0] == pytest.approx(light, abs=1e-9)


def test_hexadecimal_is_that_of_the_web() -> None:
    assert hexadecimal((1.0, 0.5, 0.0)) == "#ff8000"


def test_scale_holds_the_thickness_between_round_ends(plan: Plan) -> None:
    scale = thickness_scale(plan)
    assert (scale.low, scale.high) == pytest.approx((0.0, 200e-6))
    assert scale.ticks == pytest.approx((0.0, 50e-6, 100e-6, 150e-6, 200e-6))
    assert not scale.below
    assert not scale.above


@given(least=st.floats(0, 500e-6), span=st.floats(1e-7, 500e-6), seed=st.integers(0, 2**32 - 1))
def test_scale_is_round_wide_enough_and_ends_on_ticks(
    plan: Plan, least: float, span: float, seed: int
) -> None:
    random = np.random.default_rng(seed)
    scattered = with_thickness(plan, lambda t: least + span * random.random(len(t)))
    thickness = scattered.results[0].thickness
    scale = thickness_scale(scattered)
    assert scale.low <= thickness.min() * (1 + 1e-9)
    assert scale.above == (thickness.max() > scale.high)
    assert scale.ticks[0] == pytest.approx(scale.low, abs=1e-15)
    assert scale.ticks[-1] == pytest.approx(scale.high)
    assert 2 <= len(scale.ticks) <= 11
    assert scale.high - scale.low <= 3 * thickness.max()


def test_a_few_spikes_do_not_stretch_the_scale_but_are_told(plan: Plan) -> None:
    def spiked(thickness: Floats) -> Floats:
        changed = thickness.copy()
        changed[thickness.argmax()] = 5e-3
        return changed

    scale = thickness_scale(with_thickness(plan, spiked))
    assert scale.high == pytest.approx(200e-6)
    assert scale.above
    assert scale.colours(5e-3) == pytest.approx(ramp(np.array(1.0)))


@pytest.mark.parametrize("even", [0.0, 120e-6])
def test_even_thickness_still_has_a_scale(plan: Plan, even: float) -> None:
    scale = thickness_scale(with_thickness(plan, lambda t: np.full_like(t, even)))
    assert scale.low <= even <= scale.high
    assert scale.high > scale.low


def test_quick_colours_are_those_of_the_law(plan: Plan) -> None:
    scale = thickness_scale(plan)
    thickness = np.linspace(-10e-6, 300e-6, 777)
    quick = scale.colours_quickly(thickness.astype(np.float32))
    np.testing.assert_allclose(quick, scale.colours(thickness), atol=1.5 / 255)


def test_percentile_counts_area_not_panels() -> None:
    values, areas = np.array([3.0, 1.0, 2.0]), np.array([8.0, 1.0, 1.0])
    assert percentile_by_area(values, areas, 0.1) == 1.0
    assert percentile_by_area(values, areas, 0.2) == 2.0
    assert percentile_by_area(values, areas, 0.21) == 3.0


def test_burning_and_bare_agree_with_the_plans_fractions(plan: Plan) -> None:
    part = plan.results[0]
    areas = part.body.surface.areas
    for flags, fraction in (
        (burning(part), plan.burning_area_fraction),
        (bare(part), plan.bare_area_fraction),
    ):
        assert areas[flags].sum() / areas.sum() == pytest.approx(fraction)
        assert 0 < fraction < 0.2
