"""A first plan from one's own file, other ways to do it, and two plans beside each other."""

import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests.browser.test_journeys import PLANNED
from tests.browser.workshop import drawn, drawn_finely, server, window
from tests.faces.conftest import block_stl

TIP = "document.querySelectorAll('.pv-tip')[{}].textContent"


def test_a_first_plan_from_an_own_file(browser: Any, home: Path, tmp_path: Path) -> None:
    file = tmp_path / "hook.stl"
    file.write_bytes(block_stl(30.0))
    with window(browser, "phone") as page:
        with server(home) as address:
            page.goto(address)
            page.get_by_role("link", name="Make a first plan of your part").click()
            page.get_by_label("The part's file").set_input_files(file)
            page.get_by_role("button", name="Examine it, and go on").click()
            page.wait_for_selector("text=How large is it?")
            page.get_by_label("3 × 3 × 3 cm").check()
            page.get_by_role("button", name="Go on").click()
            page.wait_for_selector("h1:has-text('The tank')")
            page.get_by_label("Length inside").fill("32 cm")
            page.get_by_role("button", name="Go on").click()
            page.get_by_label("Which bath").select_option("conventional")
            page.get_by_role("button", name="Fill its numbers in").click()
            assert page.get_by_label("Sulfuric acid", exact=True).input_value() == "52.5 g/L"
            page.get_by_label("Temperature").fill("24 degC")
            at, port = page.url, int(address.rsplit(":", 1)[1].strip("/"))
        with server(home, port) as address:
            page.goto(address)  # the server was away; the answers were not
            page.complaints.clear()  # of what was asked while it was
            page.get_by_role("link", name="hook").first.click()
            assert page.url == at
            assert page.get_by_label("Temperature").input_value() == "24 degC"
            page.get_by_role("button", name="Fill its numbers in").click()
            page.get_by_role("button", name="Go on").click()
            page.get_by_label("Its surface now").select_option("metal")
            page.get_by_role("button", name="Go on").click()
            page.get_by_role("button", name="Go on").click()
            page.get_by_label("Copper thickness").fill("15 um")
            page.wait_for_selector("text=Read as 15 µm")
            page.get_by_role("button", name="Go on").click()
            assert "32 cm" in page.locator("main").inner_text()
            page.get_by_role("button", name="Work the plan out").click()
            page.wait_for_selector("text=Set the current to", timeout=PLANNED)
            drawn(page)
        assert page.complaints == []


def test_other_ways_are_worked_out_by_one_press(browser: Any, furnished: dict[str, str]) -> None:
    with window(browser) as page:
        page.goto(furnished["plan"])
        ways = page.locator("#alternatives")
        assert "Gained:" in ways.inner_text()
        for box in ways.get_by_role("checkbox").all():
            box.uncheck()
        ways.get_by_role("checkbox", name="A thinner coat").check()
        ways.get_by_role("button", name="Work these out").click()
        page.wait_for_selector("#alternatives h3:has-text('A thinner coat')", timeout=PLANNED)
        assert page.complaints == []


@pytest.mark.parametrize("width", ["wide", "phone"])
def test_two_plans_turn_and_tell_together(
    browser: Any, furnished: dict[str, str], width: str
) -> None:
    with window(browser, width) as page:
        page.goto(furnished["compare"])
        drawn_finely(page)
        assert page.locator(".pv-stage canvas").count() == 3
        canvases = page.locator(".pv-stage canvas")
        before = [canvases.nth(n).screenshot() for n in range(2)]
        canvases.nth(0).focus()
        page.keyboard.press("ArrowLeft")
        drawn_finely(page)
        for n in range(2):
            assert canvases.nth(n).screenshot() != before[n]
        page.get_by_role("button", name="Thinnest place").click()
        tips = [page.evaluate(TIP.format(n)) for n in range(2)]
        assert all(tip.startswith("Thinnest place: Thickness") for tip in tips)
        canvases.nth(0).click()
        tips = [page.evaluate(TIP.format(n)) for n in range(2)]
        places = [re.findall(r"at (.*)", tip)[0] for tip in tips]
        assert places[0] == places[1]
        assert tips[0] != tips[1]  # the same place, another thickness
        page.get_by_role("button", name="Most gained").click()
        assert "+" in page.evaluate(TIP.format(2))
        apart = page.locator("part-view").nth(2)
        hand, asked = apart.get_by_label("Time"), []
        page.on("request", lambda request: asked.append(request.url))
        drawn_finely(page)
        at_the_end = apart.locator("canvas").first.screenshot()
        hand.focus()
        page.keyboard.press("Home")
        assert re.search(r"first after \d+ s, other after \d+ s", apart.inner_text())
        drawn_finely(page)
        assert apart.locator("canvas").first.screenshot() != at_the_end
        assert asked == []  # without the server
        assert page.complaints == []


def test_the_parts_picture_speaks_the_pages_language(
    browser: Any, furnished: dict[str, str]
) -> None:
    """Whatever the page hands over as words, units and decimal mark is all that is said."""
    from tankside.web.view_words import TEXTS

    handed = json.dumps({text: f"⟦{text}⟧" for text in TEXTS}, ensure_ascii=False)

    def told(route: Any) -> None:
        answer = route.fetch()
        quoted = handed.replace("&", "&amp;").replace('"', "&#34;")
        body = answer.text().replace('words="{}"', f'words="{quoted}"')
        body = body.replace('units="metric" mark="."', 'units="US" mark=","')
        route.fulfill(response=answer, body=body)

    with window(browser) as page:
        page.route(furnished["plan"], told)
        page.goto(furnished["plan"])
        drawn(page)
        page.get_by_role("button", name="Thinnest place").click()
        page.locator("part-view summary").click()
        said = page.locator("part-view").inner_text()
        said += page.locator("part-view canvas").first.get_attribute("aria-label")
        assert "mil" in said
        assert "µm" not in said
        assert not re.search(r"\d\.\d", said)
        left = re.sub(r"⟦[^⟦⟧]*⟧", "", re.sub(r"⟦[^⟦⟧]*⟧", "", said))
        left = left.replace("Lantern finial with its copper", "")
        units = re.sub(r"\b(?:mil|in|A/ft²|min|h|s)\b", "", left)
        assert not re.search(r"[A-Za-z]{2}", units), units
