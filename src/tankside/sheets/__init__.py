"""Sheets: a plan turned into files and text, by pure functions that return bytes or str.

The names below load on first use, so that importing the room costs nothing.
"""

from importlib import import_module
from typing import Any

_PUBLIC = {
    "PlanSheets": "tankside.sheets.plan_sheets",
    "map_glb": "tankside.sheets.map_glb",
    "map_vtu": "tankside.sheets.map_vtu",
    "panels_parquet": "tankside.sheets.panel_table",
    "plan_json": "tankside.sheets.json_reply",
    "plan_pdf": "tankside.sheets.plan_pdf",
    "summary_text": "tankside.sheets.summary",
    "written": "tankside.sheets.files",
}

__all__ = list(_PUBLIC)


def __getattr__(name: str) -> Any:
    if name not in _PUBLIC:
        raise AttributeError(f"module 'tankside.sheets' has no attribute {name!r}")
    return getattr(import_module(_PUBLIC[name]), name)


def __dir__() -> list[str]:
    return sorted(__all__)
