"""What a print weighs and whether it floats."""

import numpy as np
import pytest

from tankside.base.errors import BadInput
from tankside.part.floating import buoyancy, print_mass, wall_share
from tests.unit.part.solids import box, merged, sphere

CUBE = box((0.04, 0.04, 0.04))


def test_the_wall_of_a_cube() -> None:
    exact = 1 - (0.04 - 2 * 0.0012) ** 3 / 0.04**3
    assert wall_share(CUBE, 0.0012) == pytest.approx(exact, abs=0.005)


def test_the_wall_of_a_thin_plate_is_all_of_it() -> None:
    assert wall_share(box((0.1, 0.1, 0.002)), 0.0011) == 1.0


def test_the_wall_of_a_hollow_part_has_two_sides() -> None:
    hollow = merged(CUBE, box((0.03, 0.03, 0.03)).flipped())
    solid = 0.04**3 - 0.03**3
    inner = (0.04 - 0.002) ** 3 - (0.03 + 0.002) ** 3
    rounding = 12 * (1 - np.pi / 4) * 0.001**2 * 0.03
    exact = 1 - (inner + rounding) / solid
    assert wall_share(hollow, 0.001) == pytest.approx(exact, abs=0.006)


def test_a_full_print_weighs_its_volume() -> None:
    assert print_mass(CUBE, density=1240.0, infill=1.0, wall=0.001) == pytest.approx(1240 * 64e-6)


def test_a_sparse_print_floats_and_takes_ballast() -> None:
    part = buoyancy(CUBE, print_density=1240.0, infill=0.2, wall=0.0012, liquid_density=1150.0)
    exact = 1 - (0.04 - 2 * 0.0012) ** 3 / 0.04**3
    assert part.mass == pytest.approx(1240 * 64e-6 * (0.2 + 0.8 * exact), rel=0.01)
    assert part.displaced_mass == pytest.approx(1150 * 64e-6)
    assert part.floats
    assert part.apparent_mass < 0
    lead = part.ballast_mass(11_340.0)
    assert lead * (1 - 1150 / 11_340) == pytest.approx(-part.apparent_mass)


def test_a_full_print_sinks_without_ballast() -> None:
    part = buoyancy(CUBE, print_density=1240.0, infill=1.0, wall=0.0, liquid_density=1150.0)
    assert not part.floats
    assert part.ballast_mass(8000.0) == 0.0


def test_a_cavity_lifts() -> None:
    hollow = merged(CUBE, box((0.035, 0.035, 0.035)).flipped())
    part = buoyancy(hollow, print_density=1240.0, infill=1.0, wall=0.001, liquid_density=1150.0)
    assert part.mass == pytest.approx(1240 * (0.04**3 - 0.035**3))
    assert part.displaced_mass == pytest.approx(1150 * 0.04**3)
    assert part.floats
    assert "sealed cavities are taken as full of air" in part.notes


def test_more_infill_never_weighs_less() -> None:
    masses = [
        print_mass(sphere(0.02), density=1240.0, infill=infill, wall=0.001)
        for infill in (0.0, 0.1, 0.5, 1.0)
    ]
    assert masses == sorted(masses)
    assert masses[0] > 0


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"print_density": 0.0}, "a print of 0.0 kg/m3"),
        ({"infill": 20.0}, "an infill of 20.0 makes no sense; give a fraction from 0 to 1"),
        ({"infill": float("nan")}, "an infill of nan"),
        ({"wall": -0.001}, "a wall of -0.001 m"),
        ({"liquid_density": -1.0}, "a liquid of -1.0 kg/m3"),
    ],
)
def test_numbers_that_make_no_sense_are_refused(changed: dict[str, float], words: str) -> None:
    usual = {"print_density": 1240.0, "infill": 0.2, "wall": 0.001, "liquid_density": 1150.0}
    with pytest.raises(BadInput, match=words):
        buoyancy(CUBE, **(usual | changed))


def test_ballast_that_floats_is_refused() -> None:
    part = buoyancy(CUBE, print_density=1240.0, infill=0.1, wall=0.001, liquid_density=1150.0)
    with pytest.raises(BadInput, match="does not sink"):
        part.ballast_mass(900.0)
