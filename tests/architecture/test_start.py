"""Importing the package and asking for help cost nothing that the person did not ask for."""

import subprocess
import sys
from pathlib import Path

from tankside.app.store_records import BathRecord
from tankside.storage.store.opening import opened

HEAVY = ("numpy", "scipy", "numba", "trimesh", "matplotlib", "pydantic", "pint", "pyarrow")


def loaded_after(statement: str) -> set[str]:
    program = f"{statement}\nimport sys\nprint(' '.join(sys.modules))"
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    return set(done.stdout.splitlines()[-1].split())


def test_importing_the_package_loads_no_library() -> None:
    assert loaded_after("import tankside").isdisjoint(HEAVY)


def test_asking_for_help_loads_no_library() -> None:
    statement = (
        "from tankside.main import run\n"
        "import contextlib, io\n"
        "with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):\n"
        "    run(['--help'])"
    )
    assert loaded_after(statement).isdisjoint(HEAVY)


FIRST_PAGE = """
import asyncio
from pathlib import Path
from tankside.main import run
import tankside.web.server as server
from tankside.web.access import Access

async def asked(app, path):
    said = []
    async def receive():
        return {"type": "http.request", "body": b"", "more_body": False}
    async def send(message):
        said.append(message)
    scope = {"type": "http", "http_version": "1.1", "method": "GET", "scheme": "http",
             "path": path, "raw_path": path.encode(), "query_string": b"", "root_path": "",
             "headers": [(b"host", b"127.0.0.1:1")],
             "client": ("127.0.0.1", 2), "server": ("127.0.0.1", 1)}
    await app(scope, receive, send)
    assert said[0]["status"] == 200, said

def served(options, make):
    app = make(Access.here(), 1)
    for path in PATHS:
        asyncio.run(asked(app, path))

server.served = served
assert run(["serve", "--home", HOME]) == 0
"""


def loaded_after_pages(home: Path, *paths: str) -> set[str]:
    """Modules after a start of `tankside serve` over this home that answered these pages."""
    return loaded_after(f"HOME, PATHS = {str(home)!r}, {paths!r}{FIRST_PAGE}")


def test_the_first_page_waits_for_no_other(tmp_path: Path) -> None:
    """On the first start ever, which makes the store, and on a later one that shows a bath."""
    heavy = {
        *("fastapi", "pydantic", "pydantic_core", "alembic", "mako", "scipy", "numba", "pint"),
        *("pyarrow", "trimesh", "skimage", "igl", "typst", "segno", "pyvisa", "matplotlib"),
    }
    for start in ("first", "later"):
        loaded = loaded_after_pages(tmp_path, "/")
        assert "sqlalchemy" in loaded
        assert {name.partition(".")[0] for name in loaded} & heavy == set(), start
        assert not {name for name in loaded if name.startswith("tankside.api")}
        pages = {name for name in loaded if name.startswith("tankside.web.pages.")}
        assert pages == {"tankside.web.pages.home"}
        if start == "first":
            store = opened(None, {"TANKSIDE_HOME": str(tmp_path)})
            store.baths.add("Cellar bath", BathRecord(family="acid sulfate"))
            store.close()


def test_all_other_pages_open_without_the_solvers(tmp_path: Path) -> None:
    """A first click waits for what is imported; work that needs these wakes them."""
    loaded = loaded_after_pages(tmp_path, "/", "/help", "/api/v1/work")
    assert {"tankside.web.every_page", "tankside.api.application"} <= loaded
    alone = {name.partition(".")[0] for name in loaded}
    assert alone.isdisjoint({"scipy", "numba", "pint", "pyarrow", "trimesh", "skimage", "igl"})
