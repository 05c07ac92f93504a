"""Audits: closed form against a general solver, coverage on simulated runs, contradictions told."""

from math import exp, log

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.stats import chi2

from tankside.base.constants import COPPER_PER_CHARGE_KG_PER_C
from tankside.base.errors import BadInput
from tankside.base.intervals import NINE_IN_TEN, Interval
from tankside.runs import audit
from tankside.runs.audit import FACTORS, Believed, Point, Weighed, audited, efficiency_by_coulometer

BELIEVED = Believed(
    efficiency=Interval(0.97, 0.99, 1.0),
    share=Interval(0.85, 0.90, 0.95),
    area=Interval(0.018, 0.02, 0.022),
)
CHARGE = 30.0 * 3600


def points(factor: float, count: int = 6) -> tuple[Point, ...]:
    planned = np.linspace(60e-6, 160e-6, count)
    return tuple(
        Point(place=f"mark {k}", thickness=factor * one, resolution=1e-5, planned=one)
        for k, one in enumerate(planned)
    )


def test_everything_as_planned_moves_nothing() -> None:
    planned = CHARGE * COPPER_PER_CHARGE_KG_PER_C * 0.99 * 0.90
    told = audited(BELIEVED, Weighed(charge=CHARGE, mass_gain=planned, points=points(1.0)))
    for name in FACTORS:
        assert told.factors[name].best == pytest.approx(getattr(BELIEVED, name).best, rel=1e-9)
    assert told.copper_mass.best == pytest.approx(planned)
    assert told.chance == pytest.approx(1.0)
    assert told.mean_thickness.best == pytest.approx(planned / (0.02 * BELIEVED.density.best))
    assert told.unevenness == pytest.approx((60 / 110, 60 / 110))


def test_the_closed_form_is_the_minimum_of_the_squares() -> None:
    """Against SciPy's minimiser on the same sum of squares, written out."""
    weighed = Weighed(charge=CHARGE, mass_gain=0.027, points=points(0.8))
    told = audited(BELIEVED, weighed)
    ratio = told.ratio_of_points
    assert ratio is not None
    best = np.array([log(getattr(BELIEVED, name).best) for name in FACTORS])
    width = np.array([
        log(getattr(BELIEVED, name).high / getattr(BELIEVED, name).low) / (2 * NINE_IN_TEN)
        for name in FACTORS
    ])  # fmt: skip

    def squares(x: np.ndarray) -> float:
        e, s, a, k, d = x
        mass = log(CHARGE * COPPER_PER_CHARGE_KG_PER_C) + e + s + k
        planned = log(CHARGE * COPPER_PER_CHARGE_KG_PER_C) + best @ np.array([1, 1, -1, 1, -1])
        scale = (log(0.027) - mass) / (1e-4 * (1 / 6) ** 0.5 / 0.027)
        thick = (log(ratio.best) + planned - (mass - a - d)) / (
            log(ratio.high / ratio.low) / (2 * NINE_IN_TEN)
        )
        return float((((x - best) / width) ** 2).sum() + scale**2 + thick**2)

    found = minimize(squares, best, method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-10,
                     "maxiter": 40000, "maxfev": 40000, "adaptive": True}).x  # fmt: skip
    for k, name in enumerate(FACTORS):
        assert told.factors[name].best == pytest.approx(exp(found[k]), rel=1e-4)


def test_intervals_hold_nine_times_in_ten_on_simulated_runs() -> None:
    """Hidden truths drawn from what is believed, read with rounding scales and callipers."""
    random = np.random.default_rng(7)
    held = dict.fromkeys((*FACTORS, "mass"), 0)
    runs = 600
    for _ in range(runs):
        truth = {
            name: exp(random.normal(
                log(getattr(BELIEVED, name).best),
                log(getattr(BELIEVED, name).high / getattr(BELIEVED, name).low) / (2 * NINE_IN_TEN),
            ))
            for name in FACTORS
        }  # fmt: skip
        mass = (
            CHARGE
            * COPPER_PER_CHARGE_KG_PER_C
            * truth["efficiency"]
            * truth["share"]
            * truth["meter"]
        )
        planned = CHARGE * COPPER_PER_CHARGE_KG_PER_C * 0.99 * 0.90 / (0.02 * BELIEVED.density.best)
        ratio = mass / (truth["area"] * truth["density"]) / planned
        read = tuple(
            Point(
                place=one.place,
                thickness=round(one.planned * ratio * random.lognormal(0, 0.03) / 1e-5) * 1e-5,
                resolution=1e-5,
                planned=one.planned,
            )
            for one in points(1.0)
        )
        before = random.uniform(0.2, 0.3)
        gain = (round((before + mass) / 1e-4) - round(before / 1e-4)) * 1e-4
        told = audited(BELIEVED, Weighed(charge=CHARGE, mass_gain=gain, points=read))
        for name in FACTORS:
            held[name] += truth[name] in told.factors[name]
        held["mass"] += mass in told.copper_mass
    for name, count in held.items():
        assert 0.85 <= count / runs <= 0.96, (name, count / runs)


@pytest.mark.parametrize(
    ("mass", "thick", "culprit"),
    [(0.6, 0.62, "share"), (0.99, 0.6, "area")],
)
def test_a_contradiction_is_told_with_its_likeliest_reason(
    mass: float, thick: float, culprit: str
) -> None:
    planned = CHARGE * COPPER_PER_CHARGE_KG_PER_C * 0.99 * 0.90
    weighed = Weighed(charge=CHARGE, mass_gain=mass * planned, points=points(thick))
    told = audited(BELIEVED, weighed)
    assert told.chance < 0.01
    assert told.explanations[0][0] == culprit
    assert any("contradict" in line for line in told.findings)
    assert sum(share for _, share in told.explanations) == pytest.approx(1.0)


def test_thin_places_are_named() -> None:
    told = audited(BELIEVED, Weighed(charge=CHARGE, points=points(0.3)))
    assert "At mark 5 there are 48 µm where 160 µm were planned." in told.findings


def test_efficiency_by_the_coulometer() -> None:
    """Equal copper in both is full efficiency; a metal of valence 2 and half the molar mass that
    gained half the mass as well."""
    copper = 63.546e-3
    assert efficiency_by_coulometer(1e-3, 1e-3, 2, copper) == pytest.approx(1.0)
    assert efficiency_by_coulometer(0.5e-3, 1e-3, 2, copper / 2) == pytest.approx(1.0)
    assert efficiency_by_coulometer(0.9e-3, 1e-3, 2, copper) == pytest.approx(0.9)


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"charge": 0.0}, "laid nothing down"),
        ({"mass_gain": -0.001}, "less than before"),
        ({"points": (Point(place="rim", thickness=1e-5, resolution=0.0, planned=1e-5),)}, "rim"),
    ],
)
def test_refuses(change: dict[str, object], told: str) -> None:
    with pytest.raises(BadInput, match=told):
        Weighed(**({"charge": CHARGE, "mass_gain": 0.02} | change))  # type: ignore[arg-type]


def test_needs_something_measured() -> None:
    with pytest.raises(BadInput, match="needs a weight or a calliper reading"):
        audited(BELIEVED, Weighed(charge=CHARGE))


def test_wires_weighed_tell_lost_current_from_shared_copper() -> None:
    """The same light part, with wires that gained the rest, and with wires that gained their share
    of as little: then current made no copper or was misread, which weighing cannot tell apart."""
    laid = CHARGE * COPPER_PER_CHARGE_KG_PER_C
    light = 0.8 * laid * 0.99 * 0.90
    on_wires = Weighed(charge=CHARGE, mass_gain=light, others_gain=0.99 * laid - light)
    nowhere = Weighed(charge=CHARGE, mass_gain=light, others_gain=light * 0.10 / 0.90)
    assert audited(BELIEVED, on_wires).explanations[0][0] == "share"
    assert {name for name, _ in audited(BELIEVED, nowhere).explanations[:2]} == {
        "efficiency",
        "meter",
    }
    assert audited(BELIEVED, nowhere).factors["share"].best == pytest.approx(0.90, rel=1e-2)
    assert audited(BELIEVED, on_wires).factors["share"].best == pytest.approx(0.72, rel=2e-3)


@pytest.mark.parametrize("count", [1, 2, 3])
def test_the_chance_is_chi_squared(count: int) -> None:
    """Against SciPy's survival function."""
    for misfit in (0.1, 1.0, 4.0, 12.0):
        assert audit._chance(misfit, count) == pytest.approx(float(chi2.sf(misfit, count)))


def test_wires_without_a_part_are_refused() -> None:
    with pytest.raises(BadInput, match="and so has the part"):
        Weighed(charge=CHARGE, others_gain=0.001)
