"""How much bath went into the flask: by pipette, by scale, or as part of a dilution."""

from dataclasses import dataclass

from tankside.base.errors import BadInput
from tankside.base.messages import Quantity, said
from tankside.base.wording import term
from tankside.bath.analysis.instruments import Volumetric
from tankside.bath.analysis.propagation import Measured, propagated

_ML = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """Bath in one flask: its volume [m³] with deviation, and how it was taken, in words."""

    volume: Measured
    words: str

    def __post_init__(self) -> None:
        if not self.volume.value > 0.0:
            raise BadInput(
                "a sample has a volume above zero, not {volume} m³", volume=self.volume.value
            )


def taken_with(pipette: Volumetric, volume: float | None = None) -> Sample:
    """Undiluted bath by a pipette or syringe, its capacity unless another volume [m³] is given."""
    measured = pipette.measured(volume)
    return Sample(
        volume=measured,
        words=said(
            "{volume} of bath by {pipette}",
            volume=Quantity(measured.value, "mL", 6),
            pipette=term(pipette.words),
        ),
    )


def weighed_out(mass: Measured, density: Measured) -> Sample:
    """Bath that was weighed [kg], of a known density [kg m⁻³]: a cheap scale beats a syringe."""
    found = propagated(lambda m, rho: m / rho, {"m": mass, "rho": density})
    words = said(
        "{mass} of bath by weight ({volume})",
        mass=Quantity(mass.value, "g", 4),
        volume=Quantity(found.value, "mL"),
    )
    return Sample(volume=found.measured, words=words)


def diluted(first: Volumetric, flask: Volumetric, second: Volumetric) -> Sample:
    """Bath by `first` made up to `flask`, of which `second` was taken."""
    if first.capacity >= flask.capacity:
        raise BadInput(
            "{pipette} do not fit a flask of {flask} with water added; take a smaller "
            "pipette or a larger flask",
            pipette=Quantity(first.capacity, "mL", 6),
            flask=Quantity(flask.capacity, "mL", 6),
        )
    inputs = {"a": first.measured(), "b": flask.measured()}
    if second == first:  # one pipette is wrong by the same amount both times
        found = propagated(lambda a, b: a * a / b, inputs)
    else:
        found = propagated(lambda a, b, c: a * c / b, inputs | {"c": second.measured()})
    words = said(
        "{taken} of thinned bath ({bath} made up to {flask})",
        taken=Quantity(second.capacity, "mL", 6),
        bath=Quantity(first.capacity, "mL", 6),
        flask=Quantity(flask.capacity, "mL", 6),
    )
    return Sample(volume=found.measured, words=words)
