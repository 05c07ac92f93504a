"""Events typed in stand in the ledger in SI, with the bottles that they name; or not at all."""

from dataclasses import fields

import pytest

from tankside.app.bath.estimate_form import LedgerAsked
from tankside.app.bath.keep_a_ledger import (
    NotesRequest,
    note_findings,
    note_many,
)
from tankside.app.bath.list_a_ledger import list_a_ledger
from tankside.app.bath.make_a_bath import MakeRequest, make_a_bath
from tankside.app.bath.moments import moment
from tankside.app.bath.note_a_make_up import note_a_make_up
from tankside.app.bath.typed_events import EXAMPLES, KEYS
from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.bath.analysis.finding import Finding
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.estimating import estimated
from tankside.bath.inventory.text import WORDS
from tests.unit.app.bath.ledgers import FILES, NOW, MemoryLedger, begun, noted

DAY = "at=2024-02-01"

CASES = [
    ("ampere-hours", ("charge=18 Ah",), {"charge": 64800.0}),
    ("drag-out", ("area=6 dm^2", "parts=3"), {"area": 0.06, "parts": 3}),
    ("idle", ("duration=60 h", "anode_area=8 dm^2"), {"duration": 216000.0, "anode_area": 0.08}),
    ("withdrawal", ("volume=1.5 L",), {"volume": 1.5e-3, "volume_std": None}),
    ("loss", ("volume=300 ± 100 mL",), {"volume": 3e-4, "volume_std": 1e-4 / 1.6448536}),
    ("carbon", (), {}),
    ("addition", ("product=blue crystals", "amount=120 g"), {"mass": 0.12, "mass_std": None}),
    ("addition", ("product=blue crystals", "amount=120 ± 2 g"), {"mass_std": 2e-3 / 1.6448536}),
    ("top-up", ("water=tap", "volume=500 mL", "level=10 ± 0.1 L"),
     {"water": "tap water", "volume": 5e-4, "level_volume": 0.01, "level_std": 1e-4 / 1.6448536}),
    ("evaporation", ("duration=120 h", "surface=6 dm^2", "temperature=72 degF", "room=20 degC",
                     "humidity=40 %"),
     {"duration": 432000.0, "surface_area": 0.06, "temperature": 295.3722222,
      "room_temperature": 293.15, "relative_humidity": 0.4}),
    ("evaporation", ("level=9.6 L",), {"level_volume": 9.6e-3, "duration": 0.0}),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "entries", "holds"), CASES, ids=lambda one: str(one)[:30])
def test_an_event_in_si(kind: str, entries: tuple[str, ...], holds: dict[str, object]) -> None:
    ledger = begun()
    reply = noted(ledger, kind, *entries, DAY)
    event = reply.added[-1]
    assert type(event) is WORDS[kind]
    assert event.id == f"{kind}-2024-02-01"
    for name, value in holds.items():
        assert name in {one.name for one in fields(event)}
        held = getattr(event, name)
        assert held == (pytest.approx(value) if isinstance(value, float) else value), name
    assert ledger.events[-1] is event


def test_every_kind_of_event_can_be_typed_and_has_an_example() -> None:
    assert set(KEYS) == set(EXAMPLES) == set(WORDS)


def test_a_bath_taken_over_and_an_analysis() -> None:
    ledger = MemoryLedger()
    noted(ledger, "take-over", "volume=18 ± 0.3 L", "copper=52 ± 3 g/L",
          "sulfuric_acid=58 ± 4 g/L", "chloride=70 ppm", "at=2024-01-01")  # fmt: skip
    noted(ledger, "analysis", "copper=0.80 ± 0.02 mol/L", "density=1.17 ± 0.003 g/mL",
          "temperature=21 degC", "at=2024-01-02")  # fmt: skip
    (first, second) = ledger.events
    assert isinstance(first, ev.TakeOver)
    assert (first.volume, first.copper, first.chloride) == pytest.approx((0.018, 52.0, 0.07))
    assert first.copper_std == pytest.approx(3.0 / 1.6448536)
    assert first.chloride_std == pytest.approx(0.035)
    assert isinstance(second, ev.Analysis)
    copper, density = second.findings
    assert copper.value.best == pytest.approx(0.8 * 63.546, rel=1e-5)
    assert copper.temperature is None
    assert density.temperature == pytest.approx(294.15)


def test_the_first_naming_of_a_product_brings_its_bottle_once() -> None:
    ledger = begun()
    first = noted(ledger, "top-up", "water=tap", "volume=500 mL", DAY)
    again = noted(ledger, "top-up", "water=tap", "volume=200 mL", "at=2024-02-02")
    assert [type(one) for one in first.added] == [ev.Bottle, ev.TopUp]
    assert [type(one) for one in again.added] == [ev.TopUp]
    assert again.added[0].id == "top-up-2024-02-02"


def test_the_shelf_s_own_water_comes_before_the_common_grade() -> None:
    reply = noted(begun(), "top-up", "water=tap", "volume=500 mL", DAY, shelf=FILES["shelf.toml"])
    bottle = reply.added[0]
    assert isinstance(bottle, ev.Bottle)
    assert bottle.product.name == "tap"
    assert bottle.product.chloride.best == pytest.approx(40e-6, rel=0.01)


def test_two_events_of_a_day_have_two_ids() -> None:
    ledger = begun()
    noted(ledger, "carbon", DAY)
    assert noted(ledger, "carbon", DAY).added[0].id == "carbon-2024-02-01-2"


def test_a_bottle_as_its_label_says() -> None:
    ledger = begun()
    noted(ledger, "bottle", "name=new acid", "substance=sulfuric acid", "strength=50 %", DAY)
    bottle = ledger.events[-1]
    assert isinstance(bottle, ev.Bottle)
    assert bottle.product.mass_fraction("sulfuric acid").best == pytest.approx(0.5)
    noted(ledger, "bottle", "name=leveller", "additive=yes", DAY)
    other = ledger.events[-1]
    assert isinstance(other, ev.Bottle)
    assert other.additive
    assert other.product.contents == ()


@pytest.mark.parametrize(
    ("kind", "entries"),
    [
        ("withdrawal", ("volume=40 L",)),
        ("addition", ("product=gold", "amount=1 g")),
        ("drag-out", ("area=6 dm^2", "parts=1.5")),
        ("analysis", ("copper=51 g/L",)),
        ("ampere-hours", ("charge=18 A",)),
    ],
)
def test_what_cannot_be_leaves_the_ledger_as_it_was(kind: str, entries: tuple[str, ...]) -> None:
    ledger = begun()
    before = ledger.events
    with pytest.raises(BadInput):
        noted(ledger, kind, *entries, DAY)
    assert ledger.events == before


def test_a_ledger_begins_with_a_bath() -> None:
    with pytest.raises(BadInput, match="has not begun"):
        noted(MemoryLedger(), "ampere-hours", "charge=18 Ah", DAY)


def test_a_finding_that_does_not_fit_is_said_when_it_is_noted() -> None:
    ledger = begun()
    for day in ("10", "12", "14"):
        noted(ledger, "analysis", "copper=51 ± 1 g/L", f"at=2024-01-{day}")
    good = Finding(quantity="copper", value=Interval(50.0, 51.0, 52.0), std=0.6, method="titration")
    bad = Finding(quantity="copper", value=Interval(69.0, 70.0, 71.0), std=0.6, method="titration")
    soon = moment("2024-01-15", now=NOW, where="at")
    assert note_findings(ledger, (good,), at=soon).notes == ()
    assert "does not fit" in note_findings(ledger, (bad,), at=soon + 3600.0).notes[0]


def test_a_made_bath_comes_back_from_its_ledger_to_be_enlarged() -> None:
    """Make-up, ledger, estimate and make-up again close: 12 L that hold what 10 L held and more."""
    ledger = begun()
    before = estimated(ledger.events)
    larger = make_a_bath(
        MakeRequest(
            bath_text=FILES["bath.toml"],
            bath_name="bath.toml",
            volume="12 L",
            old=LedgerAsked(ledger=ledger),
        )
    )
    assert larger.old == "ledger"
    assert larger.plan.old_bath == pytest.approx(before.best("volume"))
    note_a_make_up(larger, ledger, at=before.at)
    after = estimated(ledger.events)
    assert after.best("volume") == pytest.approx(0.012, rel=0.01)
    assert after.best("copper") == pytest.approx(200.0 * 63.546 / 249.685, rel=0.01)
    assert after.best("sulfuric_acid") == pytest.approx(60.0, rel=0.01)


def test_a_new_bath_never_overwrites_a_ledger() -> None:
    ledger = begun()
    made = make_a_bath(MakeRequest(bath_text=FILES["bath.toml"], bath_name="bath.toml"))
    with pytest.raises(BadInput, match="begun already"):
        note_a_make_up(made, ledger, at=NOW)


def test_what_was_retracted_is_listed_as_such() -> None:
    ledger = begun()
    noted(ledger, "carbon", DAY)
    noted(ledger, "retraction", "of=carbon-2024-02-01", "reason=wrong tank", "at=2024-02-02")
    reply = list_a_ledger(ledger)
    assert reply.retracted == {"carbon-2024-02-01"}
    assert {event.id for event in reply.events} == {event.id for event in ledger.events}


def test_unknown_words_get_close_ones() -> None:
    with pytest.raises(UnknownName) as caught:
        noted(begun(), "topup", "volume=1 L")
    assert caught.value.candidates[0] == "top-up"


LIST = """
# February
ampere-hours charge="18 Ah" at="2024-02-04"
top-up water=tap volume="500 mL" level="10 L" at="2024-02-05"   # by the jug
drag-out area="6 dm^2" at="2024-02-04"
top-up water=tap volume="300 mL" at="2024-02-12"
"""


def listed(ledger: MemoryLedger, text: str) -> None:
    note_many(
        NotesRequest(text=text, name="notes.txt", ledger=ledger, now=NOW, shelf=FILES["shelf.toml"])
    )


def test_a_list_of_notes_is_the_notes_one_by_one() -> None:
    at_once, one_by_one = begun(), begun()
    listed(at_once, LIST)
    noted(one_by_one, "ampere-hours", "charge=18 Ah", "at=2024-02-04")
    noted(one_by_one, "top-up", "water=tap", "volume=500 mL", "level=10 L", "at=2024-02-05",
          shelf=FILES["shelf.toml"])  # fmt: skip
    noted(one_by_one, "drag-out", "area=6 dm^2", "at=2024-02-04")
    noted(one_by_one, "top-up", "water=tap", "volume=300 mL", "at=2024-02-12")
    assert at_once.events == one_by_one.events


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ('top-up water="tap volume=1 L', "notes.txt, line 7: No closing quotation"),
        ('topup water=tap volume="1 L"', "notes.txt, line 7: kind of event"),
        ('withdrawal volume="40 L" at="2024-02-13"', "40 L are taken out"),
    ],
)
def test_a_list_with_a_fault_is_noted_not_at_all(line: str, says: str) -> None:
    ledger = begun()
    before = ledger.events
    with pytest.raises(BadInput, match=says):
        listed(ledger, LIST.rstrip() + "\n" + line.replace("\n", " "))
    assert ledger.events == before


def test_a_new_bottle_of_another_strength_needs_a_name_of_its_own() -> None:
    """Else what was poured from the old bottle would be reckoned by the new one's label."""
    ledger = begun()
    other = (
        FILES["shelf.toml"]
        .replace(b'"36-38 %"', b'"35-36.5 %"')
        .replace(b'density = "1.28 g/mL"\n', b"")
    )
    before = ledger.events
    with pytest.raises(BadInput, match="name of its own"):
        noted(ledger, "addition", "product=battery acid", "amount=100 mL", DAY, shelf=other)
    weaker = (
        FILES["bath.toml"]
        .replace(b'"36-38 %"', b'"35-36.5 %"')
        .replace(b'density = "1.28 g/mL"\n', b"")
    )
    made = make_a_bath(
        MakeRequest(bath_text=weaker, bath_name="b", volume="12 L", old=LedgerAsked(ledger=ledger))
    )
    with pytest.raises(BadInput, match="name of its own"):
        note_a_make_up(made, ledger, at=NOW - 1e6)
    assert ledger.events == before
    noted(ledger, "addition", "product=battery acid", "amount=100 mL", DAY,
          shelf=FILES["shelf.toml"])  # fmt: skip


OLD = """
[old_bath]
volume = "4 ± 0.1 L"
copper_sulfate_pentahydrate = "180 ± 6 g/L"
sulfuric_acid = "70 ± 4 g/L"
chloride = "40-60 mg/L"
"""


def test_an_old_bath_that_is_typed_is_kept_and_has_no_ledger() -> None:
    """All four litres go in; its crystals are fewer by what the old bath brings."""
    text = FILES["bath.toml"] + OLD.encode()
    made = make_a_bath(MakeRequest(bath_text=text, bath_name="bath.toml"))
    new = make_a_bath(MakeRequest(bath_text=FILES["bath.toml"], bath_name="bath.toml"))
    assert made.old == "typed"
    assert made.plan.old_bath == pytest.approx(4e-3)
    less, full = made.plan.amount("blue crystals"), new.plan.amount("blue crystals")
    assert less is not None
    assert full is not None
    assert full.mass.best - less.mass.best == pytest.approx(0.72 / 0.99, rel=0.01)
    with pytest.raises(BadInput, match="take-over"):
        note_a_make_up(made, MemoryLedger(), at=NOW)
    with pytest.raises(BadInput, match="not from both"):
        make_a_bath(MakeRequest(bath_text=text, bath_name="b", old=LedgerAsked(ledger=begun())))
