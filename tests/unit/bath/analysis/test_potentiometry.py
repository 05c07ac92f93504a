"""End points of curves: exact curves of silver and chloride, broken ones, and noise."""

import numpy as np
import numpy.typing as npt
import pytest

from tankside.base.errors import BadInput
from tankside.bath.analysis.chloride import (
    Comparison,
    Looks,
    chloride_by_silver,
    chloride_by_turbidity,
)
from tankside.bath.analysis.potentiometry import (
    Curve,
    end_point,
    gran_end,
    second_derivative_end,
)
from tankside.bath.analysis.propagation import Measured
from tankside.bath.analysis.titrants import bought
from tests.unit.bath.analysis.bench import BURETTE, ML, exact_sample

VOLUMES = np.concatenate(
    [np.arange(0.0, 8.0, 1.0), np.arange(8.0, 12.0, 0.2), np.arange(12, 15, 0.5)]
)


def silver_wire(
    volumes: npt.NDArray[np.float64], end: float, start: float
) -> npt.NDArray[np.float64]:
    """Volts of a silver electrode in `start` mL of chloride that 0.02 mol/L of silver titrates to
    its end at `end` mL: mass balance, solubility product 10^-9.75 and Nernst, exactly."""
    surplus = 0.02 * (volumes - end) / (start + volumes)
    silver = (surplus + np.sqrt(surplus**2 + 4.0 * 10**-9.75)) / 2.0
    return 0.56 + 0.05916 * np.log10(silver)


def curve(end: float = 10.0, start: float = 100.0, noise: float = 0.0, seed: int = 1) -> Curve:
    volts = silver_wire(VOLUMES, end, start)
    volts = volts + np.random.default_rng(seed).normal(0.0, noise, len(volts))
    return Curve(volumes=VOLUMES * ML, potentials=volts)


@pytest.mark.parametrize("end", [9.53, 10.0, 10.37, 11.2])
def test_both_readings_find_the_end_of_an_exact_curve(end: float) -> None:
    sharp = second_derivative_end(curve(end))
    assert abs(sharp.volume.value / ML - end) < 0.06
    lines = gran_end(curve(end), 100.0 * ML, sharp.volume.value)
    assert abs(lines.volume.value / ML - end) < 0.02
    assert abs(end_point(curve(end), initial_volume=100.0 * ML).volume.value / ML - end) < 0.02


def test_the_sign_of_the_electrode_does_not_matter() -> None:
    swapped = Curve(volumes=curve().volumes, potentials=-curve().potentials)
    assert end_point(swapped, initial_volume=100.0 * ML).volume.value == pytest.approx(
        end_point(curve(), initial_volume=100.0 * ML).volume.value
    )


def test_the_stated_deviation_covers_noisy_curves() -> None:
    """Nine in ten of two hundred curves with a millivolt of noise."""
    held = 0
    for seed in range(200):
        found = end_point(curve(noise=1e-3, seed=seed), initial_volume=100.0 * ML).volume
        held += abs(found.value / ML - 10.0) <= 1.645 * found.std / ML
    assert 0.80 <= held / 200 <= 1.0


def test_a_slow_electrode_is_noticed() -> None:
    """An electrode of half the slope: the jump stays, Gran's lines go elsewhere."""
    lame = Curve(volumes=curve().volumes, potentials=0.5 * curve().potentials)
    found = end_point(lame, initial_volume=100.0 * ML)
    assert any("slow or not follow its law" in note for note in found.notes)
    assert abs(found.volume.value / ML - 10.0) < 0.1


def test_chloride_from_a_curve() -> None:
    found = chloride_by_silver(
        curve(),
        titrant=bought("silver nitrate", 20.0, 0.0),
        burette=BURETTE,
        sample=exact_sample(50.0 * ML),
        water=50.0 * ML,
    )
    assert found.value.best == pytest.approx(10.0 * 0.02 * 35.45 / 50.0, rel=5e-3)
    assert found.value.low < 0.1418 < found.value.high


@pytest.mark.parametrize(
    ("volumes", "volts", "words"),
    [
        ([0, 1, 2, 3], [0.1] * 4, "too few"),
        ([0, 1, 2, 3, 4, 5], [0.1] * 5, "6 volumes but 5"),
        ([0, 1, 3, 2, 4, 5, 6], [0.1] * 7, "digits swapped"),
        ([0, 1, 2, 3, 4, 5, 6], [101, 102, 103, 104, 105, 230, 240], "millivolts typed as volts"),
        ([0, 1, 2, 3, 4, 5, 6], [0.1, 0.1, float("nan"), 0.1, 0.1, 0.1, 0.2], "not a finite"),
    ],
)
def test_curves_that_cannot_be_are_refused(
    volumes: list[float], volts: list[float], words: str
) -> None:
    with pytest.raises(BadInput, match=words):
        Curve(volumes=np.array(volumes, dtype=float) * ML, potentials=np.array(volts, dtype=float))


def test_a_curve_without_a_jump_has_no_end() -> None:
    flat = Curve(volumes=np.arange(8.0) * ML, potentials=0.1 + 0.01 * np.arange(8.0))
    with pytest.raises(BadInput, match="no jump"):
        second_derivative_end(flat)
    early = Curve(volumes=np.arange(8.0) * ML, potentials=np.r_[0.0, 0.2 + 0.01 * np.arange(7.0)])
    with pytest.raises(BadInput, match="edge of the readings"):
        second_derivative_end(early)


def turbid(*seen: tuple[float, str]) -> list[Comparison]:
    return [Comparison(standard=mg * 1e-3, sample_looks=Looks(looks)) for mg, looks in seen]


def test_turbidity_lies_between_its_standards() -> None:
    found = chloride_by_turbidity(turbid((40, "cloudier"), (60, "cloudier"), (80, "clearer")))
    assert 0.060 < found.value.best < 0.080
    assert found.value.low < 0.060
    assert found.value.high > 0.080
    same = chloride_by_turbidity(turbid((40, "cloudier"), (60, "same"), (80, "clearer")))
    assert same.value.best == pytest.approx(0.06, rel=0.02)
    thinned = chloride_by_turbidity(
        turbid((4, "cloudier"), (8, "clearer")), dilution=Measured(value=10.0)
    )
    assert thinned.value.best == pytest.approx(0.0566, rel=0.01)


@pytest.mark.parametrize(
    ("seen", "words"),
    [
        ([(80, "cloudier"), (60, "clearer")], "look again"),
        ([(60, "cloudier"), (50, "same"), (80, "clearer")], "look again"),
        ([(60, "cloudier")], "stronger standard"),
        ([(-1, "cloudier"), (5, "clearer")], "no less than zero"),
    ],
)
def test_contradictory_comparisons_are_refused(seen: list[tuple[float, str]], words: str) -> None:
    with pytest.raises(BadInput, match=words):
        chloride_by_turbidity(turbid(*seen))
