"""Laws of mixing and making up: mass is kept, order does not matter, twice as much is twice as
much."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from tankside.base.errors import Impossible
from tankside.base.intervals import Interval
from tankside.bath.composition import Composition
from tankside.bath.heat_of_dilution import heat_given_off, heat_of_solution, mixed_temperature
from tankside.bath.makeup import (
    Measures,
    Preference,
    Stocked,
    Tool,
    Vessel,
    acid_sulfate_target,
    adjusted,
    made_up,
)
from tankside.bath.makeup.balance import balanced
from tankside.bath.mixture import (
    Mixture,
    composition_of,
    gas,
    mixed,
    mixture_of,
    portion,
    reacted,
    volume,
)
from tankside.substances import grade
from tankside.substances.products import Form
from tests.unit.bath.makeup.shelf import (
    BATTERY_ACID,
    CARBONATE,
    MURIATIC,
    OXIDE,
    PLAIN_SALT,
    SALT,
    STRONG_ACID,
    TAP,
    WATER,
    old_bath,
    product,
    request,
)

steady = settings(deadline=None, max_examples=60)
few = settings(deadline=None, max_examples=25)

salts = st.floats(40.0, 200.0)
acids = st.floats(30.0, 100.0)
chlorides = st.floats(0.02, 0.12)
litres = st.floats(2.0, 40.0)
PRODUCTS = (SALT, BATTERY_ACID, STRONG_ACID, MURIATIC, PLAIN_SALT, OXIDE, CARBONATE, TAP, WATER)
PRECISE = (
    Tool(name="balance", measures=Measures.MASS, resolution=1e-9, capacity=200.0),
    Tool(name="burette", measures=Measures.VOLUME, resolution=1e-10, capacity=1.0),
)
"""Tools so fine that rounding does not show."""

ACID_92 = product(
    "acid 92 %",
    Form.LIQUID,
    {"sulfuric acid": (0.91, 0.92, 0.93)},
    density=(1815.0, 1823.0, 1830.0),
)

TUB = Vessel(material="polypropylene", floor_area=0.25, height=0.25)


@st.composite
def doses(draw: st.DrawFn) -> list[Mixture]:
    """Portions of every product, with acid enough for what needs it."""
    masses = draw(st.lists(st.floats(0.001, 1.0), min_size=9, max_size=9))
    parts = [portion(one, mass) for one, mass in zip(PRODUCTS, masses, strict=True)]
    return [*parts, Mixture(masses={"sulfuric acid": 6.0, "water": 30.0})]


@steady
@given(doses(), st.randoms(use_true_random=False))
def test_order_does_not_change_the_composition(parts: list[Mixture], random: object) -> None:
    shuffled = list(parts)
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    one, other = (composition_of(mixed(*order), 293.15) for order in (parts, shuffled))
    for name in ("copper_sulfate_pentahydrate", "sulfuric_acid", "chloride"):
        assert getattr(other, name) == pytest.approx(getattr(one, name), rel=1e-12)


@steady
@given(doses(), st.integers(1, 9))
def test_mixing_in_two_vessels_first_changes_nothing(parts: list[Mixture], at: int) -> None:
    apart = mixed(mixed(*parts[:at]), mixed(*parts[at:]))
    assert apart.masses == pytest.approx(dict(mixed(*parts).masses), rel=1e-12)


@steady
@given(doses())
def test_mass_is_kept_to_rounding_but_for_the_gas(parts: list[Mixture]) -> None:
    whole = mixed(*parts)
    assert whole.mass == pytest.approx(sum(part.mass for part in parts), rel=1e-13)
    assert reacted(whole).mass + gas(whole) == pytest.approx(whole.mass, rel=1e-12)


@steady
@given(doses(), st.floats(0.01, 100.0))
def test_volume_scales_with_mass(parts: list[Mixture], factor: float) -> None:
    whole = mixed(*parts)
    assert volume(whole.scaled(factor), 293.15) == pytest.approx(
        factor * volume(whole, 293.15), rel=1e-12
    )


@steady
@given(salts, acids, chlorides, litres)
def test_a_bath_and_its_masses_are_one(
    salt: float, acid: float, chloride: float, size: float
) -> None:
    bath = Composition(copper_sulfate_pentahydrate=salt, sulfuric_acid=acid, chloride=chloride)
    held = mixture_of(bath, size * 1e-3, 293.15)
    back = composition_of(held, 293.15)
    assert volume(held, 293.15) == pytest.approx(size * 1e-3, rel=1e-12)
    assert back.copper_sulfate_pentahydrate == pytest.approx(salt, rel=1e-11)
    assert back.sulfuric_acid == pytest.approx(acid, rel=1e-11)
    assert back.chloride == pytest.approx(chloride, rel=1e-11)


@few
@given(salts, acids, chlorides, litres)
def test_a_make_up_is_its_target_and_scales(
    salt: float, acid: float, chloride: float, size: float
) -> None:
    target = acid_sulfate_target(
        Composition(copper_sulfate_pentahydrate=salt, sulfuric_acid=acid, chloride=chloride)
    )
    plan = made_up(request(target=target, litres=size, tools=PRECISE, vessel=TUB))
    half = made_up(request(target=target, litres=size / 2.0, tools=PRECISE, vessel=TUB))
    assert plan.resulting("copper sulfate pentahydrate").best == pytest.approx(salt, rel=1e-5)
    assert plan.resulting("sulfuric acid").best == pytest.approx(acid, rel=1e-5)
    assert plan.resulting("chloride").best == pytest.approx(chloride, rel=1e-3)
    for one, other in zip(plan.amounts, half.amounts, strict=True):
        assert one.mass.best == pytest.approx(2.0 * other.mass.best, rel=1e-3)
    assert plan.cost.total == pytest.approx(2.0 * (half.cost.total or 0.0), rel=1e-4)


@few
@given(salts, acids, chlorides)
def test_kilograms_poured_are_kilograms_of_bath_and_of_gas(
    salt: float, acid: float, chloride: float
) -> None:
    target = acid_sulfate_target(
        Composition(copper_sulfate_pentahydrate=salt, sulfuric_acid=acid, chloride=chloride)
    )
    shelf = (OXIDE, CARBONATE, STRONG_ACID, MURIATIC, WATER)
    plan = made_up(request(*shelf, target=target, tools=PRECISE))
    poured = sum(step.mass for step in plan.steps)
    brought = mixed(
        *(
            portion(one, amount.mass.best)
            for one in shelf
            if (amount := plan.amount(one.name)) is not None
        )
    )
    assert poured == pytest.approx(sum(one.mass.best for one in plan.amounts), rel=1e-12)
    assert plan.mass + gas(brought) == pytest.approx(poured, rel=1e-12)


@few
@given(salts, acids, chlorides)
def test_the_shelf_s_order_does_not_change_what_is_weighed(
    salt: float, acid: float, chloride: float
) -> None:
    target = acid_sulfate_target(
        Composition(copper_sulfate_pentahydrate=salt, sulfuric_acid=acid, chloride=chloride)
    )
    one = balanced(request(SALT, BATTERY_ACID, MURIATIC, WATER, target=target))
    other = balanced(request(WATER, MURIATIC, SALT, BATTERY_ACID, target=target))
    assert one is not None
    assert other is not None
    assert other.masses == pytest.approx(one.masses, rel=1e-8)


@few
@given(st.floats(120.0, 230.0), st.floats(35.0, 95.0), st.floats(0.02, 0.1))
def test_adjusting_reaches_the_target_and_loses_nothing_but_what_it_says(
    salt: float, acid: float, chloride: float
) -> None:
    old = old_bath(salt, acid, chloride)
    aim = Composition(copper_sulfate_pentahydrate=200.0, sulfuric_acid=60.0, chloride=0.06)
    plan = adjusted(
        old,
        acid_sulfate_target(aim),
        shelf=tuple(Stocked(product=one) for one in (SALT, BATTERY_ACID, MURIATIC, WATER)),
        tools=PRECISE,
        vessel=TUB,
    )
    assert plan.resulting("copper sulfate pentahydrate").best == pytest.approx(200.0, rel=1e-5)
    assert plan.resulting("sulfuric acid").best == pytest.approx(60.0, rel=1e-5)
    assert plan.old_bath + plan.withdrawn == pytest.approx(old.volume.best, rel=1e-9)
    assert plan.withdrawn == pytest.approx(0.0, abs=1e-8)


@few
@given(st.floats(5e-4, 5e-3), st.floats(0.0, 0.03))
def test_a_worse_scale_or_label_never_narrows_an_interval(error: float, doubt: float) -> None:
    plain = made_up(request())
    scale = Tool(
        name="scale", measures=Measures.MASS, resolution=1e-5, capacity=5.0, accuracy=error
    )
    vague = replace(
        SALT,
        contents=(
            replace(
                SALT.contents[0],
                mass_fraction=Interval(0.98 - doubt, 0.99, 1.0),
            ),
        ),
    )
    worse = made_up(request(vague, BATTERY_ACID, MURIATIC, WATER, tools=(scale,)))
    one = plain.resulting("copper sulfate pentahydrate")
    other = worse.resulting("copper sulfate pentahydrate")
    assert (other.best - other.low) / other.best >= (one.best - one.low) / one.best * 0.999


@steady
@given(st.floats(0.0, 5e3), st.floats(1.001, 3.0))
def test_more_water_always_gives_more_heat(water_per_acid: float, factor: float) -> None:
    """The heat of solution grows with dilution, to its end."""
    weak = heat_of_solution("sulfuric acid", water_per_acid * factor)
    assert weak <= heat_of_solution("sulfuric acid", water_per_acid)
    assert weak >= -96190.0


@steady
@given(st.floats(0.05, 0.95), st.lists(st.floats(0.01, 0.5), min_size=1, max_size=6))
def test_heat_does_not_depend_on_how_acid_is_divided(fraction: float, masses: list[float]) -> None:
    """It is a function of state: portions give what one pour gives."""
    held, total = Mixture(masses={"water": 4.0}), 0.0
    for mass in masses:
        share = Mixture(masses={"sulfuric acid": fraction * mass, "water": (1.0 - fraction) * mass})
        total += heat_given_off(held, share).best
        held = mixed(held, share)
    whole = sum(masses)
    at_once = heat_given_off(
        Mixture(masses={"water": 4.0}),
        Mixture(masses={"sulfuric acid": fraction * whole, "water": (1.0 - fraction) * whole}),
    )
    assert total == pytest.approx(at_once.best, rel=1e-9, abs=1e-6)


@steady
@given(st.floats(0.2, 0.9), st.floats(0.05, 1.0), st.floats(280.0, 310.0))
def test_acid_into_water_only_warms(fraction: float, mass: float, start: float) -> None:
    share = Mixture(masses={"sulfuric acid": fraction * mass, "water": (1.0 - fraction) * mass})
    after = mixed_temperature(Mixture(masses={"water": 5.0}), start, share, start).value
    assert start < after.low <= after.best <= after.high


@few
@given(st.floats(30.0, 225.0), st.sampled_from(["polypropylene", "borosilicate", "hdpe", "pvc"]))
def test_no_plan_goes_beyond_its_vessel(acid: float, name: str) -> None:
    """Whatever the acid, no step is warmer than the vessel stands, and none warms by itself."""
    target = acid_sulfate_target(
        Composition(copper_sulfate_pentahydrate=60.0, sulfuric_acid=acid, chloride=0.06)
    )
    vessel = Vessel(material=name, floor_area=0.06, height=0.3)
    plan = made_up(request(SALT, ACID_92, MURIATIC, WATER, target=target, vessel=vessel))
    for before, after in pairwise(step for step in plan.steps if step.after is not None):
        assert after.after is not None
        assert before.after is not None
        assert max(after.before, after.after.high) <= vessel.warmest + 1e-6
        assert after.before <= before.after.high + 1e-6


SHELF_NAMES = (
    "copper sulfate, technical",
    "copper sulfate, anhydrous",
    "copper oxide, black",
    "copper carbonate, basic",
    "sulfuric acid, battery",
    "sulfuric acid 50 %",
    "sulfuric acid 96 %",
    "hydrochloric acid 31.45 %",
    "salt, pure",
    "citric acid, food grade",
    "baking soda",
    "hydrogen peroxide 12 %",
    "distilled water",
    "tap water",
)


PLAIN_NAMES = (
    "copper sulfate, technical",
    "sulfuric acid, battery",
    "hydrochloric acid 31.45 %",
    "distilled water",
)
"""What makes a bath, whatever else stands there."""


@settings(deadline=None, max_examples=60)
@given(
    st.lists(st.sampled_from(SHELF_NAMES), min_size=3, max_size=9, unique=True),
    st.floats(20.0, 230.0),
    st.floats(20.0, 230.0),
    st.floats(0.01, 0.12),
    st.one_of(st.none(), st.floats(0.01, 3.0)),
    st.sampled_from(Preference),
    st.booleans(),
    st.sampled_from([True, True, True, False]),
)
def test_any_shelf_gives_a_true_plan_or_one_clear_sentence(
    names: list[str],
    salt: float,
    acid: float,
    chloride: float,
    little: float | None,
    preference: Preference,
    window: bool,
    complete: bool,
) -> None:
    ends = {
        "copper_sulfate_pentahydrate": (0.9 * salt, 1.1 * salt),
        "sulfuric_acid": (0.9 * acid, 1.1 * acid),
        "chloride": (0.5 * chloride, 1.5 * chloride),
    }
    aim = Composition(copper_sulfate_pentahydrate=salt, sulfuric_acid=acid, chloride=chloride)
    names = list(dict.fromkeys([*names, *(PLAIN_NAMES if complete else ())]))
    shelf = [Stocked(product=grade(name)) for name in names]
    shelf[0] = replace(shelf[0], available=little)
    try:
        plan = made_up(
            request(
                *shelf,
                target=acid_sulfate_target(aim, ends if window else None),
                tools=PRECISE,
                vessel=TUB,
                preference=preference,
            )
        )
    except Impossible as refusal:
        event("refused")
        plan, sentence = None, refusal.message
    if plan is None:
        assert 20 < len(sentence) < 400
        return
    event("planned")
    for one in plan.composition:
        assert one.wanted is not None
        slack = 1e-4 * one.wanted.high
        assert one.wanted.low - slack <= one.value.best <= one.wanted.high + slack
    first = plan.amount(names[0])
    if little is not None and first is not None:
        assert first.mass.best <= little * (1.0 + 1e-6)
    assert plan.volume.best == pytest.approx(0.01, rel=1e-4)
    assert np.linalg.eigvalsh(np.array(plan.covariance)).min() >= -1e-15
    used = {one.product for one in plan.amounts}
    assert not used & {"citric acid, food grade", "baking soda", "hydrogen peroxide 12 %"}


def test_intervals_are_covariances_of_the_same_errors() -> None:
    """A covariance has no negative variance in any direction."""
    plan = made_up(request(SALT, BATTERY_ACID, MURIATIC, TAP, old=old_bath(180.0, 50.0, 0.05)))
    assert np.linalg.eigvalsh(np.array(plan.covariance)).min() >= 0.0
