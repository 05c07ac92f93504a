"""A person's own kind of bath, with windows as they type them: "55 g/L", "70 mg/L", "25 degC".

Windows of one's own stand beside the published ones as the same value, and say whose they are. At
least one window must be given; kinds are those that a model computes.
"""

from collections.abc import Mapping
from typing import Any

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.base.errors import BadInput, UnknownName
from tankside.base.provenance import Evidence
from tankside.base.units import Kind, quantity
from tankside.bath.families import KINDS, OWN, SHOWN, Family, Window, families

_KEYS = ("kind", "words", "additives", "agitation", "good_at", "bad_at", "hazard", "windows")


def own_family(name: str, label: Mapping[str, Any], *, where: str = "") -> Family:
    """The family that a person describes.

    label   kind, words and windows; optionally additives, agitation, good_at, bad_at, hazard.
            windows: by quantity, [low, high] as text with units (pH as plain numbers).

    BadInput says which key is wrong; UnknownName offers close ones. A published family's name is
    refused, so that a window is never mistaken for a handbook's.
    """
    if name in families():
        raise BadInput(
            "{name!r} is a published family; give your own another name", name=name, where=where
        )
    for key in label:
        if key not in _KEYS:
            raise UnknownName("the key", str(key), _KEYS, where=where)
    kind = label.get("kind", KINDS[0])
    if kind not in KINDS:
        raise UnknownName("kind of bath", str(kind), KINDS, where=f"{where} kind".strip())
    given = label.get("windows")
    if not isinstance(given, Mapping) or not given:
        raise BadInput(
            "give at least one window, such as sulfuric_acid = ['50 g/L', '70 g/L']",
            where=f"{where} windows".strip(),
        )
    return Family(
        name=name,
        words=str(label.get("words", f"own bath '{name}'")),
        additives=str(label.get("additives", "")),
        windows={
            str(key): _window(str(key), ends, f"{where} windows.{key}".strip())
            for key, ends in given.items()
        },
        kind=kind,
        agitation=_texts(label.get("agitation", ())),
        good_at=_texts(label.get("good_at", ())),
        bad_at=_texts(label.get("bad_at", ())),
        hazard=str(label.get("hazard", "")),
    )


def _window(name: str, ends: object, where: str) -> Window:
    if name not in SHOWN:
        raise UnknownName("quantity of a window", name, SHOWN, where=where)
    if not isinstance(ends, list | tuple) or len(ends) != 2:
        raise BadInput("a window is two values, low and high, not {ends!r}", ends=ends, where=where)
    low, high = (_value(name, end, where) for end in ends)
    if not low < high or (low < 0.0 and name != "temperature"):
        raise BadInput(
            "a window rises from low to high, not {low} to {high}",
            low=ends[0],
            high=ends[1],
            where=where,
        )
    return Window(
        quantity=name,
        low=low,
        high=high,
        evidence=Evidence.PRACTICE,
        source="",
        locator=OWN,
    )


def _value(name: str, end: object, where: str) -> float:
    """One end in the unit that windows use."""
    if name == "pH":
        if isinstance(end, bool) or not isinstance(end, int | float):
            raise BadInput("a pH is a plain number, not {end!r}", end=end, where=where)
        return float(end)
    if name == "temperature":
        return quantity(end, Kind.TEMPERATURE, where=where) - ZERO_CELSIUS_K
    kind = Kind.CURRENT_DENSITY if name == "current_density" else Kind.MASS_CONCENTRATION
    return quantity(end, kind, where=where)


def _texts(value: Any) -> tuple[str, ...]:
    return (value,) if isinstance(value, str) else tuple(str(one) for one in value)
