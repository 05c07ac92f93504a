"""Contacts placed on the surface, an anode moved into the part, the refusal read, the rig mended
and planned; by pointer, by touch and by keys."""

import re
from typing import Any

from tests.browser.test_journeys import PLANNED
from tests.browser.workshop import window

CAN_BE = "text=Nothing stands in the way of this rig"


def hang_the_example(page: Any, example: str) -> None:
    """From the example part to a rig of its own, drawn and checked."""
    page.goto(example)
    page.get_by_role("button", name="Hang it in 3D").click()
    page.wait_for_selector("rig-view canvas")
    page.wait_for_selector(CAN_BE)


def answer(page: Any, key: str) -> Any:
    """A field of the rig's form."""
    return page.locator(f'#rig [name="{key}"]')


def drawn_after(page: Any, act: str) -> None:
    """Does something on the canvas and waits until it was drawn."""
    page.evaluate(
        """(act) => new Promise((done) => {
             const canvas = document.querySelector("rig-view canvas");
             canvas.addEventListener("drawn", () => done(true), { once: true });
             canvas.dispatchEvent(new KeyboardEvent("keydown", { key: act }));
           })""",
        act,
    )


def on_the_part(page: Any) -> tuple[float, float]:
    """A point of the page under which the part is: the middle of the view, come nearer."""
    for _ in range(6):
        drawn_after(page, "+")
    page.locator("rig-view canvas").scroll_into_view_if_needed()
    box = page.locator("rig-view canvas").bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def test_contacts_are_placed_and_a_rig_that_cannot_be_is_mended(browser: Any, example: str) -> None:
    with window(browser) as page:
        hang_the_example(page, example)
        rows = page.locator('tr[data-thing^="contact."]')
        assert rows.count() == 2
        page.get_by_role("button", name="Place a contact").click()
        page.mouse.click(*on_the_part(page))
        page.wait_for_selector('tr[data-thing="contact.2"]')
        touched = rows.nth(2).get_by_role("cell").all_text_contents()
        assert all(re.match(r"^−?[\d.]+ mm$", text) for text in touched)
        page.wait_for_selector(CAN_BE)

        page.locator('[data-group="anode.0"] summary').click()
        field = answer(page, "anode.0.at.0")
        field.fill("0 cm")
        said = page.wait_for_selector("#rig-said .wrong")
        assert "overlaps" in said.text_content()
        page.get_by_role("button", name="Keep it and plan").click()
        page.wait_for_selector("#rig-said .wrong")
        assert "/rigs/" in page.url

        page.locator('[data-group="anode.0"] summary').click()
        answer(page, "anode.0.at.0").fill("-12,5 cm")
        page.wait_for_selector(CAN_BE)
        page.get_by_role("button", name="Keep it and plan").click()
        page.wait_for_url(re.compile("/plans/plan-"))
        page.wait_for_selector("text=Set the current to", timeout=PLANNED)


def test_the_chosen_thing_moves_by_keys(browser: Any, example: str) -> None:
    with window(browser) as page:
        hang_the_example(page, example)
        page.locator('[data-group="anode.1"] summary').click()
        answer(page, "anode.1.at.0").focus()
        page.wait_for_selector("text=Chosen: Anode 2")
        page.locator("rig-view canvas").focus()
        page.keyboard.press("ArrowLeft")
        page.keyboard.press("Shift+ArrowLeft")
        page.keyboard.press("PageDown")
        assert answer(page, "anode.1.at.0").input_value() == "124 mm"
        assert answer(page, "anode.1.at.2").input_value() == "135 mm"
        page.wait_for_function(
            """() => document.querySelector('[data-of="anode.1.at.0"]').textContent === "124 mm" """
        )
        page.get_by_role("button", name="Keep it", exact=True).click()
        page.wait_for_selector("text=Version 2, kept")
        page.get_by_role("button", name="Back to the version before").click()
        page.wait_for_selector("text=Version 3, kept")
        assert answer(page, "anode.1.at.0").input_value() == "130 mm"
        assert page.complaints == []


def test_a_part_is_moved_by_touch_and_its_contacts_follow(browser: Any, example: str) -> None:
    with window(browser, "phone") as page:
        hang_the_example(page, example)
        before = answer(page, "contact.0.near.2").input_value()
        page.get_by_role("button", name="Move a thing").tap()
        page.touchscreen.tap(*on_the_part(page))
        page.wait_for_selector("text=Chosen: Part 1")
        page.get_by_role("button", name="Up", exact=True).tap()
        page.wait_for_function(
            "(was) => document.querySelector('[name=\"contact.0.near.2\"]').value !== was",
            arg=before,
        )
        risen = float(answer(page, "contact.0.near.2").input_value().split()[0])
        assert risen == float(before.split()[0]) + 5
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= page.evaluate("document.documentElement.clientWidth")
        assert page.complaints == []


def test_answers_of_a_rig_outlive_a_reload(browser: Any, example: str) -> None:
    with window(browser) as page:
        hang_the_example(page, example)
        page.locator('[data-group="tank"] summary').click()
        answer(page, "tank.liquid_depth").fill("24 cm")
        page.wait_for_selector(CAN_BE)
        page.reload()
        page.wait_for_selector("rig-view canvas")
        assert answer(page, "tank.liquid_depth").input_value() == "24 cm"
