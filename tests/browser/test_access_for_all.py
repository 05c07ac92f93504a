"""No page has a fault that axe-core finds, light or dark, wide or on a phone."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.browser.pictures import pages_of
from tests.browser.workshop import drawn, server, window

AXE = Path(__file__).parents[2] / "frontend" / "node_modules" / "axe-core" / "axe.min.js"


@pytest.fixture(scope="module")
def furnished(browser: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[list[str]]:
    """Addresses of every page, over a store with a part, a plan and a run."""
    with server(tmp_path_factory.mktemp("furnished")) as address:
        yield [address + path for path in pages_of(browser, address).values()]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", ["wide", "phone"])
def test_axe_finds_nothing(browser: Any, furnished: list[str], width: str, scheme: str) -> None:
    found = []
    with window(browser, width, scheme) as page:
        for address in furnished:
            page.goto(address)
            if page.locator("part-view").count():
                drawn(page)
            page.evaluate(AXE.read_text("utf-8"))
            result = page.evaluate("axe.run(document, { resultTypes: ['violations'] })")
            for fault in result["violations"]:
                places = [node["html"][:120] for node in fault["nodes"][:3]]
                found.append(f"{address}: {fault['id']}: {places}")
    assert not found, "\n".join(found)


def test_no_furnished_page_is_wider_than_a_phone(browser: Any, furnished: list[str]) -> None:
    with window(browser, "phone") as page:
        for address in furnished:
            page.goto(address)
            wide = page.evaluate("document.documentElement.scrollWidth")
            assert wide <= page.evaluate("document.documentElement.clientWidth"), address
