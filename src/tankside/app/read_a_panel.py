"""Use case: a test panel, from a person's words to limits, trend and the word on the additive."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from tankside.app.forms import ends_or_none
from tankside.base.arrays import Floats
from tankside.base.errors import BadInput, OutsideValidity
from tankside.base.intervals import Interval
from tankside.base.messages import said
from tankside.base.units import Kind, quantity
from tankside.base.wording import term
from tankside.bath.acid_sulfate import acid_sulfate
from tankside.bath.composition import Composition
from tankside.bath.dosing.additive import Panel
from tankside.diagnosis.known_numbers import BathNumbers
from tankside.diagnosis.panel import (
    USUAL_WAGNER,
    Along,
    Boundary,
    PanelReading,
    PanelTest,
    SlantedCell,
    Trend,
    Zone,
    additive_by,
    cell_named,
    checked_zones,
    compared,
    read_panel,
    wagner_of,
    whole_panel,
    zones_of,
)
from tankside.diagnosis.panel.photo import Proposed, as_picture, proposed_zones

ROOM = 298.15
"""Temperature of a panel's sample where none is told [K]: our guess."""

DOSE_WORDS = {Panel.BRIGHT: "bright", Panel.DULL: "dull", Panel.OVERDOSED: "overdosed"}
"""What `tankside bath dose --panel` takes."""

ADDITIVE_WORDS = {
    Panel.BRIGHT: said("bright where it should be"),
    Panel.DULL: said("dull at the low current end"),
    Panel.OVERDOSED: said("brittle, pitted or banded"),
}


@dataclass(frozen=True, kw_only=True)
class PanelRequest:
    """A panel as typed.

    zones      such as "burnt 0-1.2 cm, bright 1.2-7 cm", from the high-current edge; or those that
               a person named on a photo (Proposed.named), with their own errors
    current    of the cell, with unit
    duration   of plating, with unit or in minutes
    cell       its name
    earlier    zones of earlier panels of the same bath, cell and current
    bath       what is known of the bath, for the Wagner number
    """

    zones: str | tuple[Zone, ...]
    current: str
    duration: str = "5 min"
    cell: str = "267 mL"
    earlier: Sequence[str] = ()
    bath: BathNumbers | None = None


@dataclass(frozen=True, kw_only=True)
class PanelReply:
    """What the panel says; `curve` is the current density along it by both laws."""

    reading: PanelReading
    trend: Trend | None
    additive: Panel
    curve: tuple[Along, ...]
    notes: tuple[str, ...]

    @property
    def sentences(self) -> tuple[str, ...]:
        """All of it in words, with the command that takes the word on the additive."""
        return self._told(self.additive_words)

    @property
    def said(self) -> tuple[str, ...]:
        """All of it in words, for who has no command line."""
        return self._told(said("of the additive: {words}", words=ADDITIVE_WORDS[self.additive]))

    def _told(self, additive: str) -> tuple[str, ...]:
        trend = () if self.trend is None else self.trend.sentences
        return (*self.reading.sentences, *trend, additive, self.laws_words, *self.notes)

    @property
    def laws_words(self) -> str:
        """How far the field and the published formula agree on this panel, as it is."""
        ratios = [
            one.field_over_formula for one in self.curve if one.field_over_formula is not None
        ]
        if not ratios:
            return said(
                "The published formula holds nowhere on this panel; the limits are the field's."
            )
        return said(
            "The field and the published formula agree in the mean and about the middle of "
            "the panel only: their ratio runs from {least} to {most} along it. Each "
            "limit's range spans both.",
            least=f"{min(ratios):.2f}",
            most=f"{max(ratios):.2f}",
        )

    @property
    def additive_words(self) -> str:
        """What the panel says of the additive, and what to tell the doses."""
        return said(
            "of the additive: {words}; for the dose, {command}",
            words=ADDITIVE_WORDS[self.additive],
            command=f"'tankside bath dose ... --panel {DOSE_WORDS[self.additive]}'",
        )

    def as_json(self) -> dict[str, Any]:
        """The panel with the unit in each key."""
        reading = self.reading
        return {
            "cell": reading.test.cell.name,
            "current_A": reading.test.current,
            "wagner_number": ends_or_none(reading.test.wagner),
            "spoilt_above": _limit(reading.burnt_above),
            "bright_up_to": _limit(reading.bright_below),
            "bright_down_to": _limit(reading.bright_above),
            "bare_below": _limit(reading.bare_below),
            "bright": reading.has_bright,
            "additive": DOSE_WORDS[self.additive],
            "trend": None
            if self.trend is None
            else {
                "panels": self.trend.panels,
                "spoilt_ratio": ends_or_none(self.trend.burnt_ratio),
                "bright_ratio": ends_or_none(self.trend.bright_ratio),
                "sentences": list(self.trend.sentences),
            },
            "along": [_along(one) for one in self.curve],
            "notes": list(self.notes),
        }


def read_a_panel(request: PanelRequest) -> PanelReply:
    """Reads the panel. BadInput says which part of which option is not understood."""
    cell = cell_named(request.cell)
    current = quantity(request.current, Kind.CURRENT, where="--panel-current")
    duration = quantity(_in_minutes(request.duration), Kind.TIME, where="--panel-minutes")
    wagner, notes = _wagner(request, cell, current)
    reading = read_panel(_test(request.zones, cell, current, duration, wagner, "--panel"))
    earlier = [
        read_panel(
            _test(
                text,
                cell,
                current,
                duration,
                wagner,
                "--panel-before",
                said("earlier panel {number}", number=number),
            )
        )
        for number, text in enumerate(request.earlier, start=1)
    ]
    return PanelReply(
        reading=reading,
        trend=compared(reading, earlier) if earlier else None,
        additive=additive_by(reading),
        curve=whole_panel(cell, current, wagner),
        notes=(
            *notes,
            said(
                "the cell's dimensions are {dimensions_from}",
                dimensions_from=term(cell.dimensions_from),
            ),
        ),
    )


def read_a_photo(
    pixels: npt.NDArray[np.generic], corners: Sequence[str], cell: str = "267 mL"
) -> Proposed:
    """Zones proposed from a photo for the person to name; `corners` are four texts "column, row"
    in pixels: high-current top, low-current top, low-current bottom, high-current bottom."""
    return proposed_zones(as_picture(pixels), _corners(corners), cell_named(cell))


def told_proposal(proposed: Proposed) -> tuple[str, ...]:
    """The stretches in words, each with where its ends may lie."""
    return tuple(
        f"{_span(one.start)} to {_span(one.end)} cm: lightness {one.lightness:.0f}, redness "
        f"{one.redness:.0f}, roughness {one.roughness:.1f}"
        + (f"; looks {one.proposed}" if one.proposed else "")
        for one in proposed.stretches
    )


def _test(
    zones: str | tuple[Zone, ...],
    cell: SlantedCell,
    current: float,
    duration: float,
    wagner: Interval,
    where: str,
    name: str = said("this panel"),
) -> PanelTest:
    return PanelTest(
        cell=cell,
        current=current,
        duration=duration,
        zones=zones_of(zones, cell, where=where)
        if isinstance(zones, str)
        else checked_zones(zones, cell, where=where),
        wagner=wagner,
        name=name,
    )


def _in_minutes(text: str) -> str:
    """A bare number counts as minutes."""
    return f"{text} min" if text.strip().replace(".", "", 1).isdigit() else text


def _wagner(
    request: PanelRequest, cell: SlantedCell, current: float
) -> tuple[Interval, tuple[str, ...]]:
    """The Wagner number from what is known of the bath, or the usual one, and what to say of it."""
    bath = request.bath
    if bath is None or bath.copper_sulfate_pentahydrate is None or bath.sulfuric_acid is None:
        return USUAL_WAGNER, (
            said("the bath is not known, so the field spans those of common baths"),
        )
    composition = Composition(
        copper_sulfate_pentahydrate=bath.copper_sulfate_pentahydrate.best,
        sulfuric_acid=bath.sulfuric_acid.best,
        chloride=0.0 if bath.chloride is None else bath.chloride.best,
    )
    temperature = ROOM if bath.temperature is None else bath.temperature.best
    try:
        electrolyte = acid_sulfate(composition, temperature, "gentle air")
    except (BadInput, OutsideValidity) as error:
        return USUAL_WAGNER, (
            said("the field spans common baths, since {message}", message=error.message),
        )
    return wagner_of(cell, current, electrolyte), ()


def _corners(texts: Sequence[str]) -> Floats:
    if len(texts) != 4:
        raise BadInput(
            "a panel has four corners, not {count}", count=len(texts), where="--panel-corners"
        )
    try:
        found = np.array([[float(part) for part in text.split(",")] for text in texts])
    except ValueError as error:
        raise BadInput(
            "{text!r} are no corners; write each as column,row in pixels",
            text="; ".join(texts),
            where="--panel-corners",
        ) from error
    if found.shape != (4, 2):
        raise BadInput("a corner is a column and a row in pixels", where="--panel-corners")
    return found


def _limit(boundary: Boundary | None) -> Mapping[str, Any] | None:
    if boundary is None:
        return None
    return {
        "current_density_A_m2": ends_or_none(boundary.current_density),
        "position_m": ends_or_none(boundary.position),
        **_along(boundary.along),
    }


def _along(one: Along) -> dict[str, Any]:
    return {
        "distance_m": one.distance,
        "field_A_m2": ends_or_none(one.field),
        "formula_A_m2": one.formula,
        "field_over_formula": one.field_over_formula,
    }


def _span(place: Interval) -> str:
    low, high = 100 * place.low, 100 * place.high
    return f"{100 * place.best:.2f}" + (f" ({low:.2f} to {high:.2f})" if low < high else "")
