"""Doses: against trying out everything on a coarse grid, against many drawn baths, and by hand."""

from dataclasses import replace
from itertools import product as grid

import numpy as np
import pytest

from tankside.base.errors import BadInput, UnknownName
from tankside.bath.dosing import JUG, SCALE, SYRINGE, Add, Item, Measure, Withdraw, advised
from tankside.bath.dosing.dosing import Option
from tankside.bath.dosing.outcome import Action, bench_of, together
from tankside.bath.families import family
from tankside.bath.inventory import BathEstimate, estimated
from tankside.bath.inventory.volumes import volume
from tankside.bath.inventory.windows import windows_of
from tankside.substances.products import Product
from tests.unit.bath.inventory.shelf import (
    BATTERY_ACID,
    CRYSTALS,
    MURIATIC,
    WATER,
    product,
    taken_over,
)

WINDOWS = windows_of(family("conventional"))
CAPACITY = 0.0205


def priced(one: Product, price: float) -> Product:
    return replace(one, package=1.0, price=price, currency="EUR")


SALT = Item(product=priced(CRYSTALS, 9.0), measure=SCALE)
ACID = Item(product=priced(BATTERY_ACID, 4.0), measure=JUG)
CHLORIDE = Item(product=priced(MURIATIC, 5.0), measure=SYRINGE)
PURE = Item(product=priced(WATER, 0.5), measure=JUG)
OXIDE = Item(product=priced(product("oxide", "copper oxide", 0.98, 0.01), 25.0), measure=SCALE)
SHELF = (SALT, ACID, CHLORIDE, PURE)


def bath(copper: float = 55.0, acid: float = 55.0, chloride: float = 0.08, litres: float = 18.0,
         relative: float = 0.012) -> BathEstimate:  # fmt: skip
    return estimated((taken_over(copper, acid, chloride, litres / 1000.0, relative=relative),))


def products_of(option: Option) -> set[str]:
    return {one.product for one in option.actions if isinstance(one, Add)}


def test_a_good_bath_is_left_alone() -> None:
    advice = advised(bath(), WINDOWS, SHELF, capacity=CAPACITY)
    (only,) = advice.options
    assert only.words == "do nothing"
    assert only.actions == ()
    assert only.meets
    assert only.probability > 0.9


def test_low_copper_gets_one_addition_of_copper() -> None:
    advice = advised(bath(copper=46.0), WINDOWS, SHELF, capacity=CAPACITY)
    first = advice.options[0]
    assert first.words == "fewest actions"
    assert products_of(first) == {"crystals"}
    assert len(first.actions) == 1
    assert first.meets
    assert first.withdrawn == 0.0
    assert first.cost == pytest.approx(9.0 * first.actions[0].mass)
    # not much more than the mass balance asks for: up to the edge, and two deviations further
    (low, _) = WINDOWS["copper"]
    least = (low - 46.0) * 18.0 / 1000.0 / 0.2507
    assert least < first.actions[0].mass < 3.0 * least


def test_each_option_is_judged_by_its_own_outcome() -> None:
    estimate = bath(copper=45.0, acid=25.0, chloride=0.03)
    bench = bench_of(estimate, SHELF)
    whole = {**WINDOWS, "volume": (0.0, CAPACITY)}
    for option in advised(estimate, WINDOWS, SHELF, capacity=CAPACITY, least_volume=0.0).options:
        outcome = bench.after(option.actions)
        assert option.probabilities == outcome.probabilities(whole)
        assert option.probability == together(option.probabilities)
        assert option.meets == (option.probability >= 0.9)


def test_a_full_tank_is_emptied_before_it_is_diluted() -> None:
    advice = advised(bath(copper=68.0, litres=19.8), WINDOWS, SHELF, capacity=0.020)
    first = advice.options[0]
    assert isinstance(first.actions[0], Withdraw)
    assert products_of(first) == {"water"}
    assert first.ends["volume"].best <= 0.020
    assert first.meets


def test_the_tank_is_not_emptied_to_save_money() -> None:
    for option in advised(bath(copper=46.0), WINDOWS, SHELF, capacity=CAPACITY).options:
        assert option.ends["volume"].best > 0.0175


def test_doses_can_be_measured() -> None:
    estimate = bath(copper=45.0, acid=25.0, chloride=0.03)
    by_name = {item.product.name: item for item in SHELF}
    for option in advised(estimate, WINDOWS, SHELF, capacity=CAPACITY).options:
        for one in option.actions:
            if isinstance(one, Add):
                item = by_name[one.product]
                steps = one.mass / item.step
                assert steps == pytest.approx(round(steps), abs=1e-6)
                assert one.mass >= item.least * (1 - 1e-9)
                assert (one.volume is None) == (not item.measure.by_volume)
            else:
                assert one.volume / 1e-5 == pytest.approx(round(one.volume / 1e-5), abs=1e-6)


def test_acid_goes_in_last() -> None:
    first = advised(bath(45.0, 25.0, 0.03), WINDOWS, SHELF, capacity=CAPACITY).options[0]
    added = [one.product for one in first.actions if isinstance(one, Add)]
    assert set(added[-2:]) == {"battery acid", "muriatic acid"}


def test_oxide_serves_copper_low_and_acid_high_in_one() -> None:
    """It eats acid as it dissolves; crystals would need a withdrawal beside them."""
    advice = advised(bath(copper=47.0, acid=76.0), WINDOWS, (*SHELF, OXIDE), capacity=CAPACITY)
    first = advice.options[0]
    assert products_of(first) == {"oxide"}
    assert len(first.actions) == 1


def test_stock_is_respected() -> None:
    little = replace(SALT, stock=0.05)
    for option in advised(bath(copper=46.0), WINDOWS, (little,), capacity=CAPACITY).options:
        assert sum(one.mass for one in option.actions if isinstance(one, Add)) <= 0.05 + 1e-9
        assert not option.meets


def test_what_is_not_known_is_measured_not_dosed() -> None:
    vague = estimated((replace(taken_over(relative=0.012), copper_std=8.0),))
    advice = advised(vague, WINDOWS, SHELF, capacity=CAPACITY)
    assert not any(option.meets for option in advice.options)
    assert advice.notes == (
        "Copper is not known well enough for its window, whatever is added: measure it first.",
    )


def test_what_the_shelf_cannot_do_is_told() -> None:
    advice = advised(bath(acid=20.0), WINDOWS, (SALT,), capacity=CAPACITY)
    assert not advice.options[0].meets
    assert "Nothing on the shelf brings acid inside" in advice.notes[0]


def test_a_surer_option_costs_more() -> None:
    options = advised(bath(copper=46.0), WINDOWS, SHELF, capacity=CAPACITY).options
    (surer,) = [one for one in options if one.words.startswith("the same bottles")]
    assert surer.probability > options[0].probability
    assert surer.cost is not None
    assert options[0].cost is not None
    assert surer.cost > options[0].cost


def test_a_price_that_lacks_is_no_zero() -> None:
    unpriced = Item(product=CRYSTALS, measure=SCALE)
    first = advised(bath(copper=46.0), WINDOWS, (unpriced,), capacity=CAPACITY).options[0]
    assert first.cost is None


COARSE = (
    Item(product=priced(CRYSTALS, 9.0), measure=Measure(name="spoon", resolution=0.05, least=0.05,
                                                        largest=1.0)),
    Item(product=priced(BATTERY_ACID, 4.0), measure=Measure(name="cup", resolution=5e-5, least=5e-5,
                                                            largest=1e-3, by_volume=True)),
    PURE,
)  # fmt: skip


@pytest.mark.parametrize(
    ("copper", "acid"), [(47.0, 55.0), (55.0, 28.0), (47.5, 29.0), (49.0, 50.0), (63.5, 55.0)]
)
def test_no_smaller_set_of_actions_is_found_by_trying_all(copper: float, acid: float) -> None:
    """Every combination of coarse portions without a withdrawal, judged in full."""
    estimate = bath(copper, acid)
    whole = {**WINDOWS, "volume": (0.0, CAPACITY)}
    bench = bench_of(estimate, COARSE)
    fewest, cheapest = 99, np.inf
    water = Item(product=COARSE[2].product, measure=JUG)
    for salt, cups, litres in grid(range(12), range(10), np.arange(0.0, 2.4, 0.3)):
        actions: tuple[Action, ...] = tuple(
            Add(product=item.product.name, mass=amount)
            for item, amount in (
                (COARSE[0], 0.05 * salt), (COARSE[1], COARSE[1].step * cups),
                (water, litres * COARSE[2].density / 1000.0),
            )
            if amount > 0.0
        )  # fmt: skip
        if together(bench.after(actions).probabilities(whole)) >= 0.9:
            fewest = min(fewest, len(actions))
            prices = {item.product.name: item.product.cost_per_kg or 0.0 for item in COARSE}
            cheapest = min(cheapest, sum(prices[a.product] * a.mass for a in actions
                                         if isinstance(a, Add)))  # fmt: skip
    options = advised(estimate, WINDOWS, COARSE, capacity=CAPACITY, least_volume=0.0).options
    assert options[0].meets
    assert len(options[0].actions) <= fewest
    assert min(one.cost for one in options if one.meets and one.cost is not None) <= cheapest + 1e-9


def test_stated_probabilities_are_those_of_drawn_baths() -> None:
    """Many true baths drawn from the estimate, dosed by plain mass balance."""
    estimate = bath(copper=47.5, relative=0.02)
    item = SALT
    bench = bench_of(estimate, (item,))
    (told,) = [
        bench.after((Add(product="crystals", mass=0.25),)).probabilities(
            {"copper": WINDOWS["copper"]}
        )["copper"]
    ]
    rng = np.random.default_rng(11)
    drawn = rng.multivariate_normal(bench.state, bench.covariance, 4000)
    place = bench.shop.index["strength of crystals"]
    inside = 0
    for state in drawn:
        strength = 1.0 + bench.shop.beliefs["strength of crystals"].value(float(state[place]))
        copper = float(state[0]) + 0.25 * 0.985 * 63.546 / 249.685 * strength
        masses = np.array([copper, state[1], state[2], state[3], state[4] + 0.25 * 0.37])
        held = copper / volume(masses, 298.15)
        inside += WINDOWS["copper"][0] < held < WINDOWS["copper"][1]
    assert inside / 4000 == pytest.approx(told, abs=0.02)
    assert 0.5 < told < 0.99


BAD = [
    ({"probability": 0.3}, "from 0.5 to below 1"),
    ({"probability": 1.0}, "from 0.5 to below 1"),
    ({"windows": {"additive": (1.0, 2.0)}}, "let ampere-hours propose"),
    ({"windows": {"copper": (60.0, 50.0)}}, "window of copper is empty"),
    ({"least_volume": 0.03}, "below its capacity"),
    ({"shelf": (SALT, SALT)}, "same name"),
]


@pytest.mark.parametrize(("change", "words"), BAD, ids=[words for _, words in BAD])
def test_what_cannot_be_asked_is_refused(change: dict[str, object], words: str) -> None:
    asked = {"windows": WINDOWS, "shelf": SHELF, "capacity": CAPACITY, **change}
    windows, shelf = asked.pop("windows"), asked.pop("shelf")
    with pytest.raises(BadInput, match=words):
        advised(bath(), windows, shelf, **asked)  # type: ignore[arg-type]


def test_unknown_quantities_are_offered_close_names() -> None:
    with pytest.raises(UnknownName, match="did you mean 'copper'"):
        advised(bath(), {"coper": (1.0, 2.0)}, SHELF, capacity=CAPACITY)


def test_measures_and_items_that_cannot_be() -> None:
    with pytest.raises(BadInput, match="least portion"):
        Measure(name="spoon", resolution=1.0, least=0.5, largest=2.0)
    with pytest.raises(BadInput, match="solid and is weighed"):
        Item(product=CRYSTALS, measure=JUG)
    with pytest.raises(BadInput, match="cannot be -1 kg"):
        Item(product=CRYSTALS, measure=SCALE, stock=-1.0)


def test_a_liquid_of_unknown_density_counts_as_water() -> None:
    loose = Item(product=replace(BATTERY_ACID, density=None), measure=JUG)
    assert loose.density == pytest.approx(998.2, abs=0.1)
    assert Item(product=BATTERY_ACID, measure=JUG).density == 1280.0


def test_cautions_come_with_what_is_done() -> None:
    acid = advised(bath(acid=22.0), WINDOWS, SHELF, capacity=CAPACITY).options[0]
    assert any("never water into acid" in one for one in acid.cautions)
    full = advised(bath(copper=68.0, litres=19.8), WINDOWS, SHELF, capacity=0.020).options[0]
    assert any("never goes down a drain" in one for one in full.cautions)
    oxide = advised(bath(copper=47.0, acid=76.0), WINDOWS, (OXIDE,), capacity=CAPACITY).options[0]
    assert any("a spoon at a time" in one for one in oxide.cautions)
    assert advised(bath(copper=46.0), WINDOWS, (SALT,), capacity=CAPACITY).options[0].cautions == ()


def test_a_measure_is_not_filled_for_ever() -> None:
    """Seven litres of water are not drawn with a syringe."""
    drops = Item(product=PURE.product, measure=SYRINGE)
    advice = advised(bath(copper=68.0), WINDOWS, (drops,), capacity=0.025)
    assert not any(option.meets for option in advice.options)
    assert all(option.count <= 2 for option in advice.options)
