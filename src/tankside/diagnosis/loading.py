"""Reads the atlas from its data files, and refuses one that does not hang together.

Every row has its provenance (base/tables.py); every link, rule and remedy names causes and findings
that stand in the atlas; every cause can be seen, checked and mended; no remedy harms (gates.py).
"""

import tomllib
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from importlib import resources
from typing import Any, TypeVar

from tankside.base.errors import MissingData
from tankside.base.intervals import Interval
from tankside.base.messages import said
from tankside.base.tables import Provenance, provenance, table
from tankside.diagnosis.atlas import (
    Atlas,
    Cause,
    Check,
    Fault,
    Level,
    Likelihood,
    Link,
    Remedy,
    Rule,
)
from tankside.diagnosis.gates import refuse_harm, refuse_harmful_check

PACKAGE = "tankside.diagnosis"
Row = dict[str, Any]
Named = TypeVar("Named")


@cache
def atlas() -> Atlas:
    """The atlas that ships with the package, checked."""
    levels = tuple(_level(row) for row in table(PACKAGE, "levels.csv"))
    word = {(level.kind, level.word): level for level in levels}

    def level(kind: Likelihood, text: str) -> Level:
        if (kind, text) not in word:
            raise MissingData(
                "levels.csv has no {kind} called {text!r}", kind=kind.value, text=text
            )
        return word[kind, text]

    made = Atlas(
        faults=_by_id(_read("fault"), lambda row: _fault(row, level)),
        causes=_by_id(_read("cause"), lambda row: _cause(row, level)),
        checks=_by_id(_read("check"), lambda row: _check(row, level)),
        links=tuple(_link(row, level) for row in table(PACKAGE, "links.csv")),
        remedies=tuple(_remedy(row) for row in _read("remedy")),
        rules=tuple(_rule(row, level) for row in table(PACKAGE, "readings.csv")),
        levels=levels,
    )
    refuse_loose_ends(made)
    for remedy in made.remedies:
        refuse_harm(remedy, made.checks)
    for check in made.checks.values():
        refuse_harmful_check(check)
    return made


def refuse_loose_ends(made: Atlas) -> None:
    """MissingData where a row names what is not there, or a cause cannot be seen or mended."""
    findings = made.faults.keys() | made.checks.keys()
    pairs = [(link.cause, link.finding) for link in made.links]
    if len(set(pairs)) != len(pairs):
        raise MissingData("links.csv has a pair of cause and finding twice")
    for cause, finding in pairs:
        if cause not in made.causes or finding not in findings:
            raise MissingData(
                "links.csv: no {cause!r} or no {finding!r} in the atlas",
                cause=cause,
                finding=finding,
            )
    for rule in made.rules:
        if rule.cause not in made.causes:
            raise MissingData("readings.csv: no cause {cause!r} in the atlas", cause=rule.cause)
    for cause in made.causes:
        reached = {finding for owner, finding in pairs if owner == cause}
        if not (reached & made.faults.keys() and reached & made.checks.keys()):
            raise MissingData("cause {cause!r} has no fault or no check", cause=cause)
        if not made.remedies_for(cause):
            raise MissingData("cause {cause!r} has no remedy", cause=cause)
    for remedy in made.remedies:
        if remedy.cause not in made.causes or not set(remedy.needs) <= made.checks.keys():
            raise MissingData(
                "remedy {remedy!r} names a cause or check that is not there", remedy=remedy.id
            )
    for finding in findings - {finding for _, finding in pairs}:
        raise MissingData("finding {finding!r} has no cause", finding=finding)


SENTENCES = frozenset(
    "name look where when kind do yes no materials first then side_effect".split()
)
"""Columns of the tables that a person is told."""

_PLURAL = {"fault": "faults", "cause": "causes", "check": "checks", "remedy": "remedies"}
_LevelOf = Callable[[Likelihood, str], Level]


def _read(kind: str) -> Iterator[Row]:
    file = f"{_PLURAL[kind]}.toml"
    text = resources.files(PACKAGE).joinpath("data", file).read_text("utf-8")
    for row in tomllib.loads(text)[kind]:
        row["provenance"] = _provenance(row, f"{file}, {row['id']}")
        yield {key: said(text) if key in SENTENCES else text for key, text in row.items()}


def _by_id(rows: Iterable[Row], make: Callable[[Row], Named]) -> dict[str, Named]:
    made: dict[str, Named] = {}
    for row in rows:
        if row["id"] in made:
            raise MissingData("the atlas has {id!r} twice", id=row["id"])
        made[row["id"]] = make(row)
    return made


def _provenance(row: Row, where: str) -> Provenance:
    return provenance(
        {name: row.pop(name) for name in ("evidence", "source", "locator")}, where=where
    )


def _level(row: dict[str, str]) -> Level:
    return Level(
        kind=Likelihood(row["kind"]),
        word=row["level"],
        value=Interval(float(row["low"]), float(row["best"]), float(row["high"])),
        words=row["words"],
        provenance=provenance(row, where="levels.csv"),
    )


def _fault(row: Row, level: _LevelOf) -> Fault:
    otherwise = level(Likelihood.SEEN, row.pop("otherwise"))
    return Fault(said=tuple(row.pop("said")), otherwise=otherwise, **row)


def _cause(row: Row, level: _LevelOf) -> Cause:
    return Cause(prior=level(Likelihood.PRIOR, row.pop("prior")), **row)


def _check(row: Row, level: _LevelOf) -> Check:
    otherwise = level(Likelihood.OTHERWISE, row.pop("otherwise"))
    return Check(effort=60.0 * row.pop("minutes"), otherwise=otherwise, **row)


def _remedy(row: Row) -> Remedy:
    return Remedy(needs=tuple(row.pop("needs")), **row)


def _link(row: dict[str, str], level: _LevelOf) -> Link:
    return Link(
        cause=row["cause"],
        finding=row["finding"],
        level=level(Likelihood.LINK, row["level"]),
        provenance=provenance(row, where="links.csv"),
    )


def _rule(row: dict[str, str], level: _LevelOf) -> Rule:
    return Rule(
        cause=row["cause"],
        quantity=row["quantity"],
        above=_either(row["sense"], "above", "below"),
        middle=None if row["middle"] == "window" else float(row["middle"]),
        spread=float(row["spread"]),
        strength=level(Likelihood.STRENGTH, row["strength"]),
        logarithmic=_either(row["scale"], "log", "linear"),
        group=row["group"],
        why=row["why"],
        provenance=provenance(row, where="readings.csv"),
    )


def _either(text: str, yes: str, no: str) -> bool:
    if text not in (yes, no):
        raise MissingData(
            "readings.csv: {text!r} is neither {yes!r} nor {no!r}", text=text, yes=yes, no=no
        )
    return text == yes
