"""The bath that a person wants, from the table [target]: a family, values, or both.

family = "conventional"              its windows; without values, their middles are aimed at
sulfuric_acid = "60 g/L"             aimed at, within the family's window or of no other width
copper_sulfate_pentahydrate = "200-220 g/L"   one's own window; its middle is aimed at
"""

from collections.abc import Mapping
from dataclasses import dataclass

from tankside.app.bath.entries import Entries
from tankside.base.errors import BadInput, OutsideValidity, UnknownName
from tankside.base.intervals import Interval
from tankside.bath.composition import Composition
from tankside.bath.families import Family, family
from tankside.bath.inventory.bath_estimate import SALT_OF_COPPER
from tankside.bath.makeup.request import Target, Wanted, quantities

FURTHER = ("family", "volume", "temperature", "agitation")
"""Keys of [target] that are no quantities of the bath."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """What [target] says: the target, the family if one is named, and the volume's text."""

    target: Target
    family: Family | None
    volume: str


def aim_of(entries: Entries) -> Aim:
    """The target of a table; BadInput where it names nothing, UnknownName offers close names."""
    entries.only(*FURTHER, *(name.replace(" ", "_") for name in quantities()), what="quantity")
    kind = family(entries.text("family")) if "family" in entries else None
    typed = {key: _typed(entries, key) for key in entries.table if key not in FURTHER}
    return Aim(
        target=Target(wanted=tuple(_wanted(typed, kind))),
        family=kind,
        volume=entries.text("volume", ""),
    )


def own_windows(entries: Entries) -> tuple[dict[str, tuple[float, float]], str]:
    """The windows of a [target] in the ledger's quantities, and whose they are; none where it aims
    at single values."""
    aim = aim_of(entries)
    found = _as_ledger({one.quantity: one.value for one in aim.target.wanted})
    return found, "your own target" if aim.family is None else aim.family.words


def _as_ledger(held: Mapping[str, Interval]) -> dict[str, tuple[float, float]]:
    found = {}
    for name, value in held.items():
        if value.high <= value.low:
            continue
        if name in ("copper sulfate pentahydrate", "anhydrous copper sulfate"):
            metal = quantities()["copper"][1] / quantities()[name][1]
            found["copper"] = (value.low * metal, value.high * metal)
        elif name in ("copper", "sulfuric acid", "chloride"):
            found[name.replace(" ", "_")] = (value.low, value.high)
    return found


def composition_of_aim(target: Target) -> Composition:
    """The aims as an acid sulfate composition; OutsideValidity for another kind of bath."""
    held = {one.quantity: one.value.best for one in target.wanted}
    strange = set(held) - {"copper sulfate pentahydrate", "anhydrous copper sulfate", "copper",
                           "sulfuric acid", "chloride"}  # fmt: skip
    if strange:
        raise OutsideValidity("{strange} is no part of an acid sulfate bath", strange=min(strange))
    dry = held.get("anhydrous copper sulfate", 0.0)
    metal = quantities()["copper"][1] / quantities()["anhydrous copper sulfate"][1]
    salt = held.get(
        "copper sulfate pentahydrate", (held.get("copper", 0.0) + dry * metal) * SALT_OF_COPPER
    )
    return Composition(
        copper_sulfate_pentahydrate=salt,
        sulfuric_acid=held.get("sulfuric acid", 0.0),
        chloride=held.get("chloride", 0.0),
    )


def _typed(entries: Entries, key: str) -> tuple[str, Interval]:
    name = key.replace("_", " ")
    ion, weight = quantities()[name]
    del ion
    return name, entries.concentration(key, molar_mass=weight)


def _wanted(typed: Mapping[str, tuple[str, Interval]], kind: Family | None) -> list[Wanted]:
    windows = _windows(kind)
    given = dict(typed.values())
    counted = {quantities()[name][0] for name in given}
    wanted = []
    for name, value in given.items():
        low, high = value.low, value.high
        if high <= low and name in windows:
            low, high = min(windows[name].low, low), max(windows[name].high, high)
        wanted.append(Wanted(quantity=name, value=Interval(low, value.best, high)))
    wanted += [
        Wanted(quantity=name, value=window)
        for name, window in windows.items()
        if quantities()[name][0] not in counted
    ]
    if not wanted:
        raise BadInput(
            "name a family, or at least one quantity such as sulfuric_acid = '60 g/L'",
            where="[target]",
        )
    return wanted


def _windows(kind: Family | None) -> dict[str, Interval]:
    if kind is None:
        return {}
    found = {}
    for key, window in kind.windows.items():
        name = key.replace("_", " ")
        if name in quantities():
            found[name] = Interval(window.low, 0.5 * (window.low + window.high), window.high)
        elif name not in ("pH", "temperature", "current density", "sodium citrate dihydrate"):
            raise UnknownName("quantity of a window", name, quantities())
    return found
