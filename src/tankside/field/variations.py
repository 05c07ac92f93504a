"""The numbers that a field leans on, and how a problem looks when one of them is another.

Each variation multiplies one number wherever the problem holds it: the exchange current density of
copper, for instance, in the cathodes' law and in the anodes'.
"""

from collections.abc import Callable
from dataclasses import dataclass, fields, is_dataclass, replace
from math import exp
from typing import Any

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.field.kinetics.hydrogen import Hydrogen
from tankside.field.problem import Electrode, FieldProblem

Varied = Callable[[FieldProblem, float], FieldProblem]
"""The problem with one number multiplied by exp(change)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Variation:
    """A number with its interval and what it does.

    name                in sentences, such as "the bath's conductivity"
    interval            only its ends over its best guess matter
    varied              problem, change of the logarithm -> problem
    thickness_exponent  thickness at given copper current also goes as this power of the number
    """

    name: str
    interval: Interval
    varied: Varied
    thickness_exponent: float = 0.0


def of_conductivity(interval: Interval) -> Variation:
    """The bath's conductivity."""

    def varied(problem: FieldProblem, change: float) -> FieldProblem:
        return replace(problem, conductivity=problem.conductivity * exp(change))

    return Variation(name="the bath's conductivity", interval=interval, varied=varied)


def of_copper(parameter: str, interval: Interval, *, name: str, power: float = 1.0) -> Variation:
    """A field of copper's rate laws, by its name there, on all electrodes; the field goes as the
    number to the `power` (the limit goes as the boundary layer to the power -1)."""
    return _of_laws(parameter, interval, name, power, hydrogen=False)


def of_hydrogen(parameter: str, interval: Interval, *, name: str) -> Variation:
    """A field of hydrogen's rate law, by its name there."""
    return _of_laws(parameter, interval, name, 1.0, hydrogen=True)


def of_boundary_layer(interval: Interval) -> Variation:
    """The diffusion layer's thickness: copper's limit goes as its inverse."""
    return of_copper("limiting_current_density", interval, name="the boundary layer", power=-1.0)


def of_area(interval: Interval) -> Variation:
    """The cathodes' true wet area over the panels' (layer lines, texture, unsure scale): currents
    of the rate laws go with it, thickness at given current against it."""

    def varied(problem: FieldProblem, change: float) -> FieldProblem:
        factor, electrodes = exp(change), []
        for electrode in problem.electrodes:
            law: Any = electrode.law
            if not electrode.anode:
                for parameter, power in _AREAL.items():
                    for hydrogen in (False, True):
                        law, _ = _scaled(law, parameter, factor**power, hydrogen=hydrogen)
            electrodes.append(replace(electrode, law=law))
        return replace(problem, electrodes=tuple(electrodes))

    return Variation(
        name="the cathodes' area", interval=interval, varied=varied, thickness_exponent=-1.0
    )


_AREAL = {"exchange_current_density": 1.0, "limiting_current_density": 1.0, "resistance": -1.0}
"""Fields of rate laws that go with a power of the true area."""


def _of_laws(
    parameter: str, interval: Interval, name: str, power: float, *, hydrogen: bool
) -> Variation:
    def varied(problem: FieldProblem, change: float) -> FieldProblem:
        factor, touched, electrodes = exp(power * change), 0, list[Electrode]()
        for electrode in problem.electrodes:
            law, count = _scaled(electrode.law, parameter, factor, hydrogen=hydrogen)
            electrodes.append(replace(electrode, law=law))
            touched += count
        if not touched:
            raise BadInput(
                "no electrode's law has a {parameter} to vary",
                parameter=parameter.replace("_", " "),
            )
        return replace(problem, electrodes=tuple(electrodes))

    return Variation(name=name, interval=interval, varied=varied)


def _scaled(law: Any, parameter: str, factor: float, *, hydrogen: bool) -> tuple[Any, int]:
    """(the law with `parameter` times factor, in it and in the laws it is made of; how many)."""
    changes, count = {}, 0
    for entry in fields(law):
        value = getattr(law, entry.name)
        if is_dataclass(value):
            changes[entry.name], inner = _scaled(value, parameter, factor, hydrogen=hydrogen)
            count += inner
        elif entry.name == parameter and isinstance(law, Hydrogen) is hydrogen:
            changes[entry.name] = value * factor
            count += 1
    return (replace(law, **changes) if changes else law), count
