"""Texts as typed become numbers in SI, or one sentence that says where."""

import pytest

from tankside.app.bath.entries import Entries, concentration_range, pairs, ranged
from tankside.app.bath.moments import moment, told_day, told_moment
from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.base.units import Kind, quantity

NOW = 1_750_000_000.0


def entries(**table: object) -> Entries:
    return Entries(table=table, where="bath.toml: [target]")


def litres(text: str) -> Interval:
    return ranged(text, lambda one: quantity(one, Kind.VOLUME, where="volume"), where="volume")


@pytest.mark.parametrize(
    ("text", "low", "best", "high"),
    [
        ("18 L", 18.0, 18.0, 18.0),
        ("18 ± 0.3 L", 17.7, 18.0, 18.3),
        ("18 +/- 0.3 L", 17.7, 18.0, 18.3),
        ("17.7-18.3 L", 17.7, 18.0, 18.3),
        ("17.7 to 18.3 L", 17.7, 18.0, 18.3),
        ("17,7-18,3 L", 17.7, 18.0, 18.3),
        ("5 us_gallon", 18.92705892, 18.92705892, 18.92705892),
        ("500 mL", 0.5, 0.5, 0.5),
    ],
)
def test_a_spread_is_read_in_the_unit_behind_it(
    text: str, low: float, best: float, high: float
) -> None:
    found = litres(text)
    assert (found.low * 1e3, found.best * 1e3, found.high * 1e3) == pytest.approx((low, best, high))


@pytest.mark.parametrize("text", ["at least 18 L", "18 L max", ">= 18 L"])
def test_one_end_alone_is_asked_about(text: str) -> None:
    with pytest.raises(BadInput, match="write both"):
        litres(text)


@pytest.mark.parametrize(
    ("text", "value"),
    [("70 mg/L", 0.07), ("70 ppm", 0.07), ("0.8 mol/L", 0.8 * 63.546), ("7.5 oz/us_gallon", 56.17)],
)
def test_concentrations_as_people_write_them(text: str, value: float) -> None:
    found = concentration_range(text, where="copper", molar_mass=63.546e-3)
    assert found.best == pytest.approx(value, rel=1e-3)


def test_a_place_stands_in_front_of_the_sentence() -> None:
    with pytest.raises(BadInput) as caught:
        entries(volume="10").quantity("volume", Kind.VOLUME)
    assert str(caught.value).startswith("bath.toml: [target] volume: ")


def test_what_lacks_is_said_with_an_example() -> None:
    with pytest.raises(BadInput, match=r"'volume' is missing; write for example '18 L'"):
        entries().quantity("volume", Kind.VOLUME)


def test_a_strange_key_gets_close_ones() -> None:
    with pytest.raises(UnknownName) as caught:
        entries(volum="10 L").only("volume", "family")
    assert caught.value.candidates == ("volume",)


def test_a_temperature_may_be_below_zero_degrees_and_nothing_else_may() -> None:
    assert entries(night="-5 degC").quantity("night", Kind.TEMPERATURE) == pytest.approx(268.15)
    with pytest.raises(BadInput, match="above zero"):
        entries(volume="-5 L").quantity("volume", Kind.VOLUME)
    with pytest.raises(BadInput, match="zero or more"):
        entries(hours="-5 h").quantity("hours", Kind.TIME, zero=True)
    assert entries(hours="0 h").quantity("hours", Kind.TIME, zero=True) == 0.0


@pytest.mark.parametrize(
    ("typed", "meant"), [("yes", True), ("No", False), (True, True), ("false", False)]
)
def test_yes_and_no(typed: object, meant: bool) -> None:
    assert entries(ice=typed).switch("ice") is meant


def test_yes_and_no_are_all() -> None:
    with pytest.raises(BadInput, match="yes or no"):
        entries(ice="perhaps").switch("ice")


def test_pairs_keep_what_follows_the_first_equals_sign() -> None:
    assert pairs(["note=a = b", " water = tap "], where="note") == {"note": "a = b", "water": "tap"}


@pytest.mark.parametrize("text", ["1 L", "=1 L", "volume=", "volume= "])
def test_what_is_no_pair_is_said(text: str) -> None:
    with pytest.raises(BadInput, match="KEY=VALUE"):
        pairs([text], where="top-up")


def test_a_moment_is_told_as_it_was_typed() -> None:
    assert told_moment(moment("2024-03-01 18:30", now=NOW, where="at")) == "2024-03-01 18:30"
    assert told_moment(moment("2024-03-01", now=NOW, where="at")) == "2024-03-01 12:00"
    assert told_day(moment("2024-03-01T23:59", now=NOW, where="at")) == "2024-03-01"


def test_a_zone_that_is_typed_counts() -> None:
    assert moment("2024-03-01T12:00:00+00:00", now=NOW, where="at") == 1709294400.0
    assert moment("2024-03-01T12:00:00+01:00", now=NOW, where="at") == 1709290800.0


@pytest.mark.parametrize("text", ["2031-01-01", "1924-01-08 18:00", "soon", "", "8.1.2024"])
def test_moments_that_cannot_be(text: str) -> None:
    with pytest.raises(BadInput):
        moment(text, now=NOW, where="at")
