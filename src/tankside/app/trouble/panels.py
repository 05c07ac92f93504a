"""Use cases: a test panel read at the workplace, from typed zones or a photo, kept with its bath
and compared with the earlier panels of that bath.

A kept panel is an audit in the store: what was measured are its zones as typed, what was found is
what they say. Panels of the same bath, cell and current are compared.
"""

import tempfile
from dataclasses import dataclass
from datetime import datetime
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING

from tankside.app.keep.naming import free_name
from tankside.app.read_a_panel import PanelReply, PanelRequest, read_a_panel, read_a_photo
from tankside.app.store_records import AuditRecord, Document, Kept
from tankside.app.trouble.known import bath_numbers
from tankside.base.errors import BadInput
from tankside.base.units import Kind, in_unit, quantity
from tankside.diagnosis.panel import Look, cell_named, cells
from tankside.diagnosis.panel.photo import Proposed

if TYPE_CHECKING:
    from tankside.app.store_ports import Store
    from tankside.app.work.workplace import Workplace
    from tankside.diagnosis.known_numbers import BathNumbers

LARGEST_PHOTO = 30 * 2**20
"""Of an upload [bytes]; a phone's photo is a tenth of it."""

_PANEL = "panel"


@dataclass(frozen=True, kw_only=True)
class PanelTyped:
    """A panel as typed; `bath` is the id of the stored bath that it was taken of, or ""."""

    zones: str
    current: str
    duration: str = "5 min"
    cell: str = "267 mL"
    bath: str = ""


def looks() -> tuple[str, ...]:
    """Words for how a zone looks."""
    return tuple(one.value for one in Look)


def cell_names() -> tuple[str, ...]:
    """Names of the test cells."""
    return tuple(cells())


def panel_request(
    store: "Store", typed: PanelTyped, numbers: "BathNumbers | None" = None
) -> PanelRequest:
    """The panel with the earlier ones of its bath."""
    return PanelRequest(
        zones=typed.zones,
        current=typed.current,
        duration=typed.duration,
        cell=typed.cell,
        earlier=tuple(one["zones"] for one in earlier_panels(store, typed)),
        bath=numbers,
    )


def panel_of(place: "Workplace", typed: PanelTyped) -> PanelReply:
    """What a panel says, by what is known of its bath, beside the earlier ones."""
    numbers = None
    if typed.bath and place.store.ledger(place.store.baths.find(typed.bath).id):
        _, numbers = bath_numbers(place, typed.bath)
    return read_a_panel(panel_request(place.store, typed, numbers))


def keep_a_panel(place: "Workplace", typed: PanelTyped, at: float) -> Kept[AuditRecord]:
    """Keeps a panel with its bath, `at` [s since 1970]."""
    if not typed.bath:
        raise BadInput("choose the bath that the panel was taken of", where="bath")
    bath = place.store.baths.find(typed.bath)
    reply = panel_of(place, typed)
    record = AuditRecord(
        measured=Document.of(
            {
                _PANEL: {
                    "bath": bath.id,
                    "zones": typed.zones,
                    "cell": typed.cell,
                    "current_A": quantity(typed.current, Kind.CURRENT, where="current"),
                    "duration": typed.duration,
                }
            }
        ),
        found=Document.of({_PANEL: reply.as_json()}),
        made_by=f"Tankside {version('tankside')}",
    )
    day = datetime.fromtimestamp(at).strftime("%Y-%m-%d %H:%M")
    wish = f"Panel of {bath.name}, {day}"
    return place.store.audits.add(free_name(place.store.audits, wish), record)


def earlier_panels(store: "Store", typed: PanelTyped) -> list[dict[str, str]]:
    """Kept panels of the same bath, cell and current, the oldest first: `zones` and `name`."""
    if not typed.bath:
        return []
    current = quantity(typed.current, Kind.CURRENT, where="current")
    found = []
    for one in store.audits.all():
        panel = one.value.measured.entries().get(_PANEL)
        if panel is None or (panel["bath"], panel["cell"]) != (typed.bath, typed.cell):
            continue
        if abs(panel["current_A"] - current) < 1e-6 and panel["zones"] != typed.zones:
            found.append({"zones": str(panel["zones"]), "name": one.name})
    return found


def stretches_of_photo(
    place: "Workplace", content: bytes, corners: tuple[str, ...], cell: str
) -> Proposed:
    """Stretches of even look that a photo proposes; BadInput where it is none, or too large."""
    if len(content) > LARGEST_PHOTO:
        raise BadInput(
            "the photo has more than {most} MiB; make it smaller",
            most=LARGEST_PHOTO // 2**20,
        )
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "panel"
        path.write_bytes(content)
        pixels = place.tools.photo(path)
    return read_a_photo(pixels, corners, cell)


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneTyped:
    """A zone as a form shows it: the look, "" where a person has to name it, and both ends."""

    look: str
    start: str
    end: str


def zones_of_photo(proposed: Proposed) -> tuple[ZoneTyped, ...]:
    """The proposal, to be named and moved."""
    return tuple(
        ZoneTyped(
            look=one.proposed.value if one.proposed else "",
            start=f"{in_unit(one.start.best, 'cm'):.3g} cm",
            end=f"{in_unit(one.end.best, 'cm'):.3g} cm",
        )
        for one in proposed.stretches
    )


def panel_length(cell: str) -> float:
    """How long the panel of a cell is [m]."""
    return cell_named(cell).length
