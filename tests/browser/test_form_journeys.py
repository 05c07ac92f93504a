"""Forms as hands use them: any unit, a change undone, nothing lost while the phone sleeps."""

from typing import Any

from tests.browser.test_journeys import PLANNED, take_the_example
from tests.browser.workshop import drawn, window


def to_the_form(page: Any, example: str) -> None:
    """From the example part to its plan's form."""
    page.goto(example)
    page.get_by_role("link", name="Plan its plating").click()


def test_changes_are_undone_one_by_one(browser: Any, example: str) -> None:
    with window(browser, "phone") as page:
        to_the_form(page, example)
        undo = page.get_by_role("button", name="Undo")
        assert undo.count() == 0, "there is nothing to undo"
        thickness, wires = page.get_by_label("Copper thickness"), page.get_by_label("Wires that")
        before = thickness.input_value(), wires.input_value()
        thickness.press_sequentially("0,2 mm")
        thickness.fill("0,2 mm")
        wires.select_option("1")
        page.locator("#said-thickness >> text=Read as 200 µm").wait_for()
        undo.tap()
        assert (thickness.input_value(), wires.input_value()) == ("0,2 mm", before[1])
        undo.tap()
        assert thickness.input_value() == before[0]
        assert undo.is_disabled()
        page.locator("#said-thickness >> text=Read as 120 µm").wait_for()
        page.reload()
        assert thickness.input_value() == before[0], "what was undone does not come back"


def test_what_was_kept_from_before_can_be_undone(browser: Any, example: str) -> None:
    with window(browser) as page:
        to_the_form(page, example)
        field = page.get_by_label("Copper thickness")
        before = field.input_value()
        field.fill("80 um")
        page.reload()
        assert field.input_value() == "80 um"
        page.get_by_role("button", name="Undo").click()
        assert field.input_value() == before


def test_a_sleeping_phone_loses_nothing(browser: Any, example: str) -> None:
    with window(browser, "phone") as page:
        to_the_form(page, example)
        form = page.url
        page.get_by_label("Copper thickness").fill("0,15 mm")
        asleep = page.context.new_cdp_session(page)
        asleep.send("Page.setWebLifecycleState", {"state": "frozen"})
        page.context.set_offline(True)
        page.wait_for_timeout(500)
        page.context.set_offline(False)
        asleep.send("Page.setWebLifecycleState", {"state": "active"})
        assert page.get_by_label("Copper thickness").input_value() == "0,15 mm"
        page.close()  # a phone that wants memory throws the page away
        again = page.context.new_page()
        again.goto(form)
        assert again.get_by_label("Copper thickness").input_value() == "0,15 mm"
        again.get_by_role("button", name="Work the plan out").click()
        again.get_by_role("button", name="Stop it").click()
        again.get_by_text("It was stopped").wait_for(timeout=PLANNED)  # others want the bench


def test_every_form_reads_back_what_is_typed(browser: Any, bench: str) -> None:
    with window(browser) as page:
        page.goto(bench + "shelf")
        page.get_by_label("Diameter inside").fill("0,28 m")
        page.locator("#said-vessel-diameter >> text=Read as 28 cm").wait_for()
        page.goto(bench + "baths/new")
        page.get_by_label("Warmth at the start").fill("68 °F")
        page.locator("#said-start >> text=Read as 20 °C").wait_for()
        page.goto(bench + "baths")
        page.get_by_label("Volume").fill("18 ± 0,5 L")
        page.locator("#said-volume >> text=Read as 17.5 to 18.5 L").wait_for()
        page.get_by_label("Sulfuric acid").fill("58")
        page.locator("#said-sulfuric_acid .wrong").wait_for()
        page.goto(bench + "costs")
        page.get_by_label("Copper anodes").fill("12 per kg")
        page.locator("#said-copper .wrong >> text=write for example").wait_for()
        page.goto(bench + "shop")
        page.get_by_text("Painted strip").first.click()
        page.get_by_label("Resistance").fill("0,05 kohm")
        page.locator("#said-strip-resistance >> text=Read as 50").wait_for()
        assert page.complaints == []


def test_what_was_taken_away_is_put_back(browser: Any, bench: str) -> None:
    with window(browser, "phone") as page:
        take_the_example(page, bench)
        part = page.url
        drawn(page)  # what it asks for is there still
        page.get_by_role("button", name="Forget it").tap()
        page.get_by_text("Forgotten: ").wait_for()
        page.get_by_role("button", name="Undo").tap()
        page.wait_for_url(part)
        page.get_by_text("Plan its plating").wait_for()
        assert page.complaints == []
