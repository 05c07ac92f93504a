"""The ledger's text: every kind of event comes back, every bad line gets its sentence."""

import json
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.bath.inventory import (
    Addition,
    AmpereHours,
    Analysis,
    Bottle,
    Carbon,
    DragOut,
    Evaporation,
    Event,
    Idle,
    Loss,
    Retraction,
    TopUp,
    Withdrawal,
)
from tankside.bath.inventory.text import WORDS, decoded, encoded
from tests.unit.bath.inventory.shelf import BOTTLES, TAP, found, make_up, taken_over

PRICED = replace(
    TAP, name="Süßwasser №1", package=1.0, price=0.5, currency="EUR", notes=("weich",),
    density=Interval(997.0, 998.0, 999.0),
)  # fmt: skip

LEDGER: tuple[Event, ...] = (
    *BOTTLES,
    Bottle(at=0.0, id="b", product=PRICED),
    replace(make_up(), level_volume=0.018),
    replace(taken_over(), id="t"),
    Addition(at=1.0, id="a1", product="crystals", mass=0.1, mass_std=1e-3),
    TopUp(at=1.1, id="a2", water="tap water", volume=1e-3, level_volume=0.018, level_std=1e-4),
    Evaporation(at=1.2, id="a3", duration=3600.0, temperature=300.0, surface_area=0.1),
    Evaporation(at=1.25, id="a4", level_volume=0.0171),
    DragOut(at=1.3, id="a5", area=0.02, parts=3),
    AmpereHours(at=1.4, id="a6", charge=3600.0),
    Idle(at=1.5, id="a7", duration=7200.0, anode_area=0.03),
    Analysis(
        at=1.6,
        id="a8",
        findings=(
            found("copper", 53.1, 1.1),
            found("pH", 1.0, 0.1),
            found("conductivity", 20.0, 1.0, 298.15),
            replace(found("density", 1160.0, 1.0), notes=("foam",), sources=("laliberte2009",)),
        ),
    ),
    Carbon(at=1.7, id="a9"),
    Withdrawal(at=1.8, id="b1", volume=1e-3),
    Loss(at=1.9, id="b2", volume=1e-3, volume_std=5e-4),
    Retraction(at=2.0, id="b3", of="b2", reason="it was rinse water; \"not\" bath\n"),
)  # fmt: skip


def test_every_kind_of_event_comes_back() -> None:
    assert {type(one) for one in LEDGER} == set(WORDS.values())
    text = encoded(LEDGER)
    back = decoded(text)
    assert back.ledger == LEDGER
    assert back.torn is None
    assert not back.unended
    assert text.count(b"\n") == len(LEDGER)


def test_quantities_carry_their_unit() -> None:
    row = json.loads(encoded([AmpereHours(at=1.5, id="x", charge=7200.0)]))
    assert row == {"ledger": 1, "event": "ampere-hours", "id": "x", "at_s": 1.5,
                   "charge_C": 7200.0, "crc32": row["crc32"]}  # fmt: skip


GOOD: dict[str, Any] = {"ledger": 1, "event": "drag-out", "id": "x", "at_s": 1.0, "area_m2": 0.1}
PRODUCT: dict[str, Any] = {"name": "salt", "form": "solid", "contents": []}

BAD: list[tuple[str | dict[str, Any], str]] = [
    ("{", "damaged"),
    ("\x00\x00\x00", "damaged"),
    ("[1, 2]", "object in braces"),
    ({**GOOD, "ledger": 2}, "form 2"),
    ({k: v for k, v in GOOD.items() if k != "ledger"}, "form None"),
    ({**GOOD, "event": "dragout"}, "kind of event 'dragout' is not known; did you mean 'drag-out'"),
    ({**GOOD, "area_cm2": 0.1}, "key 'area_cm2' is not known; did you mean 'area_m2'"),
    ({k: v for k, v in GOOD.items() if k != "area_m2"}, "lacks 'area_m2'"),
    ({**GOOD, "area_m2": "0.1"}, "'area_m2' is a number"),
    ({**GOOD, "area_m2": True}, "'area_m2' is a number"),
    ({**GOOD, "area_m2": -1.0}, "wetted area is zero or more"),
    ({**GOOD, "parts": 1.5}, "'parts' is a whole number"),
    ({**GOOD, "id": 7}, "'id' is text"),
    ({**GOOD, "crc32": "00000000"}, "changed after it was written"),
    ({**GOOD, "event": "bottle", "product": PRODUCT}, "area_m2"),
    ({"ledger": 1, "event": "bottle", "id": "x", "at_s": 1.0, "product": 5}, "object in braces"),
    ({"ledger": 1, "event": "bottle", "id": "x", "at_s": 1.0,
      "product": {**PRODUCT, "form": "gas"}}, "'solid' or 'liquid'"),
    ({"ledger": 1, "event": "bottle", "id": "x", "at_s": 1.0,
      "product": {**PRODUCT, "chloride_kg_kg": [1, 2]}}, "low, best and high"),
    ({"ledger": 1, "event": "bottle", "id": "x", "at_s": 1.0,
      "product": {**PRODUCT, "chloride_kg_kg": [3, 2, 1]}}, "low <= best <= high"),
    ({"ledger": 1, "event": "bottle", "id": "x", "at_s": 1.0,
      "product": {**PRODUCT, "notes": "none"}}, "'notes' is a list"),
    ({"ledger": 1, "event": "analysis", "id": "x", "at_s": 1.0,
      "findings": [{"quantity": "iron"}]}, "quantity of an analysis 'iron'"),
    ({"ledger": 1, "event": "analysis", "id": "x", "at_s": 1.0,
      "findings": [{"quantity": "copper", "value_S_m": 1}]}, "key 'value_S_m'"),
    ({"ledger": 1, "event": "analysis", "id": "x", "at_s": 1.0,
      "findings": [{"quantity": "copper", "std_kg_m3": 1}]}, "lacks 'value_kg_m3'"),
]  # fmt: skip


@pytest.mark.parametrize(("line", "words"), BAD, ids=[words for _, words in BAD])
def test_a_bad_line_is_named_with_its_number(line: str | dict[str, Any], words: str) -> None:
    text = line if isinstance(line, str) else json.dumps(line)
    whole = encoded([AmpereHours(at=0.0, id="first", charge=1.0)])
    with pytest.raises(BadInput) as caught:
        decoded(whole + text.encode() + b"\n" + whole)
    assert "ledger, line 2: " in str(caught.value)
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def test_the_good_line_of_the_table_is_good() -> None:
    assert decoded(json.dumps(GOOD).encode() + b"\n").ledger == (DragOut(at=1.0, id="x", area=0.1),)


def test_a_changed_digit_is_found_out() -> None:
    text = encoded([AmpereHours(at=0.0, id="first", charge=1234.0)])
    with pytest.raises(BadInput, match="changed after it was written"):
        decoded(text.replace(b"1234", b"1235"))


def offsets() -> list[int]:
    """All cuts of the first lines, and 400 at random over the whole text."""
    size = len(encoded(LEDGER))
    rng = np.random.default_rng(20261125)
    return sorted({*range(300), *rng.integers(0, size, 400).tolist(), size})


def test_a_cut_anywhere_loses_no_whole_line_and_tells_the_rest() -> None:
    text = encoded(LEDGER)
    cuts = offsets()
    assert len(cuts) > 500
    for cut in cuts:
        left = text[:cut]
        whole = left.count(b"\n")
        tail = left[left.rfind(b"\n") + 1 :]
        back = decoded(left)
        if not tail:
            assert back.torn is None
            assert back.ledger == LEDGER[:whole]
        elif back.unended:  # everything but the line end was written
            assert text[cut : cut + 1] == b"\n"
            assert back.ledger == LEDGER[: whole + 1]
        else:
            assert back.ledger == LEDGER[:whole]
            assert back.torn is not None
            assert back.torn.content == tail
            assert back.torn.offset == cut - len(tail)
            assert back.torn.line == whole + 1
            assert f"line {whole + 1} of the ledger" in back.torn.sentence


def test_zeros_at_the_end_as_a_power_cut_leaves_them_are_torn() -> None:
    text = encoded(LEDGER[:2]) + b"\x00" * 512
    back = decoded(text)
    assert back.ledger == LEDGER[:2]
    assert back.torn is not None
    assert len(back.torn.content) == 512
