"""What the use cases answer: by hand where a hand can, by laws where it cannot."""

import json
import math

import pytest

from tankside.app.bath.ask_if_safe import SafeRequest, ask_if_safe
from tankside.app.bath.dose_a_bath import DoseRequest, dose_a_bath
from tankside.app.bath.estimate_form import LedgerAsked
from tankside.app.bath.forecast_a_bath import ForecastRequest, forecast_a_bath
from tankside.app.bath.label_a_bottle import LabelRequest, label_a_bottle
from tankside.app.bath.make_a_bath import MakeRequest, make_a_bath
from tankside.app.bath.moments import moment
from tankside.app.bath.most_worth_measuring import (
    NextRequest,
    measurements,
    next_measurement,
)
from tankside.app.bath.plan_a_titration import PlanRequest, plan_a_titration
from tankside.app.bath.read_a_meter import (
    ConductivityRequest,
    DensityRequest,
    PHRequest,
    read_conductivity,
    read_density,
    read_ph,
)
from tankside.app.bath.retire_a_bath import RetireRequest, retire_a_bath
from tankside.app.bath.rinse_a_part import RinseRequest, rinse_a_part
from tankside.app.bath.show_the_shelf import ShelfRequest, show_the_shelf
from tankside.app.bath.tell_the_state import StateRequest, tell_the_state
from tankside.app.bath.titrate import TitrateRequest, titrate
from tankside.app.bath.typed_analysis import TypedSample, TypedTitrant
from tankside.base.errors import SafetyRefusal
from tankside.bath.inventory.estimating import estimated
from tests.unit.app.bath.ledgers import FILES, NOW, MemoryLedger, begun, noted


def asked(ledger: MemoryLedger, **further: str) -> LedgerAsked:
    return LedgerAsked(ledger=ledger, **further)


WEEK = ("charge=20 Ah", "area=9 dm^2", "open=120 h", "surface=6 dm^2", "temperature=22 degC")


def fortnight() -> MemoryLedger:
    """A bath with a titration and a top-up."""
    ledger = begun()
    noted(ledger, "ampere-hours", "charge=22 Ah", "at=2024-01-14")
    noted(ledger, "top-up", "water=tap", "volume=300 mL", "level=10 L", "at=2024-01-15")
    noted(ledger, "analysis", "copper=51 ± 1 g/L", "sulfuric_acid=60 ± 2 g/L", "at=2024-01-20")
    return ledger


def test_a_make_up_s_json_is_the_plan_in_si() -> None:
    reply = make_a_bath(MakeRequest(bath_text=FILES["bath.toml"], bath_name="bath.toml"))
    made = json.loads(json.dumps(reply.as_json()))
    masses = sum(one["mass_kg"]["best"] for one in made["amounts"])
    assert masses == pytest.approx(made["mass_kg"], rel=1e-5)
    assert sum(step["mass_kg"] for step in made["steps"]) == pytest.approx(masses, rel=1e-12)
    assert made["volume_m3"]["best"] == pytest.approx(0.010)
    known = [one["cost"] for one in made["amounts"] if one["cost"] is not None]
    assert made["cost"]["known"] == pytest.approx(sum(known))
    named = {one["id"] for step in made["steps"] for one in step["cautions"]}
    assert {"strong-acid", "waste"} <= named
    assert all(one["text"] for step in made["steps"] for one in step["cautions"])


def test_acid_s_cautions_stand_before_acid_s_step() -> None:
    made = make_a_bath(MakeRequest(bath_text=FILES["bath.toml"], bath_name="bath.toml")).as_json()
    (pour,) = [one for one in made["steps"] if one["action"] == "pour acid in portions"]
    assert "strong-acid" in {one["id"] for one in pour["cautions"]}


def test_twice_the_bath_takes_twice_the_bottles() -> None:
    def masses(volume: str) -> dict[str, float]:
        request = MakeRequest(bath_text=FILES["bath.toml"], bath_name="b", volume=volume)
        return {one.product: one.mass.best for one in make_a_bath(request).plan.amounts}

    small, large = masses("6 L"), masses("12 L")
    for name in ("blue crystals", "battery acid", "distilled water"):
        assert large[name] == pytest.approx(2 * small[name], rel=3e-3)


def test_an_aim_outside_its_family_s_window_is_said() -> None:
    text = FILES["bath.toml"].replace(b'"60 g/L"', b'"90 g/L"')
    reply = make_a_bath(MakeRequest(bath_text=text, bath_name="bath.toml"))
    assert any("above" in note and "90 g/L" in note for note in reply.notes)


def test_the_state_is_the_estimate_beside_its_windows() -> None:
    ledger = fortnight()
    reply = tell_the_state(StateRequest(asked=asked(ledger), now=NOW))
    estimate = estimated(ledger.events)
    copper = reply.held[0]
    assert copper.value == estimate.interval("copper")
    assert copper.window is not None
    assert copper.inside == pytest.approx(estimate.probability_inside("copper", *copper.window))
    assert copper.side == "inside"
    assert not reply.surprises
    json.dumps(reply.as_json(), allow_nan=False)


def test_time_without_notes_makes_a_bath_less_sure() -> None:
    ledger = fortnight()
    now = tell_the_state(StateRequest(asked=asked(ledger), now=NOW))
    later = tell_the_state(StateRequest(asked=asked(ledger), now=NOW, at="2024-04-20"))
    for before, after in zip(now.held[:3], later.held[:3], strict=True):
        assert after.value.high - after.value.low > before.value.high - before.value.low


def test_tap_water_brings_chloride_by_its_own_mass_balance() -> None:
    """Poured water times its chloride over the volume is what comes in; what parts carry out is
    less, so the gain lies below that and above half of it."""
    ledger = fortnight()
    reply = forecast_a_bath(
        ForecastRequest(asked=asked(ledger), week=(*WEEK, "water=tap"), weeks=30)
    )
    tap = reply.years[0]
    volume = float(reply.ahead.mean[-1, -1])
    brought = tap.top_up * 40e-6 / volume
    gained = tap.chloride.best - reply.ahead.interval("chloride", 0).best
    assert 0.5 * brought < gained <= 1.02 * brought


def test_waters_are_compared_and_the_cleaner_brings_less() -> None:
    week = (*WEEK, "water=tap", "water=distilled water")
    reply = forecast_a_bath(ForecastRequest(asked=asked(fortnight()), week=week))
    tap, distilled = reply.years
    assert (tap.water, distilled.water) == ("tap water", "distilled water")
    assert distilled.chloride.best < 0.6 * tap.chloride.best
    assert reply.weeks == 52
    json.dumps(reply.as_json(), allow_nan=False)


def test_next_to_a_window_s_end_the_copper_titration_is_worth_it() -> None:
    """Copper between 49 and 51 g/L on the end of 49.6: nothing narrows copper as its titration."""
    ledger = begun()
    noted(ledger, "withdrawal", "volume=300 mL", "at=2024-01-10")
    noted(ledger, "top-up", "water=distilled water", "volume=300 mL", "at=2024-01-10")
    reply = next_measurement(NextRequest(asked=asked(ledger)))
    assert reply.open
    narrowing = {one.name: worth.narrowed["copper"] for one, worth in reply.ranked}
    assert max(narrowing, key=lambda name: narrowing[name]) == "copper-titration"
    assert [one.per_minute for _, one in reply.ranked] == sorted(
        (one.per_minute for _, one in reply.ranked), reverse=True
    )


def test_every_measurement_is_ranked_once() -> None:
    reply = next_measurement(NextRequest(asked=asked(fortnight()), week=WEEK, weeks=8))
    assert sorted(one.name for one, _ in reply.ranked) == sorted(o.name for o in measurements())
    json.dumps(reply.as_json(), allow_nan=False)


def dosed(ledger: MemoryLedger, **further: str) -> DoseRequest:
    return DoseRequest(
        asked=asked(ledger), shelf=FILES["shelf.toml"], shelf_name="shelf.toml", **further
    )


def test_a_thin_bath_gets_crystals_until_it_is_inside() -> None:
    ledger = begun()
    noted(ledger, "withdrawal", "volume=2 L", "at=2024-01-10")
    noted(ledger, "top-up", "water=distilled water", "volume=2 L", "at=2024-01-10")
    reply = dose_a_bath(dosed(ledger))
    first = reply.advice.options[0]
    assert first.meets
    assert first.probability >= 0.9
    assert any(getattr(one, "product", "") == "blue crystals" for one in first.actions)
    assert "waste" in {one.id for one in reply.cautions}
    row = reply.as_json()["options"][0]
    low, high = reply.windows["copper"]
    assert low < row["after"]["copper_kg_m3"]["best"] < high


def test_a_good_bath_is_left_alone_and_warns_of_nothing() -> None:
    reply = dose_a_bath(dosed(fortnight(), probability="80 %"))
    assert reply.advice.options[0].actions == ()
    assert reply.cautions == ()


def test_a_panel_that_is_dull_gives_half_of_what_is_missing() -> None:
    ledger = begun()
    noted(ledger, "ampere-hours", "charge=200 Ah", "at=2024-01-20")
    silent, dull = dose_a_bath(dosed(ledger)), dose_a_bath(dosed(ledger, panel="dull"))
    assert silent.additive is not None
    assert dull.additive is not None
    assert silent.additive.dose is None
    assert dull.additive.dose == pytest.approx(0.5 * dull.additive.proposal.missing)


def test_copper_by_edta_by_hand() -> None:
    """16.00 mL of 0.1 mol/L against 2 mL of bath: 0.8 mol/L, 50.84 g/L of copper."""
    found = titrate(
        TitrateRequest(
            what="copper", readings=("0.10-16.10 mL", "16.0 mL"), sample=TypedSample(volume="2 mL")
        )
    ).finding
    assert found.value.best == pytest.approx(16.0 * 0.1 * 63.546 / 2.0, rel=1e-4)
    assert 0.01 < (found.value.high - found.value.low) / 2 / found.value.best < 0.05


def test_a_titrant_that_was_set_is_surer_than_its_label() -> None:
    """0.1308 g of zinc are 2.0004 mmol; 20.00 mL of titrant take it at 0.1000 mol/L."""
    by_label = TitrateRequest(
        what="copper",
        readings=("16.0 mL", "16.0 mL"),
        sample=TypedSample(volume="2 mL"),
        titrant=TypedTitrant(tolerance="5 %"),
    )
    against = TitrateRequest(
        what="copper",
        readings=("16.0 mL", "16.0 mL"),
        sample=TypedSample(volume="2 mL"),
        titrant=TypedTitrant(
            standard="zinc", masses=("0.1308 g",), runs=("20.00 mL", "20.00 mL"),
            scale="analytical balance",
        ),
    )  # fmt: skip
    label, set_one = titrate(by_label).finding, titrate(against).finding
    assert set_one.std < label.std
    assert set_one.value.best == pytest.approx(label.value.best, rel=2e-3)


def test_an_old_titrant_is_believed_less() -> None:
    def std(age: str) -> float:
        return titrate(
            TitrateRequest(
                what="copper", method="thiosulfate", readings=("16.0 mL", "16.0 mL"),
                sample=TypedSample(volume="2 mL"), titrant=TypedTitrant(age=age),
            )
        ).finding.std  # fmt: skip

    assert std("6 months") > 1.5 * std("")


def test_free_acid_by_hand() -> None:
    """6.1 mL of 1 mol/L against 5 mL: 59.8 g/L and the little that sulfate still holds."""
    found = titrate(
        TitrateRequest(
            what="acid", readings=("6.1 mL", "6.1 mL"), sample=TypedSample(volume="5 mL"),
            copper="51 ± 2 g/L",
        )
    ).finding  # fmt: skip
    plain = 6.1 * 98.079 / 2.0 / 5.0
    assert plain < found.value.best < 1.03 * plain


def test_a_sample_weighed_is_one_measured() -> None:
    by_weight = titrate(
        TitrateRequest(
            what="copper", readings=("16.0 mL", "16.0 mL"),
            sample=TypedSample(mass="2.32 g", density="1.16 ± 0.003 g/mL"),
        )
    ).finding  # fmt: skip
    assert by_weight.value.best == pytest.approx(16.0 * 0.1 * 63.546 / 2.0, rel=1e-4)


def test_chloride_along_a_curve_that_ends_where_it_was_made_to() -> None:
    """A curve of the Nernst law with its jump at 3.95 mL: 20 mL of 70 mg/L and 0.01 mol/L."""
    end, start = 20.0 * 0.070 / 35.453 / 0.01, 40.0
    volumes = [0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 3.9, 4.1, 4.5, 5.0, 5.5, 6.0, 6.5, 7.0]

    def silver(volume: float) -> float:
        excess = (volume - end) * 0.01 / (start + volume)
        return 0.5 * (excess + math.sqrt(excess**2 + 4.0 * 1.77e-10))

    readings = tuple(
        f"{one} mL={1e3 * (0.8 + 0.05916 * math.log10(silver(one))) - 400:.1f} mV"
        for one in volumes
    )
    found = titrate(
        TitrateRequest(
            what="chloride", readings=readings, sample=TypedSample(volume="20 mL"),
            titrant=TypedTitrant(strength="0.01 mol/L"), water="20 mL",
            burette="burette 10 mL class B",
        )
    ).finding  # fmt: skip
    assert found.value.best == pytest.approx(0.070, rel=0.03)
    assert 0.070 in found.value


def test_a_plan_expects_the_titre_that_the_bath_would_give() -> None:
    reply = plan_a_titration(
        PlanRequest(what="copper", expected="50.84 g/L", pipettes=("pipette 2 mL class B",))
    )
    assert reply.plan.titre == pytest.approx(16.0e-6, rel=1e-3)
    assert reply.as_json()["steps"]
    assert any("ammonia" in one.text.lower() for one in reply.cautions)


def test_density_alone_is_a_line_and_with_copper_it_is_acid() -> None:
    alone = read_density(DensityRequest(shown="1.160 g/mL", temperature="21 degC"))
    assert alone.other is None
    assert alone.line is not None
    assert len(alone.line.sulfuric_acid) > 5
    both = read_density(
        DensityRequest(shown="1.160 g/mL", temperature="21 degC", copper="51 ± 1 g/L")
    )
    assert both.other is not None
    assert both.other.quantity == "sulfuric_acid"
    assert both.other.value.best == pytest.approx(60.0, abs=6.0)


def test_scales_of_a_hydrometer_agree() -> None:
    """1.160 by specific gravity is 20.0 degrees of the US scale: 145 - 145 / 1.160."""
    gravity = read_density(
        DensityRequest(shown="1.160", scale="specific-gravity", temperature="20 degC")
    )
    baume = read_density(DensityRequest(shown="20.0", scale="baume-us", temperature="20 degC"))
    assert baume.finding.value.best == pytest.approx(gravity.finding.value.best, rel=1e-4)


def test_meters() -> None:
    found = read_ph(
        PHRequest(shown="4.05", buffers=("4.01=4.05", "7.00=7.02"), temperature="22 degC")
    )
    assert found.finding.value.best == pytest.approx(4.01, abs=1e-6)
    shown = read_conductivity(
        ConductivityRequest(
            shown="250 mS/cm", temperature="25 degC", full_scale="500 mS/cm",
            standard="potassium chloride 1 mol/L", standard_shown="111.8 mS/cm",
        )
    )  # fmt: skip
    assert shown.finding.value.best == pytest.approx(25.0, rel=1e-6)


def test_soda_for_a_bath_by_hand() -> None:
    """600 g of acid are 6.117 mol and take as much soda, 0.648 kg; 500 g of copper 7.868 mol."""
    reply = retire_a_bath(RetireRequest(volume="10 L", copper="50 g/L", acid="60 g/L"))
    assert reply.done.base_for_acid.best == pytest.approx(0.600 / 98.079 * 105.988, rel=1e-3)
    assert reply.done.base_for_copper.best == pytest.approx(0.500 / 63.546 * 105.988, rel=1e-3)
    assert any("drain" in one for one in reply.told)
    json.dumps(reply.as_json(), allow_nan=False)


def test_copper_plated_out_leaves_acid_in_its_place() -> None:
    """Base in all stays the same: each copper ion becomes two protons."""
    bath = {"volume": "10 L", "copper": "50 g/L", "acid": "60 g/L"}
    straight = retire_a_bath(RetireRequest(**bath))
    first = retire_a_bath(RetireRequest(**bath, plate_out="1 g/L"))
    assert first.done.base_in_all.best == pytest.approx(straight.done.base_in_all.best, rel=1e-3)
    assert first.done.sludge_dry.best < 0.05 * straight.done.sludge_dry.best


def test_a_second_running_rinse_saves_most_of_the_water() -> None:
    reply = rinse_a_part(
        RinseRequest(area="9 dm^2", copper="51 g/L", acid="60 g/L", still=("4 L",), parts=1)
    )
    one, two = reply.running
    drag_out = reply.carried.volume.best
    assert one == pytest.approx(drag_out * (reply.ratio - 1.0))
    assert two == pytest.approx(drag_out * (-0.5 + math.sqrt(0.25 + reply.ratio - 1.0)))
    assert reply.still[0] == pytest.approx(drag_out / (4e-3 + drag_out))
    assert reply.carried.copper_carried.best == pytest.approx(drag_out * 51.0)


def test_labels_of_a_bath_and_of_a_bottle() -> None:
    bath = label_a_bottle(
        LabelRequest(identifier="Bath", copper_sulfate="200 g/L", acid="60 g/L")
    ).label
    assert bath.signal_word == "danger"
    assert {"H318", "H410"} <= {one.code for one in bath.hazards}
    bottle = label_a_bottle(
        LabelRequest(identifier="Acid", shelf=FILES["shelf.toml"], product="battery acid")
    ).label
    assert "H314" in {one.code for one in bottle.hazards}


def test_a_ledger_s_bath_is_labelled_as_the_same_bath_typed() -> None:
    ledger = fortnight()
    held = estimated(ledger.events).composition
    known = label_a_bottle(LabelRequest(identifier="Bath", ledger=asked(ledger)))
    typed = label_a_bottle(
        LabelRequest(
            identifier="Bath",
            copper_sulfate=f"{held.copper_sulfate_pentahydrate!r} g/L",
            acid=f"{held.sulfuric_acid!r} g/L",
        )
    )
    assert known.contents == pytest.approx(typed.contents, rel=1e-3)


@pytest.mark.parametrize(
    "request_",
    [
        SafeRequest(anode="stainless steel"),
        SafeRequest(base_metal="zinc"),
        SafeRequest(bath="cyanide"),
        SafeRequest(together=("sulfuric acid", "bleach")),
        SafeRequest(pour="water", into="sulfuric acid", strength="96 %"),
    ],
)
def test_what_must_not_be_is_refused(request_: SafeRequest) -> None:
    with pytest.raises(SafetyRefusal):
        ask_if_safe(request_)


def test_what_may_be_comes_with_what_to_mind() -> None:
    reply = ask_if_safe(
        SafeRequest(anode="copper", doing="mixing", handled=("sulfuric acid=37 %",))
    )
    assert reply.rules[0][1].verdict == "mind"
    assert "strong-acid" in {one.id for one in reply.cautions}


def test_the_shelf_lists_all_grades_and_reads_one_label() -> None:
    assert len(show_the_shelf(ShelfRequest()).stocks) > 40
    label = ("name=mine", "substance=sulfuric acid", "strength=50 %")
    (one,) = show_the_shelf(ShelfRequest(label=label)).as_json()["products"]
    assert one["contents"][0]["cas"] == "7664-93-9"
    assert any(words.startswith("H314") for words in one["hazards"])


def test_a_state_told_at_a_typed_day() -> None:
    reply = tell_the_state(StateRequest(asked=asked(fortnight()), now=NOW, at="2024-02-20"))
    assert reply.at == moment("2024-02-20", now=NOW, where="at")
