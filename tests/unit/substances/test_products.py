"""Grades are products whose strengths, densities and names hold together."""

import pytest

from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.base.tables import table
from tankside.substances import Content, Form, Product, grade, grades, substance


@pytest.mark.parametrize("product", grades(), ids=lambda product: product.name)
def test_a_grade_is_a_sound_product(product: Product) -> None:
    for content in product.contents:
        assert substance(content.substance).name == content.substance
        assert 0.0 <= content.mass_fraction.low <= content.mass_fraction.high <= 1.0
    assert 0.0 <= product.chloride.low <= product.chloride.high < 0.01
    assert (product.form is Form.SOLID) <= (product.density is None)
    assert product.cost_per_kg is None


@pytest.mark.parametrize(
    ("name", "strength", "density"),
    [
        ("battery acid", (0.30, 0.35, 0.38), 1260.0),
        ("sulfuric acid 50 %", (0.49, 0.50, 0.51), 1395.0),
        ("66 degree acid", (0.92, 0.932, 0.94), 1829.0),
        ("concentrated sulfuric acid", (0.95, 0.96, 0.98), 1835.5),
        ("muriatic acid", (0.29, 0.3145, 0.32), 1156.0),
        ("hydrogen peroxide 12 %", (0.11, 0.12, 0.125), 1042.0),
        ("White  Vinegar 5 %", (0.045, 0.05, 0.06), 1005.0),
    ],
)
def test_known_liquids_weigh_what_handbooks_say(
    name: str, strength: tuple[float, float, float], density: float
) -> None:
    product = grade(name)
    assert product.contents[0].mass_fraction == Interval(*strength)
    assert product.density is not None
    assert product.density.best == pytest.approx(density, rel=1.5e-3)
    assert product.density.low < product.density.best < product.density.high


def test_every_strength_that_the_shelf_must_know_is_there() -> None:
    held = {(product.contents[0].substance, product.name) for product in grades()}
    assert len(grades()) >= 40
    for name, count in {
        "copper sulfate pentahydrate": 3,
        "sulfuric acid": 4,
        "hydrochloric acid": 4,
        "hydrogen peroxide": 3,
        "sodium chloride": 2,
        "acetic acid": 3,
        "water": 4,
    }.items():
        assert sum(one == name for one, _ in held) >= count, name


def test_names_of_grades_are_single() -> None:
    names = [
        name.lower()
        for row in table("tankside.substances", "grades.csv")
        for name in (row["name"], *row["also"].split(";"))
        if name
    ]
    assert len(names) == len(set(names))


def test_an_unknown_product_gets_close_names() -> None:
    with pytest.raises(UnknownName) as caught:
        grade("battry acid", where="[shelf]")
    assert "battery acid" in caught.value.candidates


def test_notes_warn_of_what_a_bottle_is_mistaken_for() -> None:
    notes = " ".join(grade("copper sulfate, anhydrous").notes)
    assert "mistaken for copper sulfate pentahydrate" in notes
    assert "1.564" in notes


def test_contents_that_are_more_than_everything_are_refused() -> None:
    half = Content(substance="water", mass_fraction=Interval.about(0.6, 0.01))
    other = Content(substance="sulfuric acid", mass_fraction=Interval.about(0.6, 0.01))
    with pytest.raises(BadInput, match=r"add up to at least 118\.8 %"):
        Product(name="both", form=Form.LIQUID, contents=(half, other))


def test_what_is_not_listed_is_not_there() -> None:
    assert grade("battery acid").mass_fraction("sodium chloride") == Interval.exact(0.0)
    assert grade("battery acid").mass_fraction("sulfuric acid").best == 0.35
    assert grade("battery acid").mass_fraction("Sulphuric acid").best == 0.35
    with pytest.raises(UnknownName):
        grade("battery acid").mass_fraction("sulfric acid")


def test_cost_needs_both_price_and_package() -> None:
    contents = (Content(substance="water", mass_fraction=Interval.exact(1.0)),)
    bottle = Product(name="w", form=Form.LIQUID, contents=contents, package=5.0, price=2.0)
    assert bottle.cost_per_kg == pytest.approx(0.4)
    assert Product(name="w", form=Form.LIQUID, contents=contents, price=2.0).cost_per_kg is None
