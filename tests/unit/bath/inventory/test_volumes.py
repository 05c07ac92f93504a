"""Volumes of the followed masses against the mixture's own, and Euler's theorem."""

import numpy as np
import pytest

from tankside.base.errors import BadInput
from tankside.bath.composition import Composition
from tankside.bath.inventory.contents import SALT_PER_COPPER
from tankside.bath.inventory.volumes import specific_volumes, volume
from tankside.bath.mixture import Mixture, composition_of
from tankside.bath.mixture import volume as mixture_volume

WARM = 298.15
MASSES = np.array([1.0, 1.1, 1.3e-3, 0.05, 16.5])


def test_the_volume_is_the_mixtures() -> None:
    held = {"copper sulfate": SALT_PER_COPPER * 1.0, "sulfuric acid": 1.1, "water": 16.5}
    assert volume(MASSES, WARM) == pytest.approx(mixture_volume(Mixture(masses=held), WARM))
    assert isinstance(composition_of(Mixture(masses=held), WARM), Composition)


def test_shares_add_up_to_the_volume() -> None:
    nu = specific_volumes(MASSES, WARM)
    assert float(nu @ MASSES) == pytest.approx(volume(MASSES, WARM), rel=1e-14)
    assert nu[2] == nu[3] == 0.0


@pytest.mark.parametrize("place", [0, 1, 4])
def test_shares_are_derivatives(place: int) -> None:
    step = np.zeros(5)
    step[place] = 1e-5 * MASSES[4]
    central = (volume(MASSES + step, WARM) - volume(MASSES - step, WARM)) / (2 * step[place])
    assert specific_volumes(MASSES, WARM)[place] == pytest.approx(central, rel=2e-3)


def test_water_alone() -> None:
    assert volume(np.array([0.0, 0.0, 0.0, 0.0, 2.0]), WARM) == pytest.approx(
        2.0 / 997.05, rel=1e-4
    )


def test_no_water_left_is_told() -> None:
    with pytest.raises(BadInput, match="more water out of the bath than went in"):
        specific_volumes(np.array([1.0, 1.0, 0.0, 0.0, -0.1]), WARM)
