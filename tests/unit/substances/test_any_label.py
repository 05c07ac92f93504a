"""Whatever is typed on a label, the answer is a product or one sentence, never a crash."""

from collections.abc import Callable
from math import isfinite
from typing import TypeVar

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from tankside.base.errors import BadInput
from tankside.base.units import Kind, bath_concentration, quantity, spread
from tankside.substances import grades, read_product, substances
from tankside.substances.hydrometer import read_density

T = TypeVar("T")

NUMBERS = (
    "1,84",
    "1.84",
    "1e-3",
    "96",
    "120",
    "0",
    "-3",
    "1e400",
    "31.45",
    "1,250",
    "7e-320",
    "20",
)
UNITS = (
    *("%", "% w/w", "% w/v", "g/L", "mol/L", "N", "M", "vol", "ppm", "oz/gal", "g/mL", "sp gr"),
    *("degBe", "degBe US", "°Bé", "degC", "kg", "lb", "US gal", "gal", "cup", "EUR", "gr", "ml"),
)
OTHERS = ("SG", "at", "60/60", "°F", "-", "±", ">=", "min", "max", "nan", "inf", "$", ".", ",", "+")
TYPED = st.one_of(
    st.tuples(st.sampled_from(NUMBERS), st.sampled_from(UNITS)).map(" ".join),
    st.tuples(
        st.sampled_from(NUMBERS),
        st.sampled_from(OTHERS),
        st.sampled_from(NUMBERS),
        st.sampled_from(UNITS),
    ).map(" ".join),
    st.lists(st.sampled_from(NUMBERS + UNITS + OTHERS), max_size=5).map("".join),
    st.text(max_size=12),
)
ENTRIES = st.dictionaries(
    st.sampled_from(["strength", "density", "copper", "form", "package", "price", "chloride"]),
    TYPED,
    max_size=4,
)


def answer(call: Callable[[], T]) -> T | BadInput:
    """What the call returns, or the sentence it refuses with; any other error is a failure."""
    try:
        return call()
    except BadInput as refused:
        return refused


@settings(deadline=None, max_examples=300)
@given(name=st.sampled_from([record.name for record in substances()]), entries=ENTRIES)
def test_any_label_is_a_product_or_a_sentence(name: str, entries: dict[str, str]) -> None:
    given_back = answer(lambda: read_product({"substance": name, **entries}, where="[shelf]"))
    if isinstance(given_back, BadInput):
        assert given_back.where.startswith("[shelf]")
        return
    share = given_back.contents[0].mass_fraction
    assert 0.0 <= share.low <= share.best <= share.high <= 1.0
    assert share.best > 0.0
    assert given_back.density is None or given_back.density.low > 0.0


@settings(deadline=None, max_examples=300)
@given(grade=st.sampled_from([product.name for product in grades()]), entries=ENTRIES)
def test_any_words_on_a_grade(grade: str, entries: dict[str, str]) -> None:
    answer(lambda: read_product({"grade": grade, **entries}, where="[shelf]"))


@settings(deadline=None, max_examples=600)
@given(text=TYPED)
@example("1e400 g/mL")
@example("SG 1e400")
@example("SG 1.2 at 900 degC")
@example("SG 1.2 20/90 degC")
@example("0 g/mL")
def test_any_weight_is_a_density_or_a_sentence(text: str) -> None:
    given_back = answer(lambda: read_density(text, where="here"))
    if isinstance(given_back, BadInput):
        assert given_back.where == "here"
    else:
        assert 0.0 < given_back.density.low <= given_back.density.best <= given_back.density.high


@pytest.mark.parametrize("kind", list(Kind))
@settings(deadline=None, max_examples=60)
@given(text=TYPED)
@example("1e400 g")
def test_any_text_is_a_quantity_or_a_sentence(kind: Kind, text: str) -> None:
    given_back = answer(lambda: quantity(text, kind, where="here"))
    assert isinstance(given_back, BadInput) or isfinite(given_back)


@settings(deadline=None, max_examples=300)
@given(text=TYPED)
@example("1e400 ppm")
def test_any_text_is_a_concentration_or_a_sentence(text: str) -> None:
    given_back = answer(lambda: bath_concentration(text, where="here", molar_mass=0.25))
    assert isinstance(given_back, BadInput) or isfinite(given_back)


@settings(deadline=None, max_examples=600)
@given(text=TYPED)
@example("1e400 %")
@example("1 ± 1e400 %")
@example("1-1e400 %")
@example("1e-400 %")
def test_any_text_is_a_spread_or_a_sentence(text: str) -> None:
    given_back = answer(lambda: spread(text, where="here"))
    if not isinstance(given_back, BadInput):
        assert isfinite(given_back.value.low)
        assert isfinite(given_back.value.high)
