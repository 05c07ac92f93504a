"""The estimate: what a ledger says without readings, what readings add, who is disbelieved."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import least_squares

from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.bath.inventory import (
    Addition,
    AmpereHours,
    Analysis,
    Bottle,
    DragOut,
    Evaporation,
    Event,
    Idle,
    Ledger,
    TopUp,
    Withdrawal,
    estimated,
)
from tankside.bath.inventory.bath_estimate import QUANTITIES, inside, not_negative
from tankside.bath.mixture import composition_of, mixed, portion
from tankside.bath.mixture import volume as mixture_volume
from tests.unit.bath.inventory.shelf import (
    BATTERY_ACID,
    BOTTLES,
    BRIGHTENER,
    CRYSTALS,
    DAY,
    MURIATIC,
    WATER,
    certain,
    found,
    make_up,
    taken_over,
)

PRODUCTS = {one.name: one for one in (CRYSTALS, BATTERY_ACID, MURIATIC, WATER, BRIGHTENER)}


def analysis(day: float, **values: tuple[float, float]) -> Analysis:
    findings = tuple(found(name, *pair) for name, pair in values.items())
    return Analysis(at=day * DAY, id=f"analysis {day}", findings=findings)


def test_a_make_up_is_the_mixture_of_its_portions() -> None:
    """Without readings the estimate is the other room's mixture, by its own reactions."""
    event = make_up()
    one = estimated((*BOTTLES, event))
    bath = mixed(*(portion(PRODUCTS[p.product], p.mass) for p in event.portions))
    expected = composition_of(bath, 298.15)
    assert one.best("copper") == pytest.approx(expected.copper, rel=1e-3)
    assert one.best("sulfuric_acid") == pytest.approx(expected.sulfuric_acid, rel=1e-3)
    assert one.best("chloride") == pytest.approx(expected.chloride, rel=1e-3)
    assert one.best("volume") == pytest.approx(mixture_volume(bath, 298.15), rel=1e-3)
    assert one.best("additive") * one.best("volume") == pytest.approx(18.0 * 0.004, rel=1e-3)
    assert one.converged


def test_a_make_up_is_as_unsure_as_its_labels_and_scale() -> None:
    one = estimated((*BOTTLES, make_up()))
    label = 0.008 / 0.37 / 1.645
    assert one.std("sulfuric_acid") / one.best("sulfuric_acid") == pytest.approx(
        np.hypot(label, 0.005), rel=0.1
    )


def test_a_taken_over_bath_is_what_was_said() -> None:
    one = estimated((taken_over(),))
    for name, value in (("copper", 54.0), ("sulfuric_acid", 55.0), ("chloride", 0.07)):
        assert one.best(name) == pytest.approx(value, rel=1e-6)
        assert one.std(name) == pytest.approx(0.05 * value, rel=0.02)
    assert one.best("volume") == pytest.approx(0.018, rel=1e-6)
    assert one.std("volume") == pytest.approx(0.05 * 0.018, rel=0.02)


def test_a_titration_is_weighed_with_what_was_known() -> None:
    """One Gaussian prior, one Gaussian reading with its shared error: the textbook's answer."""
    prior, shared, own = 0.05 * 54.0, 0.015 / 1.645, 1.2
    one = estimated((taken_over(), analysis(0.0, copper=(60.0, own))))
    total = prior**2 + (shared * 54.0) ** 2 + own**2
    assert one.best("copper") == pytest.approx(54.0 + prior**2 / total * 6.0, rel=3e-3)
    assert one.std("copper") == pytest.approx((prior**2 - prior**4 / total) ** 0.5, rel=0.05)


def test_many_titrations_never_beat_the_titrant() -> None:
    events = [analysis(0.001 * day, copper=(54.0, 1.0)) for day in range(60)]
    one = estimated((taken_over(relative=0.2), *events))
    assert one.std("copper") / one.best("copper") > 0.9 * 0.015 / 1.645


def test_a_density_narrows_the_sum_of_copper_and_acid() -> None:
    before = estimated((taken_over(),))
    after = estimated((taken_over(), analysis(0.0, density=(1160.0, 1.0))))
    place = [QUANTITIES.index(name) for name in ("copper", "sulfuric_acid")]
    both = after.covariance[np.ix_(place, place)]
    assert both[0, 1] / np.sqrt(both[0, 0] * both[1, 1]) < -0.2
    assert after.std("copper") < 0.95 * before.std("copper")


def test_the_mode_is_that_of_a_direct_search() -> None:
    """A second implementation: all parameters by scipy's least squares on a model of its own lines.

    Without scatter the history is a function of the starting values and the parameters alone.
    """
    ledger: list[Event] = [taken_over(relative=0.08)]
    for day in range(1, 41):
        ledger.append(AmpereHours(at=day * DAY, id=f"run {day}", charge=3.0e4))
        ledger.append(DragOut(at=day * DAY, id=f"out {day}", area=0.05))
        ledger.append(Idle(at=day * DAY, id=f"idle {day}", duration=0.8 * DAY, anode_area=0.1))
    readings = {
        day: {"copper": 54.0 + 0.07 * day + (1.5 if day % 20 else -1.0),
              "sulfuric_acid": 55.0 - 0.2 * day, "chloride": 0.07 - 0.0002 * day}
        for day in (10, 20, 30, 40)
    }  # fmt: skip
    stds = {"copper": 1.0, "sulfuric_acid": 1.4, "chloride": 0.007}
    for day, values in readings.items():
        ledger.append(analysis(day, **{name: (v, stds[name]) for name, v in values.items()}))
    one = estimated(tuple(ledger), certain(gross_share=Interval.exact(1e-9)))

    def residuals(x: np.ndarray) -> np.ndarray:
        copper, acid, chloride, film, mismatch, idle, t1, t2, t3 = x
        cu, h, cl = (
            54.0 * (1 + 0.08 * copper),
            55.0 * (1 + 0.08 * acid),
            0.07 * (1 + 0.08 * chloride),
        )
        masses = np.array([cu, h, cl]) * 0.018
        full = 0.018
        carried = 7e-5 * np.exp(0.7677 * film) * 0.05
        moved = (0.005 + 0.04 / 2 / 1.64485 * mismatch) * 3e4 * 63.546e-3 / 2 / 96485.33
        moved += 5e-8 * np.exp(np.log(3e-7 / 8e-9) / 3.2897 * idle) * 0.8 * DAY * 0.1
        out = list(x)
        biases = (1 + 0.015 / 1.64485 * t1, 1 + 0.02 / 1.64485 * t2, 1 + 0.05 / 1.64485 * t3)
        for day in range(1, 41):
            masses = masses + np.array([moved, -moved * 98.078 / 63.546, 0.0])
            masses, full = masses * (1 - carried / full), full - carried
            if day in readings:
                for name, mass, bias in zip(stds, masses, biases, strict=True):
                    out.append((readings[day][name] - mass / full * bias) / stds[name])
        return np.array(out)

    best = least_squares(residuals, np.zeros(9), xtol=1e-12, ftol=1e-12, gtol=1e-12)
    spread = np.linalg.inv(best.jac.T @ best.jac)
    names = ("drag_out", "mismatch", "idle_dissolution", "titre_copper", "titre_sulfuric_acid",
             "titre_chloride")  # fmt: skip
    for place, name in enumerate(names, start=3):
        mine = one.shop.index[name]
        assert one.state[mine] == pytest.approx(best.x[place], abs=0.06), name
        assert one.state_covariance[mine, mine] ** 0.5 == pytest.approx(
            spread[place, place] ** 0.5, rel=0.06
        ), name


def test_a_bad_titration_is_named_and_set_aside() -> None:
    good = [analysis(day, copper=(54.0 + 0.3 * (-1) ** day, 1.0)) for day in range(1, 9)]
    clean = estimated((taken_over(), *good))
    bad = replace(good[4], findings=(found("copper", 64.0, 1.0),))
    spoiled = estimated((taken_over(), *good[:4], bad, *good[5:]))
    assert [one.event for one in spoiled.gross] == [bad.id]
    assert spoiled.gross[0].doubt > 0.99
    assert spoiled.gross[0].expected == pytest.approx(54.0, abs=1.0)
    assert spoiled.best("copper") == pytest.approx(clean.best("copper"), abs=0.2)
    assert not clean.gross


def test_two_that_contradict_each_other_are_not_both_disbelieved() -> None:
    one = estimated((taken_over(relative=0.3), analysis(1, copper=(50.0, 0.5)),
                     analysis(1.1, copper=(62.0, 0.5))))  # fmt: skip
    assert len(one.gross) <= 1


def test_readings_outside_a_law_are_left_out_with_a_note() -> None:
    weak = taken_over(acid=10.0)
    event = Analysis(at=DAY, id="meter", findings=(found("conductivity", 8.0, 0.5),))
    one = estimated((weak, event))
    assert not one.surprises
    assert "conductivity of 'meter' is left out" in one.notes[0]


def test_nothing_is_negative() -> None:
    """A chloride that readings put below zero is told as small and positive."""
    start = replace(taken_over(), chloride=0.0, chloride_std=0.003)
    one = estimated((start, analysis(1, chloride=(-0.004, 0.004))))
    ends = one.interval("chloride")
    assert one.free_mean[2] < 0.0
    assert 0.0 <= ends.low < ends.best < ends.high
    assert 0.0 < one.std("chloride") < one.free_std[2]
    assert one.composition.chloride == one.best("chloride")


def test_truncation_has_the_moments_of_a_clipped_sample() -> None:
    mean, covariance = np.array([0.5, 2.0]), np.array([[1.0, 0.6], [0.6, 0.5]])
    rng = np.random.default_rng(7)
    drawn = rng.multivariate_normal(mean, covariance, 400_000)
    kept = drawn[drawn[:, 0] > 0.0]
    wanted = np.zeros(5)
    spread = np.zeros((5, 5))
    wanted[:2], spread[:2, :2] = mean, covariance
    wanted[2:] = 1.0
    found_mean, found_covariance = not_negative(wanted, spread)
    assert found_mean[:2] == pytest.approx(kept.mean(axis=0), rel=0.01)
    assert found_covariance[:2, :2] == pytest.approx(np.cov(kept.T), rel=0.02)
    assert inside(0.5, 1.0, 0.2, 1.0) == pytest.approx(
        np.mean((kept[:, 0] > 0.2) & (kept[:, 0] < 1.0)), abs=0.005
    )


def test_the_level_teaches_evaporation() -> None:
    """A tank that loses twice what the formulas say."""
    events: list[Event] = [taken_over(relative=0.01)]
    rate = estimated((*events, hours(1))).shop.modelled["hours 1"][0]
    level = 0.018
    for day in range(1, 31):
        events.append(hours(day))
        level -= 1.4 * rate / 997.0
        events.append(TopUp(at=day * DAY, id=f"top {day}", water="water",
                            volume=1.4 * rate / 997.0, level_volume=0.018))  # fmt: skip
    one = estimated((*BOTTLES, *events))
    (learned,) = [x for x in one.learned if x.name == "evaporation"]
    assert learned.learned.best == pytest.approx(1.4, abs=0.1)
    assert learned.learned.low < 1.4 < learned.learned.high
    assert learned.learned.relative_spread < 0.3 * learned.believed.relative_spread


def test_tap_water_s_chloride_is_learned() -> None:
    """The label says 10 to 60 mg/L; chloride rises as 50 mg/L would make it."""
    events: list[Event] = [taken_over(relative=0.02)]
    for day in range(1, 61):
        events.append(Evaporation(at=day * DAY, id=f"air {day}", level_volume=0.0175))
        events.append(TopUp(at=day * DAY, id=f"top {day}", water="tap water", volume=5e-4,
                            level_volume=0.018))  # fmt: skip
        if day % 10 == 0:
            chloride = 0.07 + day * 5e-4 * 0.050 / 0.018
            events.append(analysis(day + 0.1, chloride=(chloride, 0.005)))
    one = estimated((*BOTTLES, *events))
    (learned,) = [x for x in one.learned if x.name == "chloride of tap water"]
    assert learned.unit == "kg/kg"
    assert learned.learned.best == pytest.approx(5e-5, rel=0.2)


def hours(day: int) -> Evaporation:
    return Evaporation(at=day * DAY - 1.0, id=f"hours {day}", duration=DAY, surface_area=0.05)


def test_time_without_notes_widens_the_estimate_and_dries_the_bath() -> None:
    now = estimated((taken_over(relative=0.01),))
    later = estimated((taken_over(relative=0.01),), at=60 * DAY)
    assert later.std("copper") > 3.0 * now.std("copper")
    dried = 0.018 - later.best("volume")
    days = 150.0 * (1.0 - np.exp(-60.0 / 150.0))  # longer gaps dry less and less
    assert dried == pytest.approx((1.0 - np.exp(-0.005 * days)) * 0.0174, rel=0.03)
    held = later.best("copper") * later.best("volume")
    assert held == pytest.approx(54.0 * 0.018, rel=1e-6)


def test_top_ups_to_the_mark_teach_what_nobody_noted() -> None:
    """No hours, only water up to the mark: a litre in ten days from eighteen."""
    events: list[Event] = [taken_over(relative=0.01)]
    for week in range(1, 13):
        top = TopUp(at=10 * week * DAY, id=f"top {week}", water="water", volume=1e-3,
                    level_volume=0.018)  # fmt: skip
        events.append(top)
    one = estimated((*BOTTLES, *events))
    (learned,) = [x for x in one.learned if x.name == "unlogged_evaporation"]
    assert learned.learned.best == pytest.approx(1.0 / 10.0 / 16.5, rel=0.1)
    assert one.best("volume") == pytest.approx(0.018, rel=0.01)
    assert one.best("copper") == pytest.approx(54.0, rel=0.01)
    assert not one.gross


IMPOSSIBLE: list[tuple[Ledger, str]] = [
    ((), "the ledger is empty"),
    (BOTTLES, "the ledger is empty"),
    ((AmpereHours(at=0.0, id="a", charge=1.0),), "begins with AmpereHours"),
    ((make_up(),), "is not known"),
    ((taken_over(), Addition(at=1.0, id="a", product="salt", mass=1.0)), "is not known"),
    ((taken_over(), replace(taken_over(), id="again", at=1.0)), "taken over once"),
    ((taken_over(), Withdrawal(at=1.0, id="a", volume=0.02)), "begin a new ledger"),
]


@pytest.mark.parametrize(("ledger", "words"), IMPOSSIBLE, ids=[words for _, words in IMPOSSIBLE])
def test_ledgers_that_cannot_be_are_refused(ledger: Ledger, words: str) -> None:
    with pytest.raises(BadInput, match=words):
        estimated(ledger)


def test_a_bottle_that_lacks_is_offered_by_close_names() -> None:
    wrong = Addition(at=1.0, id="a", product="crystal", mass=0.1)
    with pytest.raises(UnknownName, match="did you mean 'crystals'"):
        estimated((*BOTTLES, make_up(), wrong))


def test_an_estimate_before_the_last_event_is_refused() -> None:
    with pytest.raises(BadInput, match="not for before it"):
        estimated((taken_over(),), at=-1.0)


def test_unknown_quantities_are_offered_close_names() -> None:
    with pytest.raises(UnknownName, match="did you mean 'copper'"):
        estimated((taken_over(),)).best("coper")


def test_a_new_bottle_of_another_strength_needs_its_own_name() -> None:
    stronger = replace(BATTERY_ACID, contents=BATTERY_ACID.contents, density=Interval.exact(1300.0))
    again = Bottle(at=5.0, id="again", product=BATTERY_ACID)
    other = Bottle(at=5.0, id="other", product=stronger)
    assert estimated((*BOTTLES, make_up(), again)).best("copper") > 0.0
    with pytest.raises(BadInput, match=r"^other: the bottle 'battery acid' was entered before"):
        estimated((*BOTTLES, make_up(), other))


def test_a_bottle_alone_changes_nothing() -> None:
    plain = estimated((taken_over(),))
    with_bottle = estimated((taken_over(), Bottle(at=0.0, id="b", product=CRYSTALS)))
    assert np.array_equal(plain.mean, with_bottle.mean)


def test_which_of_two_is_wrong_is_left_open_where_it_is() -> None:
    vague = replace(taken_over(), copper_std=20.0)
    one = estimated((vague, analysis(1, copper=(40.0, 0.5)), analysis(1.1, copper=(58.0, 0.5))))
    (note,) = one.notes
    assert "the copper of 'analysis 1'" in note
    assert "the copper of 'analysis 1.1'" in note
    assert "measure once more" in note


def test_water_that_nobody_replaced_is_told_with_the_event() -> None:
    dry = tuple(replace(hours(day), surface_area=0.5, temperature=310.15) for day in range(1, 6))
    last = analysis(7, copper=(54.0, 1.0))
    with pytest.raises(
        BadInput, match=r"^analysis 7: .*more water out.*a top-up, a level or an addition"
    ):
        estimated((taken_over(), *dry, last, analysis(8, copper=(54.0, 1.0))))


def test_an_addition_that_nobody_noted_is_looked_for_in_the_ledger() -> None:
    """A make-up without chloride, and three analyses that find it."""
    event = make_up()
    dry = replace(event, portions=tuple(p for p in event.portions if p.product != "muriatic acid"))
    readings = [analysis(day, chloride=(0.06 + 0.001 * day, 0.004)) for day in (5, 12, 19)]
    one = estimated((*BOTTLES, dry, *readings))
    assert any("readings of chloride do not fit" in note for note in one.notes)
    assert any("missing or wrong" in note for note in one.notes)


def test_traces_of_chloride_are_believed_where_none_was_noted() -> None:
    event = make_up()
    dry = replace(event, portions=tuple(p for p in event.portions if p.product != "muriatic acid"))
    one = estimated((*BOTTLES, dry, analysis(5, chloride=(0.006, 0.004))))
    assert not one.gross
    assert 0.001 < one.best("chloride") < 0.006


def test_a_finding_without_an_error_is_not_believed_to_be_exact() -> None:
    one = estimated(
        (taken_over(), analysis(1, copper=(54.0, 0.0)), analysis(2, copper=(54.2, 0.0)))
    )
    assert not one.gross
    assert one.std("copper") > 0.1
