"""Area statistics, Wagner number."""

import numpy as np
import pytest

from tankside.base.errors import BadInput
from tankside.field.kinetics import ButlerVolmer, LinearPolarisation
from tankside.field.numbers import (
    area_fraction,
    area_percentiles,
    area_statistics,
    polarisation_resistance,
    wagner_number,
)


def test_statistics_do_not_depend_on_the_cut() -> None:
    """Cutting every panel in two changes nothing but the step at a percentile."""
    generator = np.random.default_rng(3)
    values, areas = generator.uniform(1, 2, 4000), generator.uniform(1, 9, 4000)
    whole = area_statistics(values, areas)
    cut = area_statistics(np.repeat(values, 2), np.repeat(areas / 2, 2))
    assert cut.mean == pytest.approx(whole.mean, rel=1e-12)
    assert (cut.smallest, cut.largest) == (whole.smallest, whole.largest)
    assert cut.percent_5 == pytest.approx(whole.percent_5, abs=1e-4)
    assert whole.percent_5 == pytest.approx(1.05, abs=0.01)
    assert whole.percent_95 == pytest.approx(1.95, abs=0.01)


def test_percentiles_weigh_by_area() -> None:
    values, areas = np.array([1.0, 2.0]), np.array([9.0, 1.0])
    assert area_percentiles(values, areas, (0.0, 45.0, 95.0, 100.0)) == (1.0, 1.0, 2.0, 2.0)


def test_statistics_refuse_what_does_not_fit() -> None:
    with pytest.raises(BadInput, match="as many values as areas"):
        area_statistics(np.zeros(3), np.zeros(2))


def test_area_fraction() -> None:
    assert area_fraction(np.array([True, False]), np.array([1.0, 3.0])) == 0.25


def test_linear_polarisation_resistance_of_butler_volmer() -> None:
    """RT / (F i0 (alpha_a + alpha_c)) at rest."""
    law = ButlerVolmer(
        exchange_current_density=20.0,
        cathodic_transfer=0.5,
        anodic_transfer=1.5,
        thermal_voltage=0.0257,
    )
    assert polarisation_resistance(law, 0.0) == pytest.approx(0.0257 / (20.0 * 2.0), rel=1e-9)


def test_tafel_polarisation_resistance_of_butler_volmer() -> None:
    """RT / (alpha_c F i), 51.4 mV over i for alpha_c = 0.5, far above the exchange current."""
    law = ButlerVolmer(
        exchange_current_density=1e-3,
        cathodic_transfer=0.5,
        anodic_transfer=1.5,
        thermal_voltage=0.0257,
    )
    assert polarisation_resistance(law, 200.0) == pytest.approx(0.0514 / 200.0, rel=1e-6)


def test_wagner_number() -> None:
    law = LinearPolarisation(resistance=3e-4)
    polarisation = polarisation_resistance(law, 100.0)
    assert wagner_number(conductivity=50.0, polarisation=polarisation, length=0.03) == (
        pytest.approx(0.5)
    )
