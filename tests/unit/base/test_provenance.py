"""Sources: each that is used exists, each that exists is used, and every number says how sure."""

import ast
import csv
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tankside.base.errors import MissingData
from tankside.base.intervals import Interval
from tankside.base.provenance import (
    NEEDS_NO_SOURCE,
    Evidence,
    Sourced,
    source,
    sources,
)

PACKAGE = Path(__file__).parents[3] / "src" / "tankside"
OWN = PACKAGE / "base" / "data" / "sources.toml"
KEY = re.compile(r"[a-z]+\d{2,5}[a-z]?")
CALLS_WITH_A_KEY = {"source", "keys"}


def toml_files() -> list[Path]:
    return [path for path in sorted(PACKAGE.rglob("data/**/*.toml")) if path != OWN]


def values_named(name: str, node: Any) -> Iterator[Any]:
    """Every value under the key `name` anywhere in a TOML document."""
    if isinstance(node, dict):
        for key, value in node.items():
            if key == name:
                yield value
            yield from values_named(name, value)
    elif isinstance(node, list):
        for value in node:
            yield from values_named(name, value)


def keys_in_data() -> Iterator[tuple[str, Path]]:
    """Source keys that data files name."""
    for path in toml_files():
        for key in values_named("source", tomllib.loads(path.read_text("utf-8"))):
            yield key, path
    for path in sorted(PACKAGE.rglob("data/**/*.csv")):
        lines = [line for line in path.read_text("utf-8").splitlines() if line[:1] != "#"]
        for row in csv.DictReader(lines):
            yield row.get("source") or "", path


def keys_in_code() -> Iterator[tuple[str, Path]]:
    """Source keys that code names: source="x", source("x"), and sources=("x", "y")."""
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.keyword) and node.arg in ("source", "sources"):
                for text in constants(node.value):
                    yield text, path
            elif isinstance(node, ast.Call) and getattr(node.func, "id", "") == "source":
                for text in constants(node):
                    yield text, path


def constants(node: ast.AST) -> Iterator[str]:
    for inner in ast.walk(node):
        if isinstance(inner, ast.Constant) and isinstance(inner.value, str):
            yield inner.value


def all_text() -> str:
    """Data and code together, where a key stands in quotes or between commas."""
    files = [*PACKAGE.rglob("*.py"), *toml_files(), *PACKAGE.rglob("data/**/*.csv")]
    return "\n".join(path.read_text("utf-8") for path in files)


def test_every_source_that_data_names_exists() -> None:
    unknown = {(key, path.name) for key, path in keys_in_data() if key and key not in sources()}
    assert not unknown


def test_every_source_that_code_names_exists() -> None:
    named = {(text, path.name) for text, path in keys_in_code() if KEY.fullmatch(text)}
    unknown = {pair for pair in named if pair[0] not in sources()}
    assert not unknown


def test_no_source_is_an_orphan() -> None:
    text = all_text()
    orphans = [key for key in sources() if not re.search(rf'["\s,(]{key}["\s,);.]', text)]
    assert not orphans


@pytest.mark.parametrize("key", sorted(sources()))
def test_a_source_can_be_found_by_a_reader(key: str) -> None:
    work = source(key)
    assert work.authors
    assert work.title
    assert work.place
    assert 1800 < work.year <= 2026
    assert not work.doi or work.doi.startswith("10.")
    assert str(work.year) in work.cited()


def sourced_calls() -> Iterator[tuple[str, dict[str, ast.expr]]]:
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Sourced":
                keywords = {word.arg: word.value for word in node.keywords if word.arg}
                yield f"{path.name}:{node.lineno}", keywords


@pytest.mark.parametrize(
    ("where", "keywords"),
    [*sourced_calls()],
    ids=lambda value: value if isinstance(value, str) else "keywords",
)
def test_every_sourced_number_in_code_has_a_locator_or_admits_what_it_is(
    where: str, keywords: dict[str, ast.expr]
) -> None:
    evidence = ast.unparse(keywords["evidence"])
    honest = {f"Evidence.{kind.name}" for kind in NEEDS_NO_SOURCE}
    has_locator = "locator" in keywords and ast.unparse(keywords["locator"]) not in ("''", '""')
    assert has_locator or evidence in honest, where


def test_every_row_with_evidence_in_toml_has_a_locator_or_admits_what_it_is() -> None:
    honest = {kind.value for kind in NEEDS_NO_SOURCE}

    def rows(node: Any) -> Iterator[dict[str, Any]]:
        if isinstance(node, dict):
            if "evidence" in node and "source" in node:
                yield node
            for value in node.values():
                yield from rows(value)
        elif isinstance(node, list):
            for value in node:
                yield from rows(value)

    for path in toml_files():
        for row in rows(tomllib.loads(path.read_text("utf-8"))):
            assert row.get("locator") or row["evidence"] in honest, (path.name, row)


def test_a_number_may_not_borrow_a_key() -> None:
    with pytest.raises(MissingData, match="nobody1900"):
        Sourced(
            name="x",
            value=Interval.exact(1.0),
            unit="1",
            evidence=Evidence.MEASURED,
            source="nobody1900",
        )


@pytest.mark.parametrize("evidence", sorted(set(Evidence) - NEEDS_NO_SOURCE))
def test_evidence_that_claims_a_source_must_name_it(evidence: Evidence) -> None:
    with pytest.raises(MissingData, match="needs a source"):
        Sourced(name="x", value=Interval.exact(1.0), unit="1", evidence=evidence)


@pytest.mark.parametrize("evidence", sorted(NEEDS_NO_SOURCE))
def test_honest_evidence_stands_alone(evidence: Evidence) -> None:
    held = Sourced(name="x", value=Interval.exact(2.0), unit="1", evidence=evidence)
    assert held.best == 2.0


def test_a_citation_is_one_line() -> None:
    assert source("wilke1953").cited() == (
        "Wilke, C. R., Eisenberg, M. and Tobias, C. W. (1953): Correlation of limiting currents "
        "under free convection conditions. J. Electrochem. Soc. 100, 513-523, "
        "doi 10.1149/1.2780889"
    )
