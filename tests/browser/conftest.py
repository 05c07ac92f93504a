"""Browser journeys run only where asked for (`python3 dev.py browser`): they need a Chromium."""

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.browser.pictures import pages_of
from tests.browser.workshop import chromium, over, server, window

collect_ignore_glob = [] if os.environ.get("TANKSIDE_BROWSER") else ["test_*.py"]


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """One Chromium for all journeys."""
    with chromium() as found:
        yield found


@pytest.fixture(scope="session")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of one server with an empty store."""
    with server(tmp_path_factory.mktemp("home")) as address:
        yield address


@pytest.fixture(scope="session")
def furnished(browser: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, str]]:
    """Addresses of every page by name, over a store with a part, a plan, runs and baths."""
    with server(tmp_path_factory.mktemp("furnished")) as address:
        yield {name: address + path for name, path in pages_of(browser, address).items()}


@pytest.fixture(scope="session")
def planned(browser: Any, bench: str) -> str:
    """A plan of the example on the bench, made once for all journeys that begin with one."""
    with window(browser) as page:
        part = page.request.post(f"{bench}api/v1/parts/example").json()["id"]
        over(page, bench, part)
        plan = page.request.post(f"{bench}api/v1/parts/{part}/plans", data={}).json()["id"]
        over(page, bench, plan)
    return str(plan)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A folder of data for a server of one's own."""
    return tmp_path / "home"
