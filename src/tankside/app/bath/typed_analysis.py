"""What titrations are typed as: runs, samples, titrants, each with its sentence where it cannot be.

A run is "17.35 mL" or "0.40-17.75 mL"; a sample is taken with an instrument, diluted by way of a
flask, or weighed; a titrant is as its label says, aged, or set against a standard.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from tankside.app.bath.entries import ranged, sized
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.units import Kind, quantity, spread
from tankside.bath.analysis.instruments import Volumetric, instrument, scale
from tankside.bath.analysis.propagation import Measured
from tankside.bath.analysis.runs import Run
from tankside.bath.analysis.samples import Sample, diluted, taken_with, weighed_out
from tankside.bath.analysis.standardisation import standard, standardised
from tankside.bath.analysis.titrants import STRENGTH_RANGE, Titrant, aged, bought, titrant_kind

LEAST_SAMPLE = 1e-8
"""Bath below which no sample is believed [m³]: a hundredth of a millilitre, our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedTitrant:
    """A bottle of titrant as typed.

    strength     "0.1 mol/L"; "" for the usual
    tolerance    of the label, "1 %"
    age          in its bottle, "3 months"; "" for fresh
    standard     what it was set against; with `masses` weighed on `scale` and the `runs` that took
                 them, "" where the label is believed
    """

    strength: str = ""
    tolerance: str = "1 %"
    age: str = ""
    standard: str = ""
    masses: Sequence[str] = ()
    runs: Sequence[str] = ()
    scale: str = "pocket scale 0.001 g"


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedSample:
    """Bath in one flask as typed: `volume` with `pipette`; or `diluted` (first pipette, flask,
    second pipette, by their names); or `mass` of it, on `scale`, at a `density`."""

    volume: str = ""
    pipette: str = ""
    diluted: Sequence[str] = ()
    mass: str = ""
    scale: str = "pocket scale 0.01 g"
    density: str = ""


def runs_of(texts: Sequence[str], *, where: str = "run") -> tuple[Run, ...]:
    """Runs as typed."""
    return tuple(_run(text, f"{where} {number}") for number, text in enumerate(texts, start=1))


def titrant_of(typed: TypedTitrant, name: str, burette: Volumetric, *, sure: bool) -> Titrant:
    """The titrant of a kind."""
    kind = titrant_kind(name)
    strength = kind.usual_strength
    if typed.strength:
        strength = sized(
            quantity(typed.strength, Kind.AMOUNT_CONCENTRATION, where="--titrant"),
            typed.strength, Kind.AMOUNT_CONCENTRATION, zero=False, where="--titrant",
        )  # fmt: skip
    low, high = STRENGTH_RANGE
    if not low <= strength <= high:
        raise BadInput(
            "a titrant holds {low:g} to {high:g} mol/L, not {strength}",
            low=low / 1e3,
            high=high / 1e3,
            strength=typed.strength,
            where="--titrant",
        )
    if typed.standard:
        label = strength if typed.strength else None
        return _set_against(typed, name, burette, label, sure)
    tolerance = quantity(typed.tolerance, Kind.FRACTION, where="--tolerance")
    fresh = bought(name, strength, tolerance)
    if not typed.age:
        return fresh
    age = sized(quantity(typed.age, Kind.TIME, where="--age"), typed.age, Kind.TIME, zero=True,
                where="--age")  # fmt: skip
    return aged(fresh, age)


def sample_of(typed: TypedSample) -> Sample:
    """The sample as it was taken; BadInput for one that no bench can take."""
    found = _taken(typed)
    if found.volume.value < LEAST_SAMPLE:
        raise BadInput(
            "so little bath cannot be measured; take a millilitre or more, thinned if need be",
            where="--sample",
        )
    return found


def _taken(typed: TypedSample) -> Sample:
    if typed.diluted:
        if len(typed.diluted) != 3:
            raise BadInput("name the first pipette, the flask and the second pipette",
                           where="--diluted")  # fmt: skip
        first, flask, second = (instrument(name) for name in typed.diluted)
        return diluted(first, flask, second)
    if typed.mass:
        if not typed.density:
            raise BadInput("a weighed sample needs the bath's --bath-density", where="--weighed")
        mass = quantity(typed.mass, Kind.MASS, where="--weighed")
        return weighed_out(scale(typed.scale).weighed(mass),
                           measured_text(typed.density, Kind.DENSITY,
                                         where="--bath-density"))  # fmt: skip
    if not typed.volume and not typed.pipette:
        raise BadInput("say how much bath was in the flask, such as --sample '2 mL'",
                       where="--sample")  # fmt: skip
    volume = None
    if typed.volume:
        volume = sized(quantity(typed.volume, Kind.VOLUME, where="--sample"), typed.volume,
                       Kind.VOLUME, zero=False, where="--sample")  # fmt: skip
    return taken_with(instrument(typed.pipette or _usual_pipette(volume)), volume)


def measured_text(text: str, kind: Kind, *, where: str) -> Measured:
    """A value as typed with its spread, nine in ten, as a value with its deviation."""
    return measured_interval(ranged(text, lambda one: quantity(one, kind, where=where),
                                    where=where))  # fmt: skip


def measured_interval(value: Interval) -> Measured:
    """An interval, nine in ten, as a value with its deviation."""
    return Measured(value=value.best, std=value.deviation)


def _usual_pipette(volume: float | None) -> str:
    """The smallest syringe that holds the volume, or the bulb pipette of just that."""
    millilitres = 0.0 if volume is None else volume * 1e6
    for size in (1.0, 2.0, 5.0, 10.0, 25.0, 50.0):
        if abs(millilitres - size) < 1e-9:
            return f"pipette {size:g} mL class B"
    fitting = [size for size in (1.0, 5.0, 10.0, 20.0, 60.0) if size >= millilitres]
    if not fitting:
        raise BadInput(
            "{millilitres:g} mL is more than any pipette or syringe here takes",
            millilitres=millilitres,
            where="--sample",
        )
    return f"syringe {fitting[0]:g} mL"


def _run(text: str, where: str) -> Run:
    """A run: how much ran out, or the burette before and after."""
    written = spread(text, where=where)
    if written.least or written.most:
        raise BadInput(
            "{text!r} is no reading; write '17.35 mL' or '0.40-17.75 mL'", text=text, where=where
        )
    if written.stated:
        if "±" in text or "+" in text:
            raise BadInput(
                "{text!r}: leave the ± out, the burette's own error is known",
                text=text,
                where=where,
            )
        start, end = (
            quantity(f"{end!r} {written.unit}", Kind.VOLUME, where=where)
            for end in (written.value.low, written.value.high)
        )
        return Run(start=start, end=end)
    return Run(end=quantity(text, Kind.VOLUME, where=where))


def _set_against(
    typed: TypedTitrant, name: str, burette: Volumetric, label: float | None, sure: bool
) -> Titrant:
    held = standard(typed.standard, name)
    masses = [
        scale(typed.scale).weighed(quantity(one, Kind.MASS, where="--standard-mass"))
        for one in typed.masses
    ]
    runs = runs_of(typed.runs, where="--standard-run")
    if not masses or not runs:
        raise BadInput(
            "setting {name} against {held} takes its mass and the run that it took; add "
            "--standard-mass and --standard-run",
            name=name,
            held=held.name,
            where="--standard",
        )
    mass = masses[0] if len(masses) == 1 else masses
    return standardised(held, mass, runs, burette, label=label, sure=sure)
