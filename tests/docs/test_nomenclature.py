"""The nomenclature page names what the code names, with the unit that its docstrings give."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
CODE = "\n".join(
    path.read_text("utf-8") for path in sorted((ROOT / "src" / "tankside").rglob("*.py"))
)
ROWS = re.findall(
    r"^\| `(\w+)` \| (.+?) \| (.+?) \|",
    (ROOT / "docs" / "nomenclature.md").read_text("utf-8"),
    re.M,
)


@pytest.mark.parametrize("name", [row[0] for row in ROWS])
def test_every_name_is_a_name_of_the_code(name: str) -> None:
    assert re.search(rf"^\s+{name}: |def {name}\(|\b{name} = ", CODE, re.M), name


def test_names_are_sorted_and_single() -> None:
    names = [row[0] for row in ROWS]
    assert names == sorted(set(names))


@pytest.mark.parametrize(("name", "unit"), [(row[0], row[2]) for row in ROWS])
def test_no_docstring_gives_another_unit(name: str, unit: str) -> None:
    """Where a docstring line begins with the name and gives one unit, it is this one."""
    given = re.findall(rf"^ +{name}  +.*\[([^\]]+)\]$", CODE, re.M)
    assert set(given) <= {unit}
