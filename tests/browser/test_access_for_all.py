"""No page has a fault that axe-core finds, light or dark, wide or on a phone; none is cut."""

from typing import Any

import pytest

from tests.browser.workshop import drawn, faults_of, wider_than_its_screen, window

SCHEMES = ("light", "dark")
SHARES = 3
"""Into so many tests the pages are dealt out, so that several workers share them."""


@pytest.mark.parametrize("share", range(SHARES))
@pytest.mark.parametrize("width", ["wide", "phone"])
def test_axe_finds_nothing(browser: Any, furnished: dict[str, str], width: str, share: int) -> None:
    found = []
    with window(browser, width) as page:
        for address in list(furnished.values())[share::SHARES]:
            page.goto(address)
            if page.locator("part-view").count():
                drawn(page)
            for scheme in SCHEMES:
                found += faults_of(page, scheme)
                if wider_than_its_screen(page):
                    found.append(f"{address} is wider than its screen, {scheme}")
    assert not found, "\n".join(found)


def test_axe_finds_nothing_where_a_form_was_sent(browser: Any, furnished: dict[str, str]) -> None:
    """Pages that have no address of their own: a make-up, and a form with a wrong answer."""
    base, found = furnished["bench"], []

    def looked_at(page: Any) -> None:
        for scheme in SCHEMES:
            found.extend(faults_of(page, scheme))

    with window(browser, "phone") as page:
        page.goto(base + "baths/new")
        page.get_by_role("button", name="Work it out").click()
        page.get_by_text("Steps, in this order").wait_for()
        looked_at(page)
        page.get_by_label("How much").fill("ten")
        page.get_by_role("button", name="Work it out").click()
        page.locator(".note.bad").wait_for()
        looked_at(page)
        page.goto(furnished["plan-form"])
        page.get_by_label("Copper thickness").fill("thick")
        page.get_by_role("button", name="Work the plan out").click()
        page.locator(".note.bad").wait_for()
        looked_at(page)
    assert not found, "\n".join(found)
