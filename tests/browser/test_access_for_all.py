"""No page has a fault that axe-core finds, light or dark, wide or on a phone; none is cut."""

from collections.abc import Iterator
from typing import Any

import pytest

from tests.browser.pictures import pages_of
from tests.browser.workshop import drawn, faults_of, server, wider_than_its_screen, window


@pytest.fixture(scope="module")
def furnished(browser: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[list[str]]:
    """Addresses of every page, over a store with a part, a plan and a run."""
    with server(tmp_path_factory.mktemp("furnished"), 0) as address:
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
            found += faults_of(page)
            if wider_than_its_screen(page):
                found.append(f"{address} is wider than its screen")
    assert not found, "\n".join(found)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_where_a_form_was_sent(
    browser: Any, furnished: list[str], scheme: str
) -> None:
    """Pages that have no address of their own: a make-up, and a form with a wrong answer."""
    base = furnished[0]
    with window(browser, "phone", scheme) as page:
        page.goto(base + "baths/new")
        page.get_by_role("button", name="Work it out").click()
        page.get_by_text("Steps, in this order").wait_for()
        found = faults_of(page)
        page.get_by_label("How much").fill("ten")
        page.get_by_role("button", name="Work it out").click()
        page.locator(".note.bad").wait_for()
        found += faults_of(page)
        part = next(one for one in furnished if "/parts/" in one and one.endswith("/plan"))
        page.goto(part)
        page.get_by_label("Copper thickness").fill("thick")
        page.get_by_role("button", name="Work the plan out").click()
        page.locator(".note.bad").wait_for()
        found += faults_of(page)
    assert not found, "\n".join(found)
