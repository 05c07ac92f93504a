"""Use case: what a shop's own tests say of its cell, and a bath narrowed by them.

The tests stand in a TOML file, in the order in which they were made, every value with its unit:

    [[burning]]
    name = "coupon, 2 March"
    good = "3 A/dm^2"
    burnt = "3.5 A/dm^2"

and likewise [[bent]], [[throwing]], [[sweep]], [[strip]], [[audit]].
"""

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Any, Self

import numpy as np
from pydantic import Field, ValidationError, model_validator

from tankside.app.forms import ends
from tankside.app.job.fields import (
    Current,
    CurrentDensity,
    Length,
    Mass,
    Resistance,
    SheetResistance,
    Table,
    Voltage,
)
from tankside.app.job.reading import sentence_of
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.wording import quoting
from tankside.bath.electrolyte import Electrolyte
from tankside.plan import shop_tests as tests
from tankside.plan.bent_strip import BentStripTest, of_bent_strip
from tankside.plan.shop_tests import COAT, EFFICIENCY
from tankside.runs.calibration import Learned, Observation, Shop, learned


class Burning(Table):
    """A coupon under a rising current."""

    name: str
    good: CurrentDensity
    burnt: CurrentDensity


class Bent(Table):
    """A strip bent square in a trough three times as long as the liquid is deep, half of it on the
    floor with its tip to the anode: how far from the tip it burnt."""

    name: str
    current: Current
    width: Length
    depth: Length
    burnt: Length
    reading: Length = 0.0015


class Throwing(Table):
    """Two plates at two distances from one anode."""

    name: str
    near_gain: Mass
    far_gain: Mass
    near: Length
    far: Length
    current_density: CurrentDensity
    scale: Mass


class Sweep(Table):
    """Readings [current, voltage] between two copper plates in a trough that they fill."""

    name: str
    gap: Length
    plate: tuple[Length, Length]
    readings: Annotated[tuple[tuple[Current, Voltage], ...], Field(min_length=2)]
    leads: Resistance = 0.0
    meter: Voltage = 0.005


class Strip(Table):
    """A painted strip between two clips."""

    name: str
    resistance: SheetResistance
    length: Length
    width: Length
    error: float = Field(default=0.1, gt=0.0, lt=1.0)


class Audited(Table):
    """Copper's share of the current in a run that was audited: low, best, high."""

    name: str
    efficiency: tuple[float, float, float]

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        low, best, high = self.efficiency
        if not 0.0 < low <= best <= high <= 1.2:
            raise ValueError("efficiency is low, best and high, each above 0 and at most 1.2")
        return self


class ShopTests(Table):
    """All tests of a shop."""

    burning: tuple[Burning, ...] = ()
    bent: tuple[Bent, ...] = ()
    throwing: tuple[Throwing, ...] = ()
    sweep: tuple[Sweep, ...] = ()
    strip: tuple[Strip, ...] = ()
    audit: tuple[Audited, ...] = ()


@dataclass(frozen=True, kw_only=True)
class ShopReply:
    """What was believed before any test, what is known after all, and in sentences."""

    before: Shop
    learned: Learned
    tests: int

    @property
    def sentences(self) -> tuple[str, ...]:
        """What is known better, and which tests contradict what was believed."""
        odd = (
            quoting("The test {name!r} contradicts what was believed; look at it again.", name=name)
            for name in self.learned.surprising
        )
        return (*tests.told(self.learned.shop, self.before), *odd)

    def as_json(self) -> Mapping[str, Any]:
        """Factors on the tables' values, before and after."""
        return {
            "tests": self.tests,
            "factors": {
                name: {
                    "before": ends(self.before.factor(name)),
                    "after": ends(self.learned.shop.factor(name)),
                }
                for name in self.before.names
            },
            "chances": self.learned.chances,
            "surprising": list(self.learned.surprising),
        }

    def text(self) -> str:
        """A table and the sentences, for a terminal."""
        lines = [f"{self.tests} tests. Factors on the tables' values, nine times in ten:"]
        for name in self.before.names:
            was, now = self.before.factor(name), self.learned.shop.factor(name)
            lines.append(
                f"  {name.replace('_', ' '):26} {was.low:6.2f} to {was.high:6.2f}   now "
                f"{now.best:5.2f} ({now.low:.2f} to {now.high:.2f})"
            )
        return "\n".join([*lines, *self.sentences]) + "\n"


def know_a_shop(
    text: str, name: str, electrolyte: Electrolyte, more: Sequence[Observation] = ()
) -> ShopReply:
    """What the tests in a file teach of a shop that works with such a bath, with `more` that was
    observed; BadInput, placed in the file, where one cannot be read."""
    held = _read(text, name)
    before = tests.shop_before(electrolyte, COAT, EFFICIENCY)
    observations = [*(_placed(one, electrolyte, name) for one in _all(held)), *more]
    names = [one.name for one in observations]
    doubles = sorted({one for one in names if names.count(one) > 1})
    if doubles:
        raise BadInput("two tests are named {name!r}; name them apart", name=doubles[0], where=name)
    return ShopReply(before=before, learned=learned(before, observations), tests=len(observations))


def know_a_shop_of(
    *,
    tests_text: str,
    tests_name: str,
    job_text: str,
    job_name: str,
    more: Sequence[Observation] = (),
) -> ShopReply:
    """The same, for the bath of a job file."""
    from tankside.app.job.baths import electrolyte_of
    from tankside.app.job.reading import read_job
    from tankside.bath.boundary_layer import DEFAULT_HEIGHT

    bath = read_job(job_text, name=job_name).bath
    electrolyte = electrolyte_of(bath, height=DEFAULT_HEIGHT)
    return know_a_shop(tests_text, tests_name, electrolyte, more)


def narrowed(text: str, name: str, electrolyte: Electrolyte) -> Electrolyte:
    """The bath with this shop's own numbers."""
    return tests.calibrated(electrolyte, know_a_shop(text, name, electrolyte).learned.shop)


def _read(text: str, name: str) -> ShopTests:
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadInput("not a TOML file: {error}", error=error, where=name) from error
    try:
        return ShopTests.model_validate(tables)
    except ValidationError as error:
        raise sentence_of(error, tables, name, model=ShopTests) from error


def _all(held: ShopTests) -> tuple[Table, ...]:
    return (*held.burning, *held.bent, *held.throwing, *held.sweep, *held.strip, *held.audit)


def _placed(one: Table, electrolyte: Electrolyte, name: str) -> Observation:
    try:
        return _observation(one, electrolyte)
    except BadInput as error:
        raise BadInput(error.message, where=f"{name}: {error.where}") from error


def _observation(one: Table, electrolyte: Electrolyte) -> Observation:
    match one:
        case Burning():
            test = tests.BurningTest(good=one.good, burnt=one.burnt)
            return tests.of_burning(test, electrolyte, name=one.name)
        case Bent():
            strip = BentStripTest(
                current=one.current,
                width=one.width,
                depth=one.depth,
                burnt=one.burnt,
                reading=one.reading,
            )
            return of_bent_strip(strip, electrolyte, name=one.name)
        case Throwing():
            return tests.of_throwing(
                tests.ThrowingTest(
                    near_gain=one.near_gain,
                    far_gain=one.far_gain,
                    near=one.near,
                    far=one.far,
                    mean_current_density=one.current_density,
                    scale=one.scale,
                ),
                electrolyte,
                name=one.name,
            )
        case Sweep():
            area = one.plate[0] * one.plate[1]
            sweep = tests.Sweep(
                current_density=np.array([current / area for current, _ in one.readings]),
                voltage=np.array([voltage for _, voltage in one.readings]),
                gap=one.gap,
                leads=one.leads * area,
                error=one.meter,
            )
            return tests.of_sweep(sweep, electrolyte, name=one.name)
        case Strip():
            painted = tests.StripTest(
                resistance=one.resistance, length=one.length, width=one.width, error=one.error
            )
            return tests.of_strip(painted, COAT.best, name=one.name)
        case Audited():
            return tests.of_audit(Interval(*one.efficiency), EFFICIENCY.best, name=one.name)
        case _:
            raise TypeError(f"no test is a {type(one).__name__}")
