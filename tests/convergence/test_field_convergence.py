"""Rates: how errors fall as panels and time steps are refined, against closed forms."""

from collections.abc import Callable
from dataclasses import replace
from math import inf

import numpy as np
import pytest

from tankside.base.arrays import Floats
from tankside.field.dense import dense_operators
from tankside.field.deposit import Segment, StepControl
from tankside.field.growth import grow
from tankside.field.kinetics import LinearPolarisation
from tankside.field.newton import Accuracy
from tankside.field.panels import Panels
from tankside.field.problem import Electrode, FieldProblem
from tankside.validation.closed_forms import (
    cylinders_rms,
    disc_centre,
    disc_resistance,
    spheres_largest,
    spheres_rms,
    spheres_voltage,
)
from tankside.validation.closed_shapes import box


def rate(sizes: list[int], errors: list[float]) -> float:
    """Slope of -log(error) against log(panels along a side)."""
    return -float(np.polyfit(np.log(sizes), np.log(errors), 1)[0])


def test_voltage_of_spheres_converges_quadratically() -> None:
    sizes = [4, 6, 8, 11]
    errors = [abs(spheres_voltage(n, 1.0) - 1) for n in sizes]
    assert errors == sorted(errors, reverse=True)
    assert 1.6 < rate(sizes, errors) < 2.6


def test_local_current_of_spheres_converges() -> None:
    sizes = [4, 6, 8, 11]
    errors = [spheres_rms(n, 1.0) for n in sizes]
    assert errors == sorted(errors, reverse=True)
    assert rate(sizes, errors) > 1.3


@pytest.mark.slow
def test_smooth_cells_at_ten_thousand_panels() -> None:
    """Linear kinetics: local current within 0.5 % rms and 1 % at most, the total within 0.1 %."""
    assert spheres_rms(16, 1.0) < 0.005
    assert spheres_largest(16, 1.0) < 0.01
    assert spheres_voltage(16, 1.0) == pytest.approx(1, abs=1e-3)
    assert cylinders_rms(64, 1.0) < 0.005


def test_resistance_of_the_disc_converges_faster_than_the_first_order() -> None:
    """Its edge is singular; rings that are finer there make up for it."""
    sizes = [8, 12, 16, 20]
    errors = [disc_resistance(n) - 1 for n in sizes]
    assert errors == sorted(errors, reverse=True)
    assert min(errors) > 0
    assert rate(sizes, errors) > 1.2


def test_current_at_the_centre_of_the_disc_converges() -> None:
    sizes = [8, 12, 16, 20]
    errors = [abs(disc_centre(n) / 0.5 - 1) for n in sizes]
    assert errors == sorted(errors, reverse=True)
    assert rate(sizes, errors) > 1.2


class Film:
    """A resistance of the cathode's metal that its own deposit thins: R0 / (1 + h / h0)."""

    def __init__(self, panels: Panels, resistance: float, scale: float, now: float) -> None:
        self.cathode, self.areas = panels.group == 1, panels.areas
        self.panels, self.resistance, self.scale, self.now = panels, resistance, scale, now

    def drop(self, current_density: Floats) -> Floats:
        current = float((self.areas * current_density)[self.cathode].sum())
        return np.where(self.cathode, self.now * current, 0.0)

    def reacting(self, response: Floats) -> Callable[[Floats], Floats]:
        weakened = 1.0 + self.now * float((self.areas * response)[self.cathode].sum())
        return lambda current_density: self.drop(current_density) / weakened

    def grown(self, thickness: Floats) -> "Film":
        mean = float(np.average(thickness[self.cathode], weights=self.areas[self.cathode]))
        now = self.resistance / (1.0 + mean / self.scale)
        return Film(self.panels, self.resistance, self.scale, now)


EXACT = Accuracy(residual=1e-10)
"""Of fields whose own error is not to show beside that of the steps."""


def test_growth_is_of_second_order_in_the_step() -> None:
    """At a held voltage a cell of resistance r grows h with a t = r h + R0 h0 ln(1 + h / h0): the
    time that the computed thickness should have taken, against the time that it was given."""
    across = np.linspace(0, 0.04, 4)
    faces = box(np.linspace(0, 0.08, 5), across, across)
    panels = Panels(
        corners=np.concatenate(list(faces.values())),
        group=np.concatenate(
            [np.full(len(f), {"x+": 1, "x-": 2}.get(name, 0)) for name, f in faces.items()]
        ),
    )
    law = LinearPolarisation(resistance=1e-3)
    plain = FieldProblem(
        panels=panels,
        conductivity=50.0,
        electrodes=tuple(Electrode(group=k, anode=k == 2, law=law) for k in (1, 2)),
        total_current=inf,
        voltage_limit=1.0,
    )
    operators = dense_operators(panels)
    cathode, scale, seconds = panels.group == 1, 2e-7, 80.0
    bare = grow(plain, [Segment(duration=1.0, current=inf)], operators)
    speed = float(np.average(bare.thickness[cathode], weights=panels.areas[cathode]))
    resistance = 1.0 / bare.solution.supply_current
    film = Film(panels, 10 * resistance, scale, 10 * resistance)

    def error(control: StepControl) -> float:
        recipe = [Segment(duration=seconds, current=inf)]
        growth = grow(
            replace(plain, metal=film), recipe, operators, control=control, accuracy=EXACT
        )
        h = float(np.average(growth.thickness[cathode], weights=panels.areas[cathode]))
        return abs((h + 10 * scale * np.log1p(h / scale)) / speed / seconds - 1)

    steps = [20.0, 10.0, 5.0, 2.5]
    errors = [error(StepControl(relative=inf, first_step=s, longest_step=s)) for s in steps]
    assert errors == sorted(errors, reverse=True)
    assert 1.5 < rate([1, 2, 4, 8], errors) < 2.6
    controlled = [error(StepControl(relative=r, absolute=1e-14)) for r in (0.05, 1e-5)]
    assert controlled[1] < controlled[0] / 5
    assert controlled[1] < 1e-3
