"""One furnished store for all workers of a run: the process that begins the run holds its server,
and the test that first wants its pages furnishes it, while others wait."""

import json
import os
import tempfile
from contextlib import ExitStack
from pathlib import Path
from typing import Any

from tests.browser.pictures import pages_of
from tests.browser.workshop import server

ADDRESS, FOLDER = "TANKSIDE_TEST_FURNISHED", "TANKSIDE_TEST_FURNISHED_IN"
"""By these the processes that xdist starts know the server, and the folder of what is in it."""


def held() -> ExitStack:
    """Starts the server; whoever gets this ends it."""
    stack = ExitStack()
    folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="tankside-furnished-")))
    os.environ[ADDRESS] = stack.enter_context(server(folder / "home"))
    os.environ[FOLDER] = str(folder)
    return stack


def furnished_pages(browser: Any) -> dict[str, str]:
    """Addresses of every page by name, made once for the whole run."""
    import fcntl  # Windows has none, and reads this file where it tests without a browser

    address, folder = os.environ[ADDRESS], Path(os.environ[FOLDER])
    told = folder / "pages.json"
    with (folder / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not told.exists():
            pages = {name: address + path for name, path in pages_of(browser, address).items()}
            told.write_text(json.dumps(pages), "utf-8")
        return dict(json.loads(told.read_text("utf-8")))
