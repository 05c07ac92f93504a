"""Slips and wrong products are met with one sentence that says what was probably meant."""

from dataclasses import replace
from typing import Any

import pytest

from tankside.base.errors import BadInput, Impossible, SafetyRefusal, TanksideError, UnknownName
from tankside.base.intervals import Interval
from tankside.bath.composition import Composition
from tankside.bath.makeup import (
    Additive,
    MakeUpRequest,
    Measures,
    OldBath,
    Stocked,
    Target,
    Tool,
    Wanted,
    acid_sulfate_target,
    made_up,
)
from tankside.bath.makeup.wrong_products import wrong_products
from tankside.bath.slips import refuse_thousandfold
from tankside.substances.products import Content, Form, Product
from tests.unit.bath.makeup.shelf import (
    BATTERY_ACID,
    MURIATIC,
    PLAIN_SALT,
    SALT,
    SHELF,
    WATER,
    exactly,
    old_bath,
    product,
    request,
)


def target(salt: float, acid: float, chloride: float) -> Target:
    return acid_sulfate_target(
        Composition(copper_sulfate_pentahydrate=salt, sulfuric_acid=acid, chloride=chloride)
    )


@pytest.mark.parametrize(
    ("wanted", "match"),
    [
        (target(200.0, 60.0, 60.0), "did you mean 60 mg/L"),
        (target(0.2, 60.0, 0.06), "200 mg/L is too little for a bath; did you mean 200 g/L"),
        (target(200.0, 0.06, 0.06), "did you mean 60 g/L"),
        (target(2000.0, 60.0, 0.06), "more than any bath holds"),
    ],
)
def test_thousandfold_slips_of_the_target(wanted: Target, match: str) -> None:
    with pytest.raises(BadInput, match=match):
        made_up(request(target=wanted))


def test_a_bath_too_strong_to_mix_is_refused_as_dangerous() -> None:
    with pytest.raises(SafetyRefusal, match="400 g/L of sulfuric acid is far above"):
        made_up(request(target=target(50.0, 400.0, 0.06)))


@pytest.mark.parametrize(("litres", "meant"), [(0.018, "18 L"), (18000.0, "18 L")])
def test_thousandfold_slips_of_the_volume(litres: float, meant: str) -> None:
    with pytest.raises(BadInput, match=f"did you mean {meant}"):
        made_up(request(litres=litres))


@pytest.mark.parametrize(
    ("form", "dose", "meant"), [(Form.LIQUID, 5.0, "5 mL/L"), (Form.SOLID, 50.0, "50 mg/L")]
)
def test_thousandfold_slips_of_an_additive(form: Form, dose: float, meant: str) -> None:
    brightener = product("brightener", form, {})
    with pytest.raises(BadInput, match=f"did you mean {meant}"):
        made_up(request(additives=(Additive(product=brightener, dose=dose),)))


def test_copper_sulfate_alone_is_asked_back() -> None:
    with pytest.raises(BadInput, match="blue crystals or the dry white powder"):
        exactly("copper sulfate", 200.0)


@pytest.mark.parametrize(
    ("name", "substance", "fraction", "match"),
    [
        ("bluestone", "copper sulfate", 0.98, "the crystals hold 63.9 % at most"),
        ("copper sulfate pentahydrate", "copper sulfate", 0.99, "98|99 % of the pentahydrate"),
        ("dried copper sulfate", "copper sulfate pentahydrate", 0.98, "dry powder by its name"),
    ],
)
def test_powder_and_crystals_are_told_apart(
    name: str, substance: str, fraction: float, match: str
) -> None:
    wrong = product(name, Form.SOLID, {substance: (fraction - 0.01, fraction, fraction + 0.01)})
    with pytest.raises(BadInput, match=match):
        made_up(request(wrong, BATTERY_ACID, MURIATIC, WATER))


def test_crystals_may_state_their_copper_sulfate_without_water() -> None:
    """63 % of copper sulfate without water is what crystals hold."""
    honest = product("blue crystals", Form.SOLID, {"copper sulfate": (0.62, 0.63, 0.635)})
    plan = made_up(request(honest, BATTERY_ACID, MURIATIC, WATER))
    assert plan.resulting("copper sulfate pentahydrate").best == pytest.approx(200.0, rel=1e-3)


@pytest.mark.parametrize(
    ("fraction", "density", "match"),
    [
        (0.50, 1285.0, "did you mean 500 g/L, which is 37.8 % by mass"),
        (0.35, 1450.0, "that density belongs to 5"),
        (0.96, 1260.0, "that density belongs to 3"),
    ],
)
def test_percent_and_grams_in_a_litre_are_told_apart(
    fraction: float, density: float, match: str
) -> None:
    """The density of 50 % acid is 1395 kg/m³; 1285 belongs to 500 g/L."""
    wrong = product(
        "acid from the shed",
        Form.LIQUID,
        {"sulfuric acid": (fraction - 0.005, fraction, fraction + 0.005)},
        density=(density - 3.0, density, density + 3.0),
    )
    with pytest.raises(BadInput, match=match):
        made_up(request(SALT, wrong, MURIATIC, WATER))


@pytest.mark.parametrize(
    ("name", "contents", "error"),
    [
        ("pool chlorine", {"sodium hypochlorite": (0.1, 0.12, 0.13)}, SafetyRefusal),
        ("white jug", {"sodium hypochlorite": (0.03, 0.04, 0.05)}, SafetyRefusal),
        ("copper cyanide", {}, SafetyRefusal),
        ("Liver of  Sulfur", {}, SafetyRefusal),
        ("drain opener, sulfuric", {"sulfuric acid": (0.9, 0.93, 0.98)}, Impossible),
        ("acid from a used battery", {"sulfuric acid": (0.2, 0.3, 0.35)}, Impossible),
        ("pond algaecide", {"copper sulfate pentahydrate": (0.1, 0.2, 0.3)}, Impossible),
        ("descaler", {"sulfamic acid": (0.9, 0.95, 1.0)}, Impossible),
        ("pH minus granules", {}, Impossible),
        ("sea salt", {"sodium chloride": (0.9, 0.95, 1.0)}, Impossible),
    ],
)
def test_wrong_products_are_refused_with_what_to_take(
    name: str, contents: dict[str, tuple[float, float, float]], error: type[TanksideError]
) -> None:
    wrong = Product(
        name=name,
        form=Form.SOLID,
        contents=tuple(
            Content(substance=substance, mass_fraction=Interval(*fraction))
            for substance, fraction in contents.items()
        ),
    )
    with pytest.raises(error, match="no bath is made with") as raised:
        made_up(request(*SHELF, wrong))
    assert type(raised.value) is error


@pytest.mark.parametrize("name", ["table salt, not iodised", "fresh battery acid", "plain salt"])
def test_right_products_are_not_refused(name: str) -> None:
    plain = replace(PLAIN_SALT, name=name)
    assert not any(wrong.meets(plain) for wrong in wrong_products())


def test_a_note_about_a_mix_up_does_not_refuse_the_product() -> None:
    warned = replace(SALT, notes=("Not to be mistaken for a fungicide with chelates.",))
    assert made_up(request(warned, BATTERY_ACID, MURIATIC, WATER)).amount("blue crystals")


@pytest.mark.parametrize(
    ("made", "error", "match"),
    [
        (lambda: Wanted(quantity="cooper", value=Interval.exact(50.0)), UnknownName, "'copper'"),
        (lambda: exactly("chloride", -0.1), BadInput, "cannot be -0.1 g/L"),
        (lambda: Target(wanted=()), BadInput, "at least one"),
        (
            lambda: Target(
                wanted=(exactly("copper", 50.0), exactly("copper sulfate pentahydrate", 200.0))
            ),
            BadInput,
            "once each",
        ),
        (lambda: Stocked(product=SALT, available=-1.0), BadInput, "-1.0 kg"),
        (
            lambda: Tool(name="scale", measures=Measures.MASS, resolution=0.0, capacity=1.0),
            BadInput,
            "above zero and below",
        ),
        (
            lambda: OldBath(volume=Interval.exact(0.0), holds=(exactly("copper", 50.0),)),
            BadInput,
            "volume above zero",
        ),
        (
            lambda: replace(old_bath(200.0, 60.0, 0.06), covariance=((1.0,),)),
            BadInput,
            "3 rows of 3",
        ),
        (lambda: request(SALT, SALT), BadInput, "'blue crystals' twice"),
        (lambda: request(litres=-1.0), BadInput, "above zero"),
    ],
)
def test_requests_that_make_no_sense_are_refused(
    made: Any, error: type[Exception], match: str
) -> None:
    with pytest.raises(error, match=match):
        made()


def test_the_job_s_own_guard_still_holds() -> None:
    with pytest.raises(BadInput, match="70 mg/L"):
        refuse_thousandfold(
            Composition(copper_sulfate_pentahydrate=75.0, sulfuric_acid=190.0, chloride=70.0)
        )


def test_a_request_is_a_value() -> None:
    assert isinstance(request(), MakeUpRequest)
    assert request() == request()
