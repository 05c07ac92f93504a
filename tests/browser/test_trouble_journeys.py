"""What people do when something went wrong, on a phone beside the tank."""

import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from tests.browser.workshop import drawn, window


def test_from_words_to_a_check_a_remedy_and_what_it_was(browser: Any, bench: str) -> None:
    with window(browser, "phone") as page:
        page.goto(bench)
        page.get_by_role("link", name="Trouble").click()
        page.get_by_label("In your own words").fill("black edges")
        burnt = page.locator("#likely").get_by_label("Burnt edges and tips")
        burnt.check()
        page.get_by_text("What you measured").click()
        page.get_by_label("Bath temperature").fill("8 °C")
        page.get_by_role("button", name="What is behind it?").click()
        page.wait_for_selector("text=Likely causes, and why")
        first = page.locator(".checks > li").first
        asked = first.locator("p").first.text_content()
        first.get_by_role("button", name=re.compile("^Not sure")).click()
        page.wait_for_selector("text=Likely causes, and why")
        assert page.locator(".checks > li").first.locator("p").first.text_content() != asked
        page.get_by_text("What to do against it").first.click()
        assert page.get_by_text("First, on a beaker or coupon").first.is_visible()
        page.get_by_label("The bath is too cold").select_option("found")
        page.get_by_role("button", name="Keep what it was").click()
        page.wait_for_selector("text=Kept. It counts from now on.")
        assert page.get_by_role("row", name="The bath is too cold").is_visible()
        assert page.complaints == []


def test_a_ticked_look_outlives_a_reload(browser: Any, bench: str) -> None:
    with window(browser, "phone") as page:
        page.goto(bench + "trouble")
        page.get_by_label("Warts and nodules").check()
        page.reload()
        assert page.get_by_label("Warts and nodules").is_checked()


def test_the_place_is_clicked_on_the_planned_part(browser: Any, furnished: dict[str, str]) -> None:
    with window(browser) as page:
        page.goto(f"{furnished['bench']}trouble?seen=burnt-edges")
        plan = furnished["plan"].rsplit("/", 1)[1]
        page.get_by_label("The plan of the part").select_option(plan)
        page.get_by_role("button", name="Show the part to click on").click()
        drawn(page)
        page.locator(".pv-stage canvas").click()
        place = page.get_by_label("Where on the part").input_value()
        assert len(re.findall(r"-?[\d.]+ mm", place)) == 3
        page.get_by_role("button", name="What is behind it?").click()
        page.wait_for_selector("text=Likely causes, and why")
        page.get_by_text("What this stands on").click()
        assert page.get_by_text("fraction of copper's limit at that place").last.is_visible()


def test_a_panel_by_its_photo_goes_on_to_the_diagnosis(
    browser: Any, bench: str, tmp_path: Path
) -> None:
    photo = tmp_path / "panel.png"
    picture = np.full((240, 600, 3), (205, 120, 80), dtype=np.uint8)
    picture[:, :220] = (20, 14, 10)
    noise = np.random.default_rng(3).integers(-6, 7, picture.shape)
    Image.fromarray(np.clip(picture + noise, 0, 255).astype(np.uint8)).save(photo)
    with window(browser, "phone") as page:
        page.goto(bench + "trouble/panel")
        page.get_by_label("The photo").set_input_files(photo)
        corner = page.get_by_role("button", name="High-current edge, top")
        corner.wait_for()
        before = page.get_by_label("High-current edge, top").last.input_value()
        corner.focus()
        page.keyboard.press("ArrowLeft")
        assert page.locator("#high_top").input_value() != before
        page.get_by_role("button", name="Propose zones").click()
        page.wait_for_selector("text=stretches of even look")
        assert page.locator("#look0").input_value() == "burnt"
        page.locator("#look1").select_option("bright")
        page.get_by_role("button", name="Read it").click()
        page.wait_for_selector("text=Spoilt above")
        page.get_by_role("button", name="Ask what went wrong, with this panel").click()
        page.get_by_label("Burnt edges and tips").check()
        page.get_by_role("button", name="What is behind it?").click()
        page.wait_for_selector("h2:has-text('The test panel')")
        assert page.complaints == []


@pytest.mark.parametrize("path", ["trouble", "trouble?seen=trees&go=1", "trouble/panel"])
def test_no_page_is_wider_than_a_phone(browser: Any, bench: str, path: str) -> None:
    with window(browser, "phone") as page:
        page.goto(bench + path)
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= page.evaluate("document.documentElement.clientWidth")
