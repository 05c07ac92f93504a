"""No page has a fault that axe-core finds, light or dark, wide or on a phone; none is cut."""

from typing import Any

import pytest

from tests.browser.workshop import drawn, faults_of, wider_than_its_screen, window


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", ["wide", "phone"])
def test_axe_finds_nothing(
    browser: Any, furnished: dict[str, str], width: str, scheme: str
) -> None:
    found = []
    with window(browser, width, scheme) as page:
        for address in furnished.values():
            page.goto(address)
            if page.locator("part-view").count():
                drawn(page)
            found += faults_of(page)
            if wider_than_its_screen(page):
                found.append(f"{address} is wider than its screen")
    assert not found, "\n".join(found)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_where_a_form_was_sent(
    browser: Any, furnished: dict[str, str], scheme: str
) -> None:
    """Pages that have no address of their own: a make-up, and a form with a wrong answer."""
    base = furnished["bench"]
    with window(browser, "phone", scheme) as page:
        page.goto(base + "baths/new")
        page.get_by_role("button", name="Work it out").click()
        page.get_by_text("Steps, in this order").wait_for()
        found = faults_of(page)
        page.get_by_label("How much").fill("ten")
        page.get_by_role("button", name="Work it out").click()
        page.locator(".note.bad").wait_for()
        found += faults_of(page)
        page.goto(furnished["plan-form"])
        page.get_by_label("Copper thickness").fill("thick")
        page.get_by_role("button", name="Work the plan out").click()
        page.locator(".note.bad").wait_for()
        found += faults_of(page)
    assert not found, "\n".join(found)
