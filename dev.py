#!/usr/bin/env python3
"""Every chore of the project, one recipe each: python3 dev.py RECIPE [options].

Needs nothing but Python 3.11 to 3.13: it makes its own environment in .venv from the pinned
requirements, and makes it anew when they change. Bare, it lists the recipes.
"""

import hashlib
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
PYTHON = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
RUN_REQUIREMENTS = ROOT / "requirements" / "run.txt"
DEV_REQUIREMENTS = ROOT / "requirements" / "dev.txt"
Recipe = Callable[[list[str]], int]
RECIPES: dict[str, Recipe] = {}


def recipe(function: Recipe) -> Recipe:
    """Registers a function as the recipe of its name."""
    RECIPES[function.__name__] = function
    return function


def main(arguments: list[str]) -> int:
    """Runs one recipe; without one, lists them."""
    if not arguments or arguments[0] in ("-h", "--help"):
        print(__doc__)
        for name, function in RECIPES.items():
            print(f"  {name:11} {(function.__doc__ or '').splitlines()[0]}")
        return 0
    name, *rest = arguments
    if name not in RECIPES:
        print(f"no recipe {name!r}; there are: {', '.join(RECIPES)}", file=sys.stderr)
        return 2
    if not (3, 11) <= sys.version_info[:2] <= (3, 13):
        found = ".".join(map(str, sys.version_info[:2]))
        print(f"Tankside needs Python 3.11, 3.12 or 3.13, not {found}", file=sys.stderr)
        return 2
    return RECIPES[name](rest)


@recipe
def environment(rest: list[str]) -> int:
    """Make the environment for developing, as each recipe does that needs it."""
    _environment(DEV_REQUIREMENTS)
    return 0


@recipe
def demo(rest: list[str]) -> int:
    """Plan the plating of a lantern finial, and write its map and sheet to out/demo."""
    _environment(RUN_REQUIREMENTS)
    return _python("-m", "tankside", "demo", "--out", str(ROOT / "out" / "demo"), *rest)


@recipe
def test(rest: list[str]) -> int:
    """All tests; --fast leaves out the slow ones. Other options go to pytest."""
    _environment(DEV_REQUIREMENTS)
    workers = _workers(rest, "loadfile", "--no-loadscope-reorder")  # the slow files begin
    if "--fast" in rest:
        rest = [word for word in rest if word != "--fast"] + ["-m", "not slow"]
    return _python("-m", "pytest", *workers, *rest)


@recipe
def contracts(rest: list[str]) -> int:
    """The store's contract on memory, SQLite and a PostgreSQL server of its own."""
    _environment(DEV_REQUIREMENTS)
    tests = ["-m", "pytest", "tests/contracts", *rest]
    if os.environ.get("TANKSIDE_TEST_POSTGRES"):
        return _python(*tests)
    return _python("tests/contracts/private_cluster.py", str(PYTHON), *tests)


@recipe
def validate(rest: list[str]) -> int:
    """The validation cases: what the world published against what Tankside computes."""
    _environment(RUN_REQUIREMENTS)
    return _python("-m", "tankside", "check", *rest)


@recipe
def lint(rest: list[str]) -> int:
    """Style, spelling and types, without changing anything."""
    _environment(DEV_REQUIREMENTS)
    return max(
        _python("-m", "ruff", "format", "--check", "."),
        _python("-m", "ruff", "check", "."),
        _python("-m", "mypy"),
        _python("-m", "codespell_lib"),
    )


@recipe
def fmt(rest: list[str]) -> int:
    """Format the code, and mend what the linter can mend."""
    _environment(DEV_REQUIREMENTS)
    return max(_python("-m", "ruff", "check", "--fix", "."), _python("-m", "ruff", "format", "."))


@recipe
def docs(rest: list[str]) -> int:
    """Write the generated pages of docs/ anew: the validation report and the job schema."""
    _environment(DEV_REQUIREMENTS)
    return _python(str(ROOT / "docs" / "generate.py"), *rest)


@recipe
def words(rest: list[str]) -> int:
    """Gather the texts of the pages into their catalogue, and compile the languages (--check)."""
    _environment(DEV_REQUIREMENTS)
    return _python("docs/words.py", *rest)


@recipe
def serve(rest: list[str]) -> int:
    """The workbench page, for a browser on this machine; --share lets phones in."""
    _environment(RUN_REQUIREMENTS)
    return _python("-m", "tankside", "serve", *rest)


@recipe
def web(rest: list[str]) -> int:
    """Build the scripts of the workbench page; --check holds their types and tests too."""
    _environment(RUN_REQUIREMENTS)
    _must(PYTHON, "-m", "pip", "install", "--quiet", _node_package())
    return _python(str(ROOT / "hatch_build.py"), *rest)


@recipe
def browser(rest: list[str]) -> int:
    """Journeys through the pages in a real Chromium (/usr/bin/chromium, or TANKSIDE_CHROMIUM)."""
    workers = _workers(rest, "worksteal", "--maxprocesses=4")
    return _with_browser("-m", "pytest", "tests/browser", *workers, *rest)


@recipe
def screenshots(rest: list[str]) -> int:
    """Every page as a picture, wide and on a phone, light and dark, into out/screenshots."""
    return _with_browser("-m", "tests.browser.pictures", *rest)


@recipe
def bench(rest: list[str]) -> int:
    """A benchmark by name, such as `bench operators`; bare, lists them."""
    folder = ROOT / "benchmarks"
    names = sorted(path.stem for path in folder.glob("*.py"))
    if not rest or rest[0] not in names:
        print("benchmarks: " + ", ".join(names))
        return 0 if not rest else 2
    _environment(DEV_REQUIREMENTS)
    return _python(str(folder / f"{rest[0]}.py"), *rest[1:])


@recipe
def flame(rest: list[str]) -> int:
    """Flame graph of a benchmark, as out/NAME.svg: `flame operators`."""
    if not rest:
        return bench([])
    _environment(DEV_REQUIREMENTS)
    _run(PYTHON, "-m", "pip", "install", "--quiet", "py-spy==0.4.1")
    (ROOT / "out").mkdir(exist_ok=True)
    spy = PYTHON.with_name("py-spy" + PYTHON.suffix)
    script = str(ROOT / "benchmarks" / f"{rest[0]}.py")
    picture = str(ROOT / "out" / f"{rest[0]}.svg")
    return _run(spy, "record", "--output", picture, "--", PYTHON, script, *rest[1:])


@recipe
def lock(rest: list[str]) -> int:
    """Resolve the requirements anew into pinned files with hashes, for all platforms."""
    _environment(DEV_REQUIREMENTS)
    _run(PYTHON, "-m", "pip", "install", "--quiet", "uv")
    options = [
        "--universal", "--python-version", "3.11", "--generate-hashes", "--no-emit-index-url",
        "--no-header", "--upgrade", *rest,
    ]  # fmt: skip
    project = str(ROOT / "pyproject.toml")
    compile_ = ["-m", "uv", "pip", "compile", "--quiet", project, *options]
    return max(
        _python(*compile_, "--group", "build", "-o", str(RUN_REQUIREMENTS)),
        _python(*compile_, "--group", "build", "--group", "dev", "-o", str(DEV_REQUIREMENTS)),
    )


@recipe
def all(rest: list[str]) -> int:
    """Lint, then all tests but those in a browser."""
    return lint([]) or test(rest)


def _workers(rest: list[str], spread: str, *more: str) -> list[str]:
    """How pytest spreads its tests over the cores, unless told not to."""
    return [] if "-n" in rest or "-x" in rest else ["-n", "auto", "--dist", spread, *more]


def _with_browser(*arguments: str) -> int:
    """Runs Python with the built pages and what drives a browser."""
    _environment(DEV_REQUIREMENTS)
    _must(PYTHON, "-m", "pip", "install", "--quiet", "playwright==1.65.2")
    os.environ["TANKSIDE_BROWSER"] = "1"
    return web([]) or _python(*arguments)


def _node_package() -> str:
    """The node that the making of a wheel takes, as hatch_build.py names it."""
    line = next(
        line
        for line in (ROOT / "hatch_build.py").read_text("utf-8").splitlines()
        if line.startswith("NODE = ")
    )
    return line.split('"')[1]


def _environment(requirements: Path) -> None:
    """Makes .venv hold what `requirements` pins; the dev set serves for the run set too."""
    stamp = VENV / "tankside-stamp"
    wanted = _fingerprint(requirements)
    held = stamp.read_text().split() if stamp.exists() else []
    if wanted in held or (
        requirements == RUN_REQUIREMENTS and _fingerprint(DEV_REQUIREMENTS) in held
    ):
        return
    print(f"making the environment in {VENV.name} (once; a few minutes) ...", flush=True)
    if not PYTHON.exists():
        _must(sys.executable, "-m", "venv", str(VENV))
    pip = [PYTHON, "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    _must(*pip, "--require-hashes", "-r", str(requirements))
    _must(*pip, "--no-deps", "--no-build-isolation", "-e", str(ROOT))
    stamp.write_text(wanted + "\n")


def _fingerprint(requirements: Path) -> str:
    parts = [requirements.read_bytes(), (ROOT / "pyproject.toml").read_bytes()]
    return hashlib.sha256(b"".join(parts) + str(sys.version_info[:2]).encode()).hexdigest()


def _python(*arguments: str) -> int:
    return _run(PYTHON, *arguments)


def _run(*command: str | Path) -> int:
    return subprocess.run([str(word) for word in command], cwd=ROOT, check=False).returncode


def _must(*command: str | Path) -> None:
    status = _run(*command)
    if status:
        sys.exit(status)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
