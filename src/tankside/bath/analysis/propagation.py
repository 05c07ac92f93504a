"""How the uncertainty of what was read becomes that of an answer.

Kragten's numerical form of the law of propagation: u² = sum of [(f(x_i + u_i) - f(x_i - u_i)) / 2]²
over inputs that do not depend on each other. Degrees of freedom combine as Welch and Satterthwaite
say, so that a few replicates widen the interval as they should. Refuses an input without a finite
standard deviation.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import inf, isfinite, sqrt

from tankside.base.errors import BadInput


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """A value with its standard deviation, both in one unit, and the degrees of freedom behind it
    (infinite where the standard deviation is known rather than estimated from scatter)."""

    value: float
    std: float = 0.0
    freedom: float = inf

    def __post_init__(self) -> None:
        if not (isfinite(self.value) and isfinite(self.std) and self.std >= 0.0):
            raise BadInput(
                "a measured value is finite and its deviation not negative, as {value} with {std}",
                value=self.value,
                std=self.std,
            )
        if not self.freedom > 0.0:
            raise BadInput("degrees of freedom are above zero, not {freedom}", freedom=self.freedom)

    def scaled(self, factor: float) -> "Measured":
        """This times an exact factor."""
        return Measured(value=self.value * factor, std=self.std * abs(factor), freedom=self.freedom)


def within(value: float, tolerance: float) -> Measured:
    """`value` known to within plus or minus `tolerance`, all places alike (rectangular)."""
    return Measured(value=value, std=tolerance / sqrt(3.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """How much of the answer's variance one input brings [-]."""

    name: str
    fraction: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Propagated:
    """An answer: value, standard deviation, degrees of freedom, and the inputs' shares."""

    value: float
    std: float
    freedom: float
    shares: tuple[Share, ...]

    @property
    def measured(self) -> Measured:
        """The answer as an input of the next law."""
        return Measured(value=self.value, std=self.std, freedom=self.freedom)


def propagated(law: Callable[..., float], inputs: Mapping[str, Measured]) -> Propagated:
    """The value of `law(**inputs)` with its standard deviation; inputs are independent."""
    values = {name: one.value for name, one in inputs.items()}
    effects = {name: _effect(law, values, name, one.std) for name, one in inputs.items()}
    variance = sum(effect**2 for effect in effects.values())
    shares = [
        Share(name=name, fraction=effect**2 / variance if variance else 0.0)
        for name, effect in effects.items()
    ]
    return Propagated(
        value=law(**values),
        std=sqrt(variance),
        freedom=_freedom(variance, inputs, effects),
        shares=tuple(sorted(shares, key=lambda share: -share.fraction)),
    )


def _effect(
    law: Callable[..., float], values: Mapping[str, float], name: str, deviation: float
) -> float:
    """Half the change of the law as one input goes from one deviation below to one above."""
    if deviation == 0.0:
        return 0.0
    upper = law(**{**values, name: values[name] + deviation})
    lower = law(**{**values, name: values[name] - deviation})
    return (upper - lower) / 2.0


def _freedom(
    variance: float, inputs: Mapping[str, Measured], effects: Mapping[str, float]
) -> float:
    """Welch and Satterthwaite's effective degrees of freedom [-]."""
    lost = sum(effects[name] ** 4 / one.freedom for name, one in inputs.items())
    return variance**2 / lost if lost else inf
