"""How a bath or a bottle is classified by the rules for mixtures, from what is in it.

Skin and eyes: each part over its own or the generic limit, summed; from one upwards the class is
due (CLP Annex I, 3.2.3 and 3.3.3). By mouth: 1/ATE = sum of c/ATE. Water life: sum of c M against a
quarter. Other statements by each substance's own limit. Parts below one per cent count only where
their limit is lower. Parts that these tables do not hold
bring the shelf's own statements. A classification by a tool helps a person who labels a tank and is
no expert's: what is not known of a part is told, not taken as harmless.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from math import isfinite

from tankside.base.errors import BadInput, UnknownName
from tankside.base.tables import table
from tankside.substances import hazards, substance

LEAST_RELEVANT = 0.01
"""Mass fraction from which a part counts towards skin, eyes and mouth [-] (CLP Annex I, 3.2.3.3.1,
read)."""

ORAL_LIMITS = ((300.0, "H301"), (2000.0, "H302"))
"""Estimates up to which a statement is due [mg per kg of body mass] (GHS table 3.1.1)."""

A_QUARTER = 0.25
"""Sum from which a mixture is hazardous to water life [-] (CLP Annex I, 4.1.3.5.5)."""

_ROOM = "tankside.safety"


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """A statement that is due, and the sum or share that makes it so, in words."""

    code: str
    because: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Classification:
    """Statements that are due, and the parts of which nothing is held."""

    due: tuple[Due, ...]
    unknown: tuple[str, ...]

    @property
    def codes(self) -> tuple[str, ...]:
        """The statements' codes, in order."""
        return tuple(one.code for one in self.due)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    substance: str
    endpoint: str
    figure: float
    statement: str


def classified(contents: Mapping[str, float]) -> Classification:
    """The classification of a mixture by the mass fraction [-] of each of its parts, at the most.

    Parts go by any of their names; the rest is water. BadInput where fractions make no mixture.
    """
    held = _named(contents)
    due = [*_skin(held), *_eyes(held), *_mouth(held), *_single(held), *_water_life(held)]
    due += _by_the_shelf(held)
    return Classification(due=tuple(_gravest(due)), unknown=_unknown(held))


def _named(contents: Mapping[str, float]) -> dict[str, float]:
    held: dict[str, float] = {}
    for name, fraction in contents.items():
        if not (isfinite(fraction) and 0.0 <= fraction <= 1.0):
            raise BadInput(
                "the mass fraction of {name} lies between 0 and 1, not {fraction}",
                name=name,
                fraction=fraction,
            )
        own = _own_name(name)
        held[own] = held.get(own, 0.0) + fraction
    if sum(held.values()) > 1.2:
        raise BadInput(
            "the parts of this mixture make {held:.0f} %; mass fractions at the most may pass 100 "
            "% a little, not so far",
            held=100 * sum(held.values()),
        )
    return held


def _own_name(name: str) -> str:
    if name in {row.substance for row in _rows()}:
        return name
    try:
        return substance(name).name
    except UnknownName:
        known = {row.substance for row in _rows()} | _harmless()
        raise UnknownName("substance", name, known) from None


def _skin(held: Mapping[str, float]) -> Iterator[Due]:
    yield from _either(held, "skin corrosion", "H314", "skin irritation", "H315")


def _eyes(held: Mapping[str, float]) -> Iterator[Due]:
    yield from _either(held, "eye damage", "H318", "eye irritation", "H319")


def _either(
    held: Mapping[str, float], grave: str, grave_code: str, light: str, light_code: str
) -> Iterator[Due]:
    for endpoint, code in ((grave, grave_code), (light, light_code)):
        total, parts = _over_limits(held, endpoint)
        if total >= 1.0 - 1e-9:
            yield Due(code=code, because=f"{endpoint}: {total:.2g} times the limit by {parts}")
            return


def _over_limits(held: Mapping[str, float], endpoint: str) -> tuple[float, str]:
    total, parts = 0.0, []
    for row in _rows():
        fraction = held.get(row.substance, 0.0)
        if row.endpoint == endpoint and fraction >= min(LEAST_RELEVANT, row.figure):
            total += fraction / row.figure
            parts.append(row.substance)
    return total, ", ".join(parts)


def _mouth(held: Mapping[str, float]) -> Iterator[Due]:
    rows = [row for row in _rows() if row.endpoint == "acute oral"]
    harm = sum(
        held[row.substance] / row.figure
        for row in rows
        if held.get(row.substance, 0.0) >= LEAST_RELEVANT
    )
    if not harm:
        return
    estimate = 1.0 / harm
    for limit, code in ORAL_LIMITS:
        if estimate <= limit:
            yield Due(code=code, because=f"acute toxicity estimate {estimate:.0f} mg/kg by mouth")
            return


def _single(held: Mapping[str, float]) -> Iterator[Due]:
    for row in _rows():
        fraction = held.get(row.substance, 0.0)
        if row.endpoint == "single" and fraction >= row.figure:
            yield Due(
                code=row.statement,
                because=f"{row.substance} at {100 * fraction:.2g} %, limit {100 * row.figure:g} %",
            )


def _water_life(held: Mapping[str, float]) -> Iterator[Due]:
    acute = _weighted(held, "aquatic acute")
    if acute >= A_QUARTER:
        yield Due(code="H400", because=f"sum of share and factor {acute:.2g}, limit 0.25")
    chronic = _weighted(held, "aquatic chronic")
    third = _weighted(held, "aquatic chronic 3")
    for code, total in (
        ("H410", chronic),
        ("H411", 10.0 * chronic),
        ("H412", 100.0 * chronic + third),
    ):
        if total >= A_QUARTER:
            yield Due(code=code, because=f"long-term sum {total:.2g}, limit 0.25")
            return


def _by_the_shelf(held: Mapping[str, float]) -> Iterator[Due]:
    """Statements of parts that these tables do not hold, each by its own limits, not summed."""
    for name in _not_held(held):
        for code in hazards(name, held[name]).codes:
            yield Due(code=code, because=f"{name} at {100 * held[name]:.2g} %, by its own limits")


def _weighted(held: Mapping[str, float], endpoint: str) -> float:
    return sum(
        held.get(row.substance, 0.0) * row.figure for row in _rows() if row.endpoint == endpoint
    )


_COVERS = {
    "H314": {"H315", "H318", "H319"},
    "H318": {"H319"},
    "H300": {"H301", "H302"},
    "H301": {"H302"},
    "H330": {"H331", "H332"},
    "H331": {"H332"},
    "H271": {"H272"},
    "H410": {"H400", "H411", "H412"},
    "H411": {"H412"},
    "H372": {"H373"},
}
"""A statement is left out where a graver one of the same kind stands (GHS 1.4.10.5.3)."""


def _gravest(due: list[Due]) -> list[Due]:
    first: dict[str, Due] = {}
    for one in due:
        first.setdefault(one.code, one)
    covered = {lesser for code in first for lesser in _COVERS.get(code, set())}
    return [first[code] for code in sorted(first) if code not in covered]


def _unknown(held: Mapping[str, float]) -> tuple[str, ...]:
    return tuple(name for name in _not_held(held) if not hazards(name).codes)


def _not_held(held: Mapping[str, float]) -> tuple[str, ...]:
    known = {row.substance for row in _rows()} | _harmless()
    return tuple(name for name, fraction in held.items() if fraction > 0.0 and name not in known)


@cache
def _harmless() -> frozenset[str]:
    return frozenset(row["substance"] for row in table(_ROOM, "harmless.csv"))


@cache
def _rows() -> tuple[_Row, ...]:
    return tuple(
        _Row(
            substance=row["substance"],
            endpoint=row["endpoint"],
            figure=float(row["figure"]),
            statement=row["statement"],
        )
        for row in table(_ROOM, "classes.csv")
    )
