"""Published troubleshooting statements, and whether the diagnosis names the published cause.

Two sets. troubleshooting_second.toml is held: entered and committed before the atlas was extended
and before it was run, from sources that the atlas does not use, and nobody tunes on it.
troubleshooting.toml was held once: what it names and the atlas lacked has since been put into the
atlas, so that it is material, and a check that the atlas still holds what was read. One table each:

    [[statement]]
    id = "a-short-name"
    statement = "what the source says, in our own words"
    seen = ["burnt-edges"]                        ids of faults, as in docs/faults.md
    evidence = { bath-cold = "yes" }              answers to faults or checks: yes, slight, no
    values = { chloride = "20 mg/L" }             numbers, as `tankside diagnose --value` takes them
    causes = ["copper-low", "acid-high"]          ids of causes that the source names
    source = "who and what, as a reader finds it"
    locator = "page, table, answer"
    kind = "handbook table"                       handbook table, trade article, forum, bench

`evidence` and `values` may be left out. A statement holds where one of its causes is among the
first three; a set passes where at least 80 in 100 hold. A statement that fails stays.
docs/theory/diagnosis.md has the figures, docs/decisions/0016-atlas-by-mechanism.md the procedure.
"""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from tankside.app.diagnose import DiagnoseRequest, diagnose
from tankside.diagnosis.loading import atlas

MATERIAL = Path(__file__).with_name("troubleshooting.toml")
HELD = Path(__file__).with_name("troubleshooting_second.toml")
KINDS = {"handbook table", "trade article", "research article", "forum", "bench"}
ENOUGH = 0.80
AT_LEAST = 30
FIRST = 3


def statements(path: Path) -> list[dict[str, Any]]:
    """The statements of a file."""
    found: list[dict[str, Any]] = tomllib.loads(path.read_text("utf-8"))["statement"]
    return found


SETS = {path.stem: statements(path) for path in (MATERIAL, HELD)}
ALL = [statement for found in SETS.values() for statement in found]


def holds(statement: dict[str, Any]) -> bool:
    """True where one of the published causes is among the first three."""
    request = DiagnoseRequest(
        seen=tuple(statement["seen"]),
        answers=statement.get("evidence", {}),
        values=statement.get("values", {}),
        on_own_bench=False,
        most=FIRST,
    )
    first = {suspect.cause for suspect in diagnose(request).diagnosis.suspects}
    return bool(first & set(statement["causes"]))


@pytest.mark.parametrize("found", SETS.values(), ids=SETS)
def test_a_set_is_large_enough_and_of_more_than_one_hand(found: list[dict[str, Any]]) -> None:
    assert len(found) >= AT_LEAST
    assert len({statement["source"] for statement in found}) >= 5


def test_no_source_of_the_held_set_is_one_of_the_other() -> None:
    first, second = ({one["source"] for one in found} for found in SETS.values())
    assert not first & second


@pytest.mark.parametrize("statement", ALL, ids=lambda statement: statement["id"])
def test_a_statement_names_its_source_and_what_the_atlas_knows(statement: dict[str, Any]) -> None:
    held = atlas()
    for key in ("statement", "source", "locator"):
        assert statement[key].strip()
    assert statement["kind"] in KINDS
    assert statement["seen"]
    assert statement["causes"]
    for name in statement["seen"]:
        held.fault(name)
    for name in statement["causes"]:
        held.cause(name)


@pytest.mark.parametrize("found", SETS.values(), ids=SETS)
def test_the_published_cause_is_among_the_first_three(found: list[dict[str, Any]]) -> None:
    missed = [statement["id"] for statement in found if not holds(statement)]
    share = 1.0 - len(missed) / len(found)
    assert share >= ENOUGH, f"{100 * share:.0f} % hold; missed: {', '.join(missed)}"


def test_a_statement_can_fail() -> None:
    """The rule is not empty: a cause that has nothing to do with what is seen does not pass."""
    wrong = {**ALL[0], "causes": [_stranger(ALL[0]["seen"])], "evidence": {}}
    assert not holds({**wrong, "values": {}})


def _stranger(seen: list[str]) -> str:
    linked = {link.cause for link in atlas().links if link.finding in seen}
    return next(name for name in atlas().causes if name not in linked)
