"""A sentence of the core: one text in English and metric units, and the same for another reader."""

import copy
import json
import pickle

import pytest

from tankside.base.message_parts import all_packed, all_unpacked, packed, unpacked, with_parts
from tankside.base.messages import Quantity, Reader, capital, said, said_of, spoken
from tankside.base.units import UnitSystem
from tankside.base.wording import Said

US = Reader(units=UnitSystem.US)
COMMA = Reader(comma=True)


def bracketed(text: str) -> str:
    return f"⟦{text}⟧"


BRACKETS = Reader(
    translate=bracketed, many=lambda one, more, count: bracketed(one if count == 1 else more)
)
FLOATS = said(
    "{name} weighs {mass} and floats at {place}; keep it under 40 °C.",
    name=said("part {number}", number=1),
    mass=Quantity(0.02, "g"),
    place=Quantity((0.01, 0.02, 0.0305), "mm", 4),
)


def test_a_sentence_is_its_english_text() -> None:
    assert FLOATS == "part 1 weighs 20 g and floats at (10, 20, 30.5) mm; keep it under 40 °C."
    assert json.loads(json.dumps([FLOATS])) == [str(FLOATS)]
    assert spoken(FLOATS, Reader()) == FLOATS


def test_a_reader_in_us_units_is_told_the_exact_quantity() -> None:
    # 1 in = 25.4 mm, 1 oz = 28.349523125 g, exactly (NIST SP 811, appendix B.8)
    inch_ounce = said("{x} and {m}", x=Quantity(0.0254, "mm"), m=Quantity(0.028349523125, "g"))
    assert spoken(inch_ounce, US) == "1 in and 1 oz"
    assert spoken(said("{x}", x=Quantity(25.4e-6, "um", decimals=0)), US) == "1 mil"
    assert spoken(said("{t}", t=Quantity(298.15, "degC")), US) == "77 °F"
    assert spoken(FLOATS, US).endswith("keep it under 104 °F.")


def test_a_range_is_in_one_unit() -> None:
    both = said(
        "{low} to {high}", low=Quantity(25.4e-6, "um", bare=True), high=Quantity(50.8e-6, "um")
    )
    assert both == "25.4 to 50.8 µm"
    assert spoken(both, US) == "1 to 2 mil"


def test_numbers_have_the_readers_mark() -> None:
    told = said("{x} of {n}, 0.5 mm; {given}", x=Quantity(1.25, "V"), n=12345, given="2.5")
    assert told == "1.25 V of 12,345, 0.5 mm; 2.5"
    assert spoken(told, COMMA) == "1,25 V of 12\N{NARROW NO-BREAK SPACE}345, 0,5 mm; 2,5"
    assert spoken(said("{p}", p=Quantity((0.0015, 0.002), "mm")), COMMA) == "(1,5; 2) mm"


def test_words_are_looked_up_inside_and_out() -> None:
    assert spoken(FLOATS, BRACKETS).startswith("⟦⟦part 1⟧ weighs 20 g")
    assert spoken("Goggles.", BRACKETS) == "⟦Goggles.⟧"
    assert spoken("", BRACKETS) == ""


def test_what_a_person_named_is_not_translated() -> None:
    assert spoken(said("{file} is open", file="knob.stl"), BRACKETS) == "⟦knob.stl is open⟧"


@pytest.mark.parametrize(("count", "text"), [(1, "1 edge"), (2, "2 edges"), (1200, "1,200 edges")])
def test_a_count_chooses_its_words(count: int, text: str) -> None:
    edges = said_of("{count} edge", "{count} edges", count=count)
    assert edges == text
    assert spoken(edges, BRACKETS) == f"⟦{text}⟧"


def test_a_list_is_joined_by_the_readers_and() -> None:
    three = said("{names} hang", names=("a", said("anode {n}", n=2), "c"))
    assert three == "a, anode 2 and c hang"
    assert spoken(three, BRACKETS) == "⟦a, ⟦anode 2⟧ ⟦and⟧ c hang⟧"


def test_a_translation_with_a_wrong_name_gives_way_to_english() -> None:
    broken = Reader(translate=lambda text: "{nonsense} " + text)
    assert spoken(FLOATS, broken) == FLOATS


def test_a_capital_keeps_the_parts() -> None:
    begun = capital(FLOATS)
    assert begun.startswith("Part 1 weighs")
    assert spoken(begun, US) == spoken(FLOATS, US)


@pytest.mark.parametrize("way", [copy.deepcopy, lambda text: pickle.loads(pickle.dumps(text))])
def test_parts_go_along_to_a_worker_and_back(way: object) -> None:
    again = way(FLOATS)  # type: ignore[operator]
    assert again == FLOATS
    assert spoken(again, US) == spoken(FLOATS, US)


def test_parts_are_kept_beside_the_text() -> None:
    edges = said_of(
        "{count} edge of {names}", "{count} edges of {names}", count=3, names=("a", "b")
    )
    for one in (FLOATS, edges):
        assert isinstance(one, Said)
        kept = json.loads(json.dumps(packed(one)))
        for reader in (US, COMMA, BRACKETS):
            assert spoken(unpacked(str(one), kept), reader) == spoken(one, reader)


def test_a_tree_gets_its_parts_back() -> None:
    tree = {"findings": [FLOATS, "plain"], "deep": {"one": FLOATS}, "number": 3}
    kept = json.loads(json.dumps(all_packed(tree)))
    again = with_parts(json.loads(json.dumps(tree)), all_unpacked(kept))
    assert again == tree
    assert spoken(again["deep"]["one"], US) == spoken(FLOATS, US)
    assert set(kept) == {str(FLOATS)}


@pytest.mark.parametrize("damage", [{}, {"words": "x"}, {"words": "x", "values": {"y": {}}}])
def test_damaged_parts_leave_the_text(damage: object) -> None:
    assert all_unpacked({"a text": damage}) == {}
