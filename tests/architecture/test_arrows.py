"""Dependencies point one way: every import in the package, also those inside functions, is read."""

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "src" / "tankside"

CORE = {
    "base", "substances", "part", "bath", "cell", "field", "safety", "plan", "validation", "runs",
    "diagnosis",
}  # fmt: skip

ARROWS: dict[str, set[str]] = {
    "base": set(),
    "substances": {"base"},
    "runs": {"base"},
    "part": {"base"},
    "bath": {"substances", "base"},
    "cell": {"part", "base"},
    "field": {"cell", "base"},
    "safety": {"bath", "substances", "base"},
    "plan": {"part", "field", "cell", "bath", "safety", "runs", "base"},
    "diagnosis": {"runs", "plan", "bath", "base"},
    "validation": CORE - {"validation"},
    "examples": {"base"},
    "app": CORE | {"examples"},
    "sheets": {"app.ports", "app.bath_sheet_port", "app.diagnosis_port", "app.run_ports"} | CORE,
    "storage": {"app.ports", "app.run_ports", "app.store_ports", "app.store_records"} | CORE,
    "hardware": {"app.run_ports"} | CORE,
    "sweeps": {"app.ports"} | CORE,
    "cli": {"app", "base"},
    "api": {"app", "base"},
    "web": {"app", "base"},
}
"""Which rooms each room may import; the order is from the ground up."""

THIRD_PARTY: dict[str, set[str]] = {
    "pydantic": {"app", "api"},
    "fastapi": {"api", "web"},
    "starlette": {"api", "web"},
    "uvicorn": {"web"},
    "jinja2": {"web"},
    "markupsafe": {"web"},
    "segno": {"web"},
    "pint": {"base"},
    "typst": {"sheets"},
    "pyvisa": {"hardware"},
    "pyvisa_py": {"hardware"},
    "pyarrow": {"sheets", "storage"},
    "sqlalchemy": {"storage"},
    "alembic": {"storage"},
    "platformdirs": {"storage"},
    "manifold3d": {"part", "cell", "examples", "sheets"},
    "igl": {"part", "cell"},
    "skimage": {"part", "diagnosis"},
    "imageio": {"storage"},
    "numba": {"field", "part", "sheets"},
    "threadpoolctl": {"field"},
    "cmaes": {"plan"},
    "distributed": {"sweeps"},
    "numpy": {"*"},
    "scipy": {"*"},
}
"""Each library lives in the rooms that need it; no other library is imported."""

FORBIDDEN = {"igl.copyleft", "igl.triangle"}
"""Parts of a library under licences that a closed workshop could not take."""


def modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def room_of(path: Path) -> str:
    relative = path.relative_to(PACKAGE)
    return relative.parts[0] if len(relative.parts) > 1 else relative.stem


def imported(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield alias.name
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path} has a relative import"
            yield str(node.module)
            for alias in node.names:
                yield f"{node.module}.{alias.name}"


def allowed(room: str, module: str) -> bool:
    inside = module.removeprefix("tankside.")
    target = inside.split(".")[0]
    if target == room or target in ARROWS[room]:
        return True
    return any(inside == arrow or inside.startswith(arrow + ".") for arrow in ARROWS[room])


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_no_import_points_upward(path: Path) -> None:
    room = room_of(path)
    if room in ("main", "__init__", "__main__"):
        return
    assert room in ARROWS, f"{room} is a room without arrows"
    ours = {name for name in imported(path) if name.split(".")[0] == "tankside"}
    assert "tankside" not in ours, "nobody inside the package imports its root"
    upward = {name for name in ours if not allowed(room, name)}
    assert not upward, f"{room} may not import {upward}"


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_libraries_stay_in_their_rooms(path: Path) -> None:
    for name in imported(path):
        library = name.split(".")[0]
        assert name not in FORBIDDEN
        if library == "tankside" or library in sys.stdlib_module_names:
            continue
        assert library in THIRD_PARTY, f"{library} is not among the libraries"
        rooms = THIRD_PARTY[library]
        assert rooms == {"*"} or room_of(path) in rooms, f"{library} is not for {room_of(path)}"


def test_the_arrows_have_no_cycle() -> None:
    order = list(ARROWS)
    for room, targets in ARROWS.items():
        for target in targets:
            assert order.index(target.split(".")[0]) <= order.index(room) or target == "app.ports"


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_modules_stay_readable(path: Path) -> None:
    lines = path.read_text("utf-8").count("\n")
    assert lines <= 500, f"{path.name} has {lines} lines: is it one room or several?"
