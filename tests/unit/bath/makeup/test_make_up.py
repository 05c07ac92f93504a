"""A bath from bottles: it is what was asked, and the plan says everything that a person needs."""

from dataclasses import replace

import pytest
from thermo.electrochem import Laliberte_density

from tankside.base.errors import BadInput, SafetyRefusal
from tankside.base.intervals import Interval
from tankside.base.provenance import sources as works
from tankside.bath.composition import Composition
from tankside.bath.density import density
from tankside.bath.makeup import (
    Action,
    Additive,
    MakeUpPlan,
    Preference,
    Stocked,
    Target,
    acid_sulfate_target,
    cylinder,
    made_up,
)
from tankside.bath.makeup.numbers import toml_rows
from tankside.bath.makeup.step_cautions import AT_THE_END, BEFORE_ALL, WITHDRAWING, cautions_of
from tankside.safety.cautions import all_cautions
from tankside.substances import grade, molar_mass
from tankside.substances.products import Form
from tests.unit.bath.makeup.shelf import (
    BATTERY_ACID,
    CARBONATE,
    FINE_SCALE,
    HARD_TAP,
    HIGH_THROW,
    KITCHEN,
    MURIATIC,
    OXIDE,
    PLAIN_SALT,
    SALT,
    STRONG_ACID,
    TAP,
    WATER,
    exactly,
    old_bath,
    product,
    request,
)

PLAN = made_up(request())


def shown(plan: MakeUpPlan, action: Action) -> list[str]:
    return [step.product for step in plan.steps if step.action is action]


def test_the_bath_is_what_was_asked_to_the_tools_rounding() -> None:
    """A gram of 2020 g of crystals, a gram of 1712 g of acid, a hundredth of 1.8 g of muriatic."""
    assert PLAN.resulting("copper sulfate pentahydrate").best == pytest.approx(200.0, rel=3e-4)
    assert PLAN.resulting("sulfuric acid").best == pytest.approx(60.0, rel=4e-4)
    assert PLAN.resulting("chloride").best == pytest.approx(0.06, rel=5e-3)


def test_amounts_are_those_of_the_arithmetic() -> None:
    """By hand: 200 g/L x 10 L / 0.99 = 2020.2 g; (600 g - hydrogen of the muriatic, 0.0814 g as
    acid) / 0.35 = 1714 g less; the rest of the mass by density."""
    salt, acid = PLAN.amount("blue crystals"), PLAN.amount("fresh battery acid")
    assert salt is not None
    assert acid is not None
    assert salt.mass.best == pytest.approx(2.0202, abs=1e-3)
    moles = (0.6 - 2.0202 * 5e-6) / molar_mass("Cl") * 1e-3  # of HCl, kg by the litre
    assert moles > 0.0
    assert acid.mass.best == pytest.approx(0.6 / 0.35 - 0.002, abs=1.5e-3)


def test_mass_closes_to_rounding() -> None:
    assert sum(one.mass.best for one in PLAN.amounts) == pytest.approx(PLAN.mass, rel=1e-12)
    poured = sum(step.mass for step in PLAN.steps)
    assert poured == pytest.approx(PLAN.mass, rel=1e-12)


def test_volume_closes_by_the_density_of_an_independent_program() -> None:
    """Not by adding volumes, which come to more."""
    fractions = [
        2.020 * 0.99 * molar_mass("CuSO4") / molar_mass("CuSO4·5H2O") / PLAN.mass,
        PLAN.resulting("sulfuric acid").best * PLAN.volume.best / PLAN.mass,
    ]
    rho = Laliberte_density(293.15, fractions, ["7758-98-7", "7664-93-9"])
    assert PLAN.mass / rho == pytest.approx(0.010, rel=2e-4)  # chloride is left out there
    liquids = sum(one.volume.best for one in PLAN.amounts if one.volume is not None)
    crystals = 2.02 / 2286.0  # density of the crystals, CRC Handbook, from memory
    assert liquids + crystals > 1.005 * PLAN.volume.best


def test_the_density_to_check_by_is_the_baths() -> None:
    bath = Composition(copper_sulfate_pentahydrate=200.0, sulfuric_acid=60.0)
    rho = PLAN.density.best
    fractions = {
        "copper sulfate": bath.anhydrous_copper_sulfate / rho,
        "sulfuric acid": 60.0 / rho,
    }
    assert density(fractions, 293.15) == pytest.approx(rho, rel=2e-4)
    assert PLAN.density.low < rho < PLAN.density.high


def test_water_comes_first_acid_into_it_chloride_late_and_the_mark_last() -> None:
    order = [step.action for step in PLAN.steps]
    assert order == [
        Action.PUT_ON,
        Action.POUR_WATER,
        Action.POUR_ACID,
        Action.DISSOLVE,
        Action.ADD,
        Action.FILL,
        Action.CHECK,
    ]


def test_every_caution_is_one_that_safety_holds() -> None:
    known = {caution.id for caution in all_cautions()}
    plans = [
        PLAN,
        made_up(request(old=old_bath(210.0, 90.0, 0.05))),
        made_up(request(CARBONATE, STRONG_ACID, PLAIN_SALT, WATER)),
    ]
    named = {caution for plan in plans for step in plan.steps for caution in step.cautions}
    assert named <= known
    assert {"eyes-and-hands", "strong-acid", "heat-of-mixing", "foam", "waste"} <= named
    assert {"acid-order", "hydrochloric-fumes", "drops-of-chloride"} <= named


def test_every_caution_of_the_table_is_one_that_safety_holds() -> None:
    known = {caution.id for caution in all_cautions()}
    rows = toml_rows("step_cautions.toml")["row"]
    assert {name for row in rows for name in row["cautions"]} <= known
    assert {*BEFORE_ALL, *AT_THE_END, *WITHDRAWING} <= known


def test_cautions_follow_strength_and_company() -> None:
    peroxide = product("peroxide", Form.LIQUID, {"hydrogen peroxide": (0.1, 0.12, 0.13)})
    weak = product("peroxide 3 %", Form.LIQUID, {"hydrogen peroxide": (0.02, 0.03, 0.04)})
    assert cautions_of(peroxide, ()) == ("peroxide",)
    assert cautions_of(weak, ()) == ()
    assert "organic-acid-peroxide" in cautions_of(weak, ("acetic acid",))
    assert "heat-of-mixing" in cautions_of(BATTERY_ACID, ())
    assert "vessel" not in cautions_of(BATTERY_ACID, ())  # a glass jar will do for it
    assert "vessel" in cautions_of(STRONG_ACID, ())


@pytest.mark.parametrize("name", ["glass", "bucket", "acrylic"])
def test_strong_acid_is_not_poured_in_a_weak_vessel(name: str) -> None:
    vessel = cylinder(name, diameter=0.28, height=0.30)
    made_up(request(vessel=vessel))
    with pytest.raises(SafetyRefusal, match="is not poured in a vessel of this kind"):
        made_up(request(SALT, STRONG_ACID, MURIATIC, WATER, vessel=vessel))
    cheap = replace(STRONG_ACID, price=0.01)
    plan = made_up(request(SALT, cheap, BATTERY_ACID, MURIATIC, WATER, vessel=vessel))
    assert plan.amount("acid 96 %") is None
    assert plan.amount("fresh battery acid") is not None


def test_two_waters_are_blended_where_that_brings_the_chloride() -> None:
    """59 mg/L from hard water of 250 mg/kg: 2.36 kg of it among 7.87 kg of water."""
    plan = made_up(request(SALT, BATTERY_ACID, HARD_TAP, WATER))
    hard, clean = plan.amount("hard tap water"), plan.amount("distilled water")
    assert hard is not None
    assert clean is not None
    assert hard.mass.best == pytest.approx(0.00059 / 2.5e-4, abs=0.02)
    assert hard.reading is not None
    assert clean.reading is None
    assert plan.resulting("chloride").best == pytest.approx(0.06, rel=0.01)


def test_dirt_and_unknown_heats_are_told() -> None:
    plan = made_up(
        request(
            grade("copper oxide, black"),
            grade("sulfuric acid 96 %"),
            grade("salt, pure"),
            WATER,
        )
    )
    assert any("insoluble matter" in text for text in plan.warnings)
    citric = product("citric acid", Form.SOLID, {"citric acid": (0.99, 0.995, 1.0)})
    target = Target(wanted=(exactly("copper", 8.0), exactly("citric acid", 60.0)))
    weak = made_up(request(SALT, citric, WATER, target=target))
    assert any("No heat of dissolving is known of citric acid" in one for one in weak.assumptions)


def test_a_polymer_additive_comes_from_a_stock() -> None:
    """50 mg/L in 10 L are half a gram, on a scale of one gram."""
    peg = grade("polyethylene glycol 4000, technical")
    plan = made_up(request(tools=KITCHEN, additives=(Additive(product=peg, dose=0.05),)))
    amount = plan.amount(peg.name)
    assert amount is not None
    assert amount.stock is not None
    assert amount.mass.best == pytest.approx(0.0005, rel=0.05)
    assert shown(plan, Action.ADDITIVE) == [peg.name]


def test_chloride_that_is_not_asked_for_is_told() -> None:
    plain = Composition(copper_sulfate_pentahydrate=200.0, sulfuric_acid=60.0)
    plan = made_up(request(target=acid_sulfate_target(plain)))
    assert plan.amount("muriatic acid") is None
    assert plan.resulting("chloride").best == pytest.approx(2.02 * 5e-6 / 0.01, rel=1e-3)


@pytest.mark.parametrize(
    "names",
    [
        ("copper sulfate, technical", "sulfuric acid, battery", "hydrochloric acid 31.45 %"),
        ("copper sulfate, anhydrous", "sulfuric acid 50 %", "salt, pure"),
        ("copper oxide, black", "sulfuric acid 96 %", "hydrochloric acid 10 %"),
        ("copper carbonate, basic", "sulfuric acid 93 %", "salt, pure"),
    ],
)
@pytest.mark.parametrize("water", ["distilled water", "reverse osmosis water", "tap water"])
def test_the_shelf_s_own_grades_make_the_bath(names: tuple[str, ...], water: str) -> None:
    plan = made_up(request(*(grade(name) for name in (*names, water))))
    assert plan.resulting("copper sulfate pentahydrate").best == pytest.approx(200.0, rel=1e-3)
    assert plan.resulting("sulfuric acid").best == pytest.approx(60.0, rel=3e-3)
    assert plan.resulting("chloride").best == pytest.approx(0.06, rel=0.02)
    assert plan.cost.total is None


def test_the_caution_on_acid_stands_before_the_first_portion() -> None:
    plan = made_up(request(SALT, STRONG_ACID, MURIATIC, WATER,
                           target=acid_sulfate_target(HIGH_THROW)))  # fmt: skip
    pours = [step for step in plan.steps if step.action is Action.POUR_ACID]
    assert len(pours) > 2
    assert "strong-acid" in pours[0].cautions
    assert [step.portion for step in pours] == list(range(1, len(pours) + 1))
    assert sum(step.mass for step in pours) == pytest.approx(
        next(one.mass.best for one in plan.amounts if one.product == "acid 96 %")
    )


def test_intervals_hold_what_labels_tools_and_mark_can_do() -> None:
    """By hand for copper: label 1/99, mark 1 %, scale 1 g of 2020: 1.42 % in quadrature."""
    value = PLAN.resulting("copper sulfate pentahydrate")
    assert value.high / value.best - 1.0 == pytest.approx(
        ((1.0 / 99.0) ** 2 + 0.01**2 + (1.0 / 2020.0) ** 2) ** 0.5, rel=1e-3
    )
    acid = PLAN.resulting("sulfuric acid")
    assert acid.high / acid.best - 1.0 == pytest.approx(
        ((1.0 / 35.0) ** 2 + 0.01**2) ** 0.5, rel=0.01
    )


def test_the_mark_ties_the_errors_together() -> None:
    """A bath filled too high is weak in everything: copper and acid correlate as the mark says."""
    row = PLAN.covariance
    tied = row[0][1] / (row[0][0] * row[1][1]) ** 0.5
    mark = 0.01
    expected = mark**2 / ((1.0 / 99.0) ** 2 + mark**2) ** 0.5 / ((1 / 35.0) ** 2 + mark**2) ** 0.5
    assert tied == pytest.approx(expected, rel=0.02)
    assert PLAN.names == tuple(one.quantity for one in PLAN.composition)


def test_a_better_mark_makes_a_better_known_bath() -> None:
    """By hand for copper with a mark of 0.2 %: label 1/99, scale, mark in quadrature."""
    plan = made_up(request(mark_error=0.002))
    value = plan.resulting("copper sulfate pentahydrate")
    assert value.high / value.best - 1.0 == pytest.approx(
        ((1.0 / 99.0) ** 2 + 0.002**2 + (1.0 / 2020.0) ** 2) ** 0.5, rel=1e-3
    )
    assert plan.volume.relative_spread == pytest.approx(0.002)
    with pytest.raises(BadInput, match="share of the volume"):
        request(mark_error=1.0)


def test_the_cost_is_the_sum_of_its_parts() -> None:
    """By hand: 2.020 x 8 + 1.712 x 3 + 1.8 g x 4 + about 7.87 kg x 0.50."""
    assert PLAN.cost.total == pytest.approx(16.16 + 5.136 + 0.007 + 3.93, abs=0.01)
    assert PLAN.cost.total == pytest.approx(
        sum(price for _, price in PLAN.cost.by_product if price is not None)
    )
    assert PLAN.cost.currency == "EUR"


def test_a_missing_price_is_not_zero() -> None:
    plan = made_up(request(replace(SALT, price=None, currency=""), BATTERY_ACID, MURIATIC, WATER))
    assert plan.cost.total is None
    assert plan.cost.known == pytest.approx(5.136 + 0.007 + 3.93, abs=0.01)
    assert any("No price is known of blue crystals" in text for text in plan.assumptions)


def test_two_currencies_are_not_added() -> None:
    with pytest.raises(BadInput, match="EUR and GBP"):
        made_up(request(replace(SALT, currency="GBP"), BATTERY_ACID, MURIATIC, WATER))


def test_the_work_takes_as_long_as_its_waits() -> None:
    """Water, acid, chloride and mark two minutes each, crystals forty."""
    assert PLAN.duration.best == pytest.approx(4 * 120.0 + 2400.0)
    assert PLAN.duration.low < PLAN.duration.best < PLAN.duration.high


def test_every_source_is_held() -> None:
    assert set(PLAN.sources) <= set(works())
    assert {"felder2005", "laliberte2009"} <= set(PLAN.sources)


def test_oxide_brings_copper_without_sulfate_and_takes_acid() -> None:
    """1 mol of oxide takes 1 mol of acid: 8.010 mol each for 200 g/L in 10 L, and 6.117 mol of acid
    stay free; (8.010 + 6.117) x 98.08 g / 0.96 = 1443 g of acid."""
    plan = made_up(request(OXIDE, STRONG_ACID, PLAIN_SALT, WATER))
    oxide, acid = plan.amount("black oxide"), plan.amount("acid 96 %")
    assert oxide is not None
    assert acid is not None
    assert oxide.mass.best == pytest.approx(8.010 * 0.079545 / 0.98, abs=1e-3)
    assert acid.mass.best == pytest.approx((8.010 + 6.117) * 0.098078 / 0.96, abs=1e-3)
    assert plan.resulting("sulfuric acid").best == pytest.approx(60.0, rel=2e-3)
    order = [step.action for step in plan.steps]
    assert order.index(Action.POUR_ACID) < order.index(Action.DISSOLVE)


def test_carbonate_says_how_much_gas() -> None:
    """8.010 mol of copper give half as much carbon dioxide, at 24.46 L/mol."""
    plan = made_up(request(CARBONATE, STRONG_ACID, PLAIN_SALT, WATER))
    words = " ".join(text for step in plan.steps for text in step.words)
    assert f"{8.010 / 2 * 24.46:.0f} L of carbon dioxide" in words
    masses = sum(one.mass.best for one in plan.amounts)
    assert masses - plan.mass == pytest.approx(8.010 / 2 * molar_mass("CO2"), rel=2e-3)


def test_the_cheaper_of_two_products_is_taken() -> None:
    dear = replace(SALT, name="pure crystals", price=40.0)
    plan = made_up(request(dear, SALT, BATTERY_ACID, MURIATIC, WATER))
    assert plan.amount("pure crystals") is None
    assert plan.amount("blue crystals") is not None


def test_limited_stock_is_filled_up_from_the_dearer_product() -> None:
    dear = replace(SALT, name="pure crystals", price=40.0)
    plan = made_up(
        request(dear, Stocked(product=SALT, available=1.5), BATTERY_ACID, MURIATIC, WATER)
    )
    cheap, rest = plan.amount("blue crystals"), plan.amount("pure crystals")
    assert cheap is not None
    assert rest is not None
    assert cheap.mass.best == pytest.approx(1.5, abs=1e-9)
    assert rest.mass.best == pytest.approx(0.5202, abs=1e-3)


def test_fewest_products_use_the_chloride_that_is_in_the_water() -> None:
    target = acid_sulfate_target(
        Composition(copper_sulfate_pentahydrate=200.0, sulfuric_acid=60.0, chloride=0.035),
        {"chloride": (0.02, 0.10)},
    )
    shelf = (SALT, BATTERY_ACID, MURIATIC, TAP)
    plan = made_up(request(*shelf, target=target, preference=Preference.FEWEST))
    assert {one.product for one in plan.amounts} == {
        "blue crystals",
        "fresh battery acid",
        "tap water",
    }
    chloride = next(one for one in plan.composition if one.quantity == "chloride")
    assert chloride.within
    assert any("change from week to week" in text for text in plan.warnings)


def test_the_chloride_budget_names_every_source() -> None:
    plan = made_up(request(SALT, BATTERY_ACID, MURIATIC, TAP))
    shares = {share.product: share for share in plan.chloride}
    assert set(shares) == {"blue crystals", "muriatic acid", "tap water"}
    whole = sum(one.as_content.best + one.as_impurity.best for one in plan.chloride)
    assert whole == pytest.approx(plan.resulting("chloride").best, rel=1e-9)
    assert shares["tap water"].as_impurity.best == pytest.approx(7.865 * 4e-5 / 0.01, rel=1e-3)


def test_an_additive_goes_in_last_and_cold() -> None:
    brightener = product("brightener", Form.LIQUID, {}, density=(1010.0, 1020.0, 1030.0))
    plan = made_up(request(additives=(Additive(product=brightener, dose=0.005),)))
    assert shown(plan, Action.ADDITIVE) == ["brightener"]
    amount = plan.amount("brightener")
    assert amount is not None
    assert amount.volume is not None
    assert amount.volume.best == pytest.approx(50e-6, rel=0.01)
    actions = [step.action for step in plan.steps]
    assert actions.index(Action.ADDITIVE) == actions.index(Action.CHECK) - 1
    assert plan.volume.best == pytest.approx(0.010, rel=1e-9)
    assert sum(one.mass.best for one in plan.amounts) == pytest.approx(plan.mass, rel=1e-9)


def test_an_old_bath_is_kept_whole_where_the_target_allows() -> None:
    plan = made_up(request(old=old_bath(190.0, 50.0, 0.05)))
    assert plan.old_bath == pytest.approx(0.008)
    assert plan.withdrawn == 0.0
    assert plan.resulting("copper sulfate pentahydrate").best == pytest.approx(200.0, rel=1e-3)


def test_too_strong_an_old_bath_is_withdrawn_as_far_as_needed() -> None:
    """100 g/L of acid diluted to 60 in 10 L: 6 L stay, 2 L are withdrawn."""
    plan = made_up(request(old=old_bath(200.0, 100.0, 0.05)))
    assert plan.withdrawn == pytest.approx(2e-3, abs=2.1e-5)  # rounded to the jug
    assert plan.steps[1].action is Action.WITHDRAW
    assert plan.resulting("sulfuric acid").best == pytest.approx(60.0, rel=0.005)


def test_an_old_baths_covariance_is_carried() -> None:
    """Copper and acid of the old bath that err against each other still do in the new one."""
    bath = old_bath(200.0, 60.0, 0.06, litres=9.0)
    tied = ((16.0, -5.0, 0.0), (-5.0, 4.0, 0.0), (0.0, 0.0, 1e-5))
    loose = made_up(request(old=bath)).covariance
    known = made_up(request(old=replace(bath, covariance=tied))).covariance
    assert known[0][1] < 0.0 < loose[0][1]
    diagonal = replace(bath, covariance=((16.0, 0, 0), (0, 4.0, 0), (0, 0, 1e-5)))
    apart = made_up(request(old=diagonal)).covariance
    assert known[0][1] - apart[0][1] == pytest.approx(-5.0 * 0.9**2, rel=1e-3)


def test_a_copper_target_is_the_same_bath_as_one_of_crystals() -> None:
    copper = 200.0 * molar_mass("Cu") / molar_mass("CuSO4·5H2O")
    target = Target(
        wanted=(
            exactly("copper", copper),
            exactly("sulfuric acid", 60.0),
            exactly("chloride", 0.06),
        )
    )
    plan = made_up(request(target=target))
    assert [one.mass.best for one in plan.amounts] == pytest.approx(
        [one.mass.best for one in PLAN.amounts], rel=1e-9
    )


def test_a_cold_night_is_warned_of() -> None:
    rich = Composition(copper_sulfate_pentahydrate=225.0, sulfuric_acid=70.0, chloride=0.06)
    plan = made_up(request(target=acid_sulfate_target(rich), coldest=278.15))
    assert any("may crystallise on the coldest night, at 5 °C" in text for text in plan.warnings)
    made, cold = plan.solubility
    assert made.margin.best > 0.0 > cold.margin.best
    assert cold.dissolves.best < made.dissolves.best


def test_a_kitchen_needs_a_stock_for_its_chloride() -> None:
    """0.99 g of salt on a scale of one gram: a stock of 1 mol/L instead."""
    plan = made_up(request(SALT, BATTERY_ACID, PLAIN_SALT, WATER, tools=KITCHEN))
    amount = plan.amount("plain salt")
    assert amount is not None
    assert amount.stock is not None
    assert amount.stock.molarity == pytest.approx(1000.0, rel=0.02)
    assert shown(plan, Action.STOCK) == ["plain salt"]
    assert plan.resulting("chloride").best == pytest.approx(0.06, rel=0.02)
    assert sum(step.mass for step in plan.steps if step.action is not Action.STOCK) == (
        pytest.approx(plan.mass, rel=1e-9)
    )


def test_a_dose_that_does_not_matter_and_cannot_be_measured_is_left_out() -> None:
    """3 mg/L of chloride beside 27 mg/L of the crystals' own, in a window of 20 to 80."""
    salty = replace(SALT, chloride=Interval(1e-4, 1.34e-4, 1.6e-4))
    target = acid_sulfate_target(
        Composition(copper_sulfate_pentahydrate=200.0, sulfuric_acid=60.0, chloride=0.0271),
        {"chloride": (0.02, 0.08)},
    )
    coarse = tuple(tool for tool in KITCHEN if tool.name != "syringe")
    plan = made_up(
        request(salty, BATTERY_ACID, MURIATIC, WATER, target=target, tools=coarse, litres=5.0)
    )
    assert plan.amount("muriatic acid") is None
    assert any("muriatic acid is left out" in text for text in plan.warnings)


def test_a_weak_scale_widens_the_interval() -> None:
    fine = made_up(request()).resulting("chloride")
    coarse = replace(FINE_SCALE, accuracy=2e-4)
    rough = made_up(
        request(tools=(*[t for t in KITCHEN if t.name != "syringe"], coarse))
    ).resulting("chloride")
    assert rough.high - rough.low > 1.2 * (fine.high - fine.low)
