"""Why a bath cannot be: one sentence, with the numbers, checked by arithmetic."""

import pytest

from tankside.base.errors import Impossible
from tankside.bath.composition import Composition
from tankside.bath.makeup import Stocked, Target, acid_sulfate_target, made_up
from tankside.substances import molar_mass
from tankside.substances.products import Form, Product
from tests.unit.bath.makeup.shelf import (
    BATTERY_ACID,
    HARD_TAP,
    HIGH_THROW,
    MURIATIC,
    OXIDE,
    PLAIN_SALT,
    SALT,
    TAP,
    WATER,
    exactly,
    product,
    request,
)

WEAK_ACID = product(
    "pool acid", Form.LIQUID, {"sulfuric acid": (0.14, 0.15, 0.16)}, density=(1095, 1101, 1107)
)


def reason(*products: Product | Stocked, **further: object) -> str:
    with pytest.raises(Impossible) as raised:
        made_up(request(*products, **further))
    return raised.value.message


def test_nothing_with_copper() -> None:
    text = reason(BATTERY_ACID, MURIATIC, WATER)
    assert text.startswith("nothing on the shelf brings copper sulfate pentahydrate")
    assert "200 g/L is wanted" in text


def test_nothing_that_is_water() -> None:
    assert "nothing on the shelf is water" in reason(SALT, BATTERY_ACID, MURIATIC)


def test_too_little_of_a_product() -> None:
    """2020 g are needed; 500 g make 10 L x 500/2020 = 2.475 L."""
    text = reason(Stocked(product=SALT, available=0.5), BATTERY_ACID, MURIATIC, WATER)
    assert "holds 500 g of 'blue crystals'" in text
    assert "take 2020 g" in text
    assert "get 1520 g more, or make 2.48 L or less" in text


def test_too_weak_an_acid_runs_the_bath_over() -> None:
    """2400 g of acid in 15 % is 16 kg, which with 840 g of crystals fills more than 12 L."""
    text = reason(
        SALT, WEAK_ACID, MURIATIC, WATER, target=acid_sulfate_target(HIGH_THROW), litres=12.0
    )
    assert "so much water" in text
    assert "'pool acid'; take a stronger product" in text


def test_hard_water_has_more_chloride_than_is_wanted() -> None:
    """7.86 kg of 250 mg/kg in 10 L are 197 mg/L, and the crystals bring 1."""
    text = reason(SALT, BATTERY_ACID, MURIATIC, HARD_TAP)
    assert "chloride comes to at least 198 mg/L, not 60 mg/L" in text
    assert "'hard tap water' brings 197 mg/L" in text
    assert "take purer water" in text


def test_too_little_chloride_names_what_helps() -> None:
    text = reason(SALT, BATTERY_ACID, TAP)
    assert "chloride comes to at most" in text
    assert "plain salt or hydrochloric acid" in text


def test_a_shelf_of_strangers_is_no_shelf() -> None:
    """Cheap citric acid has hydrogen, and brine weight, but neither makes this bath."""
    citric = product("citric acid", Form.SOLID, {"citric acid": (0.99, 1.0, 1.0)}, price=0.01)
    soda = product("soda", Form.SOLID, {"sodium carbonate": (0.98, 0.99, 1.0)}, price=0.01)
    text = reason(SALT, citric, soda, PLAIN_SALT, WATER)
    assert "nothing on the shelf brings sulfuric acid" in text
    plan = made_up(request(SALT, citric, soda, PLAIN_SALT, BATTERY_ACID, WATER))
    assert {one.product for one in plan.amounts} == {
        "blue crystals",
        "plain salt",
        "fresh battery acid",
        "distilled water",
    }


def test_muriatic_acid_is_no_acid_where_chloride_is_not_asked_for() -> None:
    plain = acid_sulfate_target(Composition(copper_sulfate_pentahydrate=200.0, sulfuric_acid=60.0))
    assert "nothing on the shelf brings sulfuric acid" in reason(
        SALT, MURIATIC, WATER, target=plain
    )


def test_soda_is_used_only_where_hydrogen_is_asked_for_by_name() -> None:
    """A citrate bath of stated hydrogen: 30 g/L crystals, 40 g/L acid, two thirds neutralised."""
    citric = product("citric acid", Form.SOLID, {"citric acid": (0.99, 1.0, 1.0)}, price=5.0)
    lye = product("lye", Form.SOLID, {"sodium hydroxide": (0.98, 0.99, 1.0)}, price=5.0)
    moles = 40.0 / molar_mass("C6H8O7")
    wanted = (
        exactly("copper sulfate pentahydrate", 30.0),
        exactly("citric acid", 40.0),
        exactly("hydrogen ion", moles * molar_mass("H")),
    )
    plan = made_up(request(SALT, citric, lye, WATER, target=Target(wanted=wanted), litres=5.0))
    amount = plan.amount("lye")
    assert amount is not None
    assert amount.mass.best == pytest.approx(
        2.0 * moles * molar_mass("NaOH") * 5e-3 / 0.99, rel=5e-3
    )


def test_oxide_without_acid() -> None:
    assert "nothing on the shelf brings sulfuric acid" in reason(OXIDE, PLAIN_SALT, WATER)
