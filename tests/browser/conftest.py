"""Browser journeys run only where asked for (`python3 dev.py browser`): they need a Chromium.

Several workers go through them at once. Each has a browser and a server of its own; the store with
something on every page is one for all.
"""

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.browser.shared_store import furnished_pages, held
from tests.browser.workshop import chromium, over, server, window

ASKED_FOR = bool(os.environ.get("TANKSIDE_BROWSER"))
collect_ignore_glob = [] if ASKED_FOR else ["test_*.py"]
LONGEST_FIRST = ("furnished", "home")
"""Fixtures of long journeys, in the order in which they begin, so that short ones fill the end."""


def pytest_sessionstart(session: pytest.Session) -> None:
    """The run's first process holds the server of the furnished store, until its end."""
    is_first = not hasattr(session.config, "workerinput")
    if ASKED_FOR and is_first and not session.config.option.collectonly:
        session.config.add_cleanup(held().close)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Long journeys first."""
    if ASKED_FOR:
        items.sort(key=_turn)


def _turn(item: pytest.Item) -> int:
    wanted = getattr(item, "fixturenames", ())
    return next((k for k, name in enumerate(LONGEST_FIRST) if name in wanted), len(LONGEST_FIRST))


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """One Chromium for all journeys of a worker."""
    with chromium() as found:
        yield found


@pytest.fixture(scope="session")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of one server with an empty store."""
    with server(tmp_path_factory.mktemp("home")) as address:
        yield address


@pytest.fixture(scope="session")
def example(browser: Any, bench: str) -> str:
    """The address of the example part on the bench, examined once for all journeys that begin with
    it and leave it as it is."""
    with window(browser) as page:
        part = page.request.post(f"{bench}api/v1/parts/example").json()["id"]
        over(page, bench, part)
    return f"{bench}parts/{part}"


@pytest.fixture(scope="session")
def furnished(browser: Any) -> dict[str, str]:
    """Addresses of every page by name, over a store with a part, a plan, runs and baths; "bench" is
    the server's own. What is there stays as it is; more may be added."""
    return furnished_pages(browser)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A folder of data for a server of one's own."""
    return tmp_path / "home"
