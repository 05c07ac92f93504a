"""An event of a ledger, from its row in the ledger's own form, in a bench's words."""

from collections.abc import Mapping
from typing import Any

_HIDDEN = ("ledger", "event", "id", "at_s", "crc32")


def numbers_of(row: Mapping[str, Any]) -> str:
    """What an event tells beside its kind, moment and id."""
    told = (_field(key, value) for key, value in row.items() if key not in _HIDDEN)
    return ", ".join(one for one in told if one)


_TOLD: dict[str, tuple[float, str]] = {
    "kg": (1e3, "g"),
    "m3": (1e3, "L"),
    "m2": (1e2, "dm²"),
    "s": (1 / 3600.0, "h"),
    "C": (1 / 3600.0, "Ah"),
    "K": (1.0, "K"),
    "kg_m3": (1.0, "g/L"),
    "S_m": (1.0, "S/m"),
    "pH": (1.0, ""),
    "ratio": (1e2, "%"),
}
"""What the ledger's units are told in at a bench: factor and unit."""


def _field(key: str, value: Any) -> str:
    """One field of an event in a bench's words; nothing for what only the program needs."""
    if key == "product" and isinstance(value, dict):
        return _label(value)
    if key == "findings":
        return ", ".join(_found(one) for one in value)
    if key == "portions":
        return ", ".join(f"{one['product']} {_number('mass_kg', one['mass_kg'])}" for one in value)
    if key in ("additive", "notes") or "_std" in key or value == "":
        return "an additive" if key == "additive" and value is True else ""
    if isinstance(value, str):
        return value if key in ("product", "water") else f"{key} {value}"
    if isinstance(value, int | float):
        return _number(key, float(value))
    return ""


_NAMES = {"level_volume": "level", "surface_area": "surface", "room_temperature": "room",
          "relative_humidity": "humidity", "duration": "for"}  # fmt: skip
"""How fields are typed, where the ledger calls them otherwise."""


def _number(key: str, value: float) -> str:
    name, unit = _parted(key)
    name = _NAMES.get(name, name)
    if unit not in _TOLD:
        return f"{name} {value:g}"
    if unit == "K":
        return f"{name.replace('_', ' ')} {value - 273.15:.3g} °C"
    factor, told = _TOLD[unit]
    if name in ("volume", "mass"):
        return f"{value * factor:.4g} {told}"
    return f"{name.replace('_', ' ')} {value * factor:.4g} {told}"


def _parted(key: str) -> tuple[str, str]:
    for unit in sorted(_TOLD, key=len, reverse=True):
        if key.endswith(f"_{unit}"):
            return key.removesuffix(f"_{unit}"), unit
    return key, ""


def _found(one: dict[str, Any]) -> str:
    key = next(key for key in one if key.startswith("value_"))
    low, best, high = one[key]
    _, unit = _parted(key)
    factor, told = (1e3, "mg/L") if one["quantity"] == "chloride" else _TOLD[unit]
    name = one["quantity"].replace("_", " ")
    return f"{name} {best * factor:.4g} {told} ({low * factor:.4g} to {high * factor:.4g})".replace(
        "  ", " "
    )


def _label(product: dict[str, Any]) -> str:
    contents = ", ".join(
        f"{one['substance']} {100 * one['mass_fraction_kg_kg'][1]:.3g} %"
        for one in product["contents"]
    )
    return f"{product['name']}" + (f" ({contents})" if contents else "")
