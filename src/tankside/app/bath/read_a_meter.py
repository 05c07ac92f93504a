"""Use cases of meters: density by hydrometer, pH and conductivity by meter, each with its doubts.

A density alone never parts copper from acid: it gives a line of pairs; with one of the two it gives
the other.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from tankside.app.bath.borders import within_laws
from tankside.app.bath.entries import concentration_range
from tankside.app.bath.forms import finding_row
from tankside.base.errors import BadInput, UnknownName
from tankside.base.units import Kind, quantity, spread
from tankside.bath.analysis.conductivity_meter import (
    CellCheck,
    ConductivityMeter,
    conductivity_by_meter,
)
from tankside.bath.analysis.density_line import DensityLine, acid_from, copper_from, density_line
from tankside.bath.analysis.finding import Finding
from tankside.bath.analysis.hydrometer import Hydrometer, Mark, density_by_hydrometer
from tankside.bath.analysis.ph_meter import BufferReading, Shows, ph_by_meter
from tankside.substances import molar_mass

SCALES = {
    "density": (Mark.DENSITY, "0.002 g/mL"),
    "specific-gravity": (Mark.SPECIFIC_GRAVITY, "0.002"),
    "baume-us": (Mark.BAUME_US, "0.2"),
    "baume-rational": (Mark.BAUME_RATIONAL, "0.2"),
}
"""Scales of hydrometers, each with the division that is usual: common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DensityRequest:
    """A hydrometer's reading as typed.

    shown        "1.182 g/mL", or a plain number of another scale
    copper, acid one of the two, to find the other; "" for neither
    """

    shown: str
    temperature: str
    scale: str = "density"
    division: str = ""
    calibrated: str = "20 degC"
    plastic: bool = False
    copper: str = ""
    acid: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DensityReply:
    """The density, the pairs that have it, and what follows of copper or acid where one is known;
    `note` says why there are no pairs."""

    finding: Finding
    line: DensityLine | None
    other: Finding | None
    note: str = ""

    def as_json(self) -> dict[str, Any]:
        """All of it with SI numbers."""
        return {
            "density": dict(finding_row(self.finding)),
            "line": None
            if self.line is None
            else {
                "copper_sulfate_pentahydrate_kg_m3": [
                    float(one) for one in self.line.copper_sulfate_pentahydrate
                ],
                "sulfuric_acid_kg_m3": [float(one) for one in self.line.sulfuric_acid],
                "half_width_kg_m3": self.line.half_width,
            },
            "other": None if self.other is None else dict(finding_row(self.other)),
            "note": self.note,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class PHRequest:
    """A pH meter's reading, and what it showed in its buffers ("4.01=4.05" each), as typed."""

    shown: str
    buffers: Sequence[str]
    temperature: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ConductivityRequest:
    """A conductivity meter's reading as typed, and what it showed in a standard."""

    shown: str
    temperature: str
    full_scale: str
    standard: str
    standard_shown: str
    standard_temperature: str = "25 degC"
    compensates: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterReply:
    """What a meter found."""

    finding: Finding

    def as_json(self) -> dict[str, Any]:
        """All of it with SI numbers."""
        return dict(finding_row(self.finding))


@within_laws
def read_density(request: DensityRequest) -> DensityReply:
    """The density, and what it says of copper and acid."""
    if request.scale not in SCALES:
        raise UnknownName("hydrometer's scale", request.scale, SCALES, where="--scale")
    if request.copper and request.acid:
        raise BadInput("give --copper or --acid, to find the other from the density",
                       where="density")  # fmt: skip
    mark, usual = SCALES[request.scale]
    finding = density_by_hydrometer(
        _on_scale(request.shown, mark, "reading"),
        quantity(request.temperature, Kind.TEMPERATURE, where="--temperature"),
        Hydrometer(
            mark=mark,
            division=_on_scale(request.division or usual, mark, "--division"),
            calibration_temperature=quantity(request.calibrated, Kind.TEMPERATURE,
                                             where="--calibrated"),
            glass=not request.plastic,
        ),
    )  # fmt: skip
    if request.copper:
        known = _known("copper", request.copper, "--copper", "Cu")
        return DensityReply(finding=finding, line=None, other=acid_from(finding, known))
    if request.acid:
        known = _known("sulfuric_acid", request.acid, "--acid", "H2SO4")
        return DensityReply(finding=finding, line=None, other=copper_from(finding, known))
    return DensityReply(finding=finding, line=density_line(finding), other=None)


@within_laws
def read_ph(request: PHRequest) -> MeterReply:
    """The pH of a weak-acid bath."""
    shows, read = Shows.PH, _plain
    if request.shown.strip().lower().endswith("v"):
        shows, read = Shows.POTENTIAL, _volts
    buffers = []
    for text in request.buffers:
        value, equals, shown = text.partition("=")
        if not equals:
            raise BadInput(
                "{text!r} is no buffer; write '4.01=4.05': its pH, then what the meter showed in "
                "it",
                text=text,
                where="--buffer",
            )
        buffers.append(
            BufferReading(buffer=_plain(value, "--buffer"), shown=read(shown, "--buffer"))
        )
    return MeterReply(
        finding=ph_by_meter(
            read(request.shown, "reading"),
            buffers,
            quantity(request.temperature, Kind.TEMPERATURE, where="--temperature"),
            shows=shows,
        )
    )


@within_laws
def read_conductivity(request: ConductivityRequest) -> MeterReply:
    """The conductivity of an undiluted bath."""
    return MeterReply(
        finding=conductivity_by_meter(
            quantity(request.shown, Kind.CONDUCTIVITY, where="reading"),
            quantity(request.temperature, Kind.TEMPERATURE, where="--temperature"),
            ConductivityMeter(
                full_scale=quantity(request.full_scale, Kind.CONDUCTIVITY, where="--full-scale"),
                compensates=request.compensates,
            ),
            CellCheck(
                standard=request.standard,
                shown=_above_zero(request.standard_shown),
                temperature=quantity(request.standard_temperature, Kind.TEMPERATURE,
                                     where="--standard-temperature"),
            ),
        )
    )  # fmt: skip


def _above_zero(text: str) -> float:
    shown = quantity(text, Kind.CONDUCTIVITY, where="--standard-shown")
    if shown <= 0.0:
        raise BadInput(
            "{text!r}: a meter in a standard shows more than nothing",
            text=text,
            where="--standard-shown",
        )
    return shown


def _known(name: str, text: str, where: str, formula: str) -> Finding:
    value = concentration_range(text, where=where, molar_mass=molar_mass(formula))
    if not value.high > value.low:
        raise BadInput("say how sure {text!r} is, such as '52 ± 2 g/L'", text=text, where=where)
    return Finding(
        quantity=name,
        value=value,
        std=value.deviation,
        method=f"{name.replace('_', ' ')} as typed",
    )


def _on_scale(text: str, mark: Mark, where: str) -> float:
    """A reading in the scale's unit."""
    if mark is Mark.DENSITY:
        return quantity(text, Kind.DENSITY, where=where)
    return _plain(text, where)


def _plain(text: str, where: str) -> float:
    written = spread(text, where=where)
    if written.unit or written.stated:
        raise BadInput("{text!r} is no plain number of this scale", text=text, where=where)
    return written.value.best


def _volts(text: str, where: str) -> float:
    return quantity(text, Kind.VOLTAGE, where=where)
