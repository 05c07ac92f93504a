"""From an empty shelf to a bath that is kept, on a phone beside the tank."""

from typing import Any

from tests.browser.workshop import window


def test_a_make_up_and_the_first_analysis(browser: Any, bench: str) -> None:
    with window(browser, "phone") as page:
        page.goto(bench + "shelf")
        page.get_by_role("button", name="Put these there").click()
        page.wait_for_selector("text=battery acid")
        page.goto(bench + "baths")
        page.get_by_role("link", name="Work out a make-up").click()
        page.get_by_label("How much").fill("10 L")
        page.get_by_role("button", name="Work it out").click()
        page.wait_for_selector("text=Steps, in this order")
        page.get_by_label("Its name").fill("long tank")
        page.get_by_role("button", name="It is mixed").click()
        page.wait_for_selector("text=What is in it")
        page.get_by_label("Sulfuric acid", exact=True).fill("24 ± 1,5 g/L")
        page.get_by_role("button", name="Note it").first.click()
        page.wait_for_selector("text=Since it was made")
        page.wait_for_selector("#doses .option")
        page.get_by_text("Plated", exact=True).click()
        page.get_by_label("Charge").fill("18 Ah")
        page.locator("details[open] button", has_text="Note it").last.click()
        page.wait_for_selector("text=charge 18 Ah")
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
        assert page.complaints == []
