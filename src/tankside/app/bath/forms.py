"""The forms that replies about a bath take as JSON; units stand in the names."""

from collections.abc import Iterable, Mapping
from typing import Any

from tankside.app.forms import ends
from tankside.bath.analysis.finding import QUANTITIES, Finding
from tankside.safety.cautions import Caution, all_cautions

_FINDING_UNITS = {"kg/m^3": "kg_m3", "S/m": "S_m", "1": "pH"}


def told_cautions(ids: Iterable[str]) -> tuple[Caution, ...]:
    """The cautions of these ids, in their order."""
    known = {one.id: one for one in all_cautions()}
    return tuple(known[name] for name in ids)


def caution_rows(cautions: Iterable[Caution]) -> list[dict[str, str]]:
    """Cautions with their ids."""
    return [{"id": one.id, "text": one.text} for one in cautions]


def finding_row(one: Finding) -> Mapping[str, Any]:
    """What an analysis found."""
    unit = _FINDING_UNITS[QUANTITIES[one.quantity]]
    return {
        "quantity": one.quantity,
        f"value_{unit}": ends(one.value),
        f"std_{unit}": one.std,
        "method": one.method,
        "temperature_K": one.temperature,
        "budget": {share.name: share.fraction for share in one.budget},
        "notes": list(one.notes),
        "sources": list(one.sources),
    }
