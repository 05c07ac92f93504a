"""Amounts of a make-up as JSON, in SI."""

from typing import Any

from tankside.app.forms import ends, ends_or_none
from tankside.bath.makeup.plan import Amount, Reading, StockSolution


def amount_row(one: Amount) -> dict[str, Any]:
    """How much of one product, how it is measured, from which stock, and what it costs."""
    return {
        "product": one.product,
        "mass_kg": ends(one.mass),
        "volume_m3": ends_or_none(one.volume),
        "reading": None if one.reading is None else _reading_row(one.reading),
        "stock": None if one.stock is None else _stock_row(one.stock),
        "relative_error": one.relative_error,
        "cost": one.cost,
    }


def _reading_row(one: Reading) -> dict[str, Any]:
    return {
        "tool": one.tool,
        "total_kg" if one.by_mass else "total_m3": one.total,
        "fills": one.fills,
    }


def _stock_row(one: StockSolution) -> dict[str, Any]:
    return {
        "product": one.product,
        "substance": one.substance,
        "take_kg": ends(one.taken),
        "take": _reading_row(one.take),
        "volume_m3": one.volume,
        "strength_kg_m3": one.strength,
        "molarity_mol_m3": one.molarity,
        "dose_m3": ends(one.dose),
        "dose": _reading_row(one.dose_reading),
        "acid_first": one.acid_first,
        "temperature_rise_K": one.rise,
    }
