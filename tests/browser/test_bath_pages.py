"""A bath beside the tank: measured, dosed, looked ahead, asked about, and handed over."""

from collections.abc import Iterator
from typing import Any

import pytest

from tests.browser.workshop import server, window

WAS = {"volume": "10 ± 0.1 L", "copper": "55 ± 1 g/L", "sulfuric_acid": "20 ± 1 g/L",
       "chloride": "70 ± 5 mg/L"}  # fmt: skip


@pytest.fixture(scope="module")
def shop(browser: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a server whose shelf is the example's."""
    with server(tmp_path_factory.mktemp("shop")) as address:
        with window(browser) as page:
            page.request.post(address + "api/v1/shelf/example")
        yield address


@pytest.fixture
def bath(browser: Any, shop: str, request: pytest.FixtureRequest) -> str:
    """The address of a bath low in acid, of its own for each journey."""
    with window(browser) as page:
        sent = {"name": request.node.name[:60], "answers": WAS}
        made = page.request.post(shop + "api/v1/baths/take-over", data=sent)
        return f"{shop}baths/{made.json()['id']}"


def test_copper_is_titrated_looked_at_kept_and_taken_back(browser: Any, bath: str) -> None:
    with window(browser, "phone") as page:
        page.goto(bath)
        page.get_by_role("navigation", name="This bath").get_by_role("link", name="Measure").click()
        page.get_by_role("link", name="How to do it").first.click()
        page.wait_for_selector("text=Read this first")
        sheet = page.request.get(page.url + "/sheet.pdf?expected=55+g/L")
        assert sheet.headers["content-type"] == "application/pdf"
        page.get_by_role("link", name="Put the readings in").click()
        page.get_by_label("Run 1").fill("16,05")
        page.wait_for_selector("#said-run1 .wrong")
        assert "unit" in page.locator("#said-run1").inner_text()
        page.get_by_label("Run 1").fill("16,05 mL")
        page.wait_for_selector("#said-run1 .read")
        page.get_by_label("Run 2").fill("15,95 mL")
        page.get_by_label("Bath in the flask").fill("2 mL")
        page.get_by_role("button", name="Work it out").click()
        page.wait_for_selector("text=What it would do to the estimate")
        assert page.locator(".result .value").inner_text().startswith("50.8")
        page.get_by_role("button", name="Keep it in the ledger").click()
        page.wait_for_selector("text=Noted")
        page.get_by_role("button", name="Take it back").click()
        page.wait_for_selector(".ledger .gone")
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
        assert page.complaints == []


def test_readings_survive_a_phone_that_sleeps(browser: Any, bath: str) -> None:
    with window(browser, "phone") as page:
        page.goto(bath + "/measure/acid")
        page.get_by_label("Run 1").fill("6.10 mL")
        page.goto("about:blank")
        page.goto(bath + "/measure/acid")
        assert page.get_by_label("Run 1").input_value() == "6.10 mL"


def test_a_dose_is_noted_as_it_was_really_done(browser: Any, bath: str) -> None:
    with window(browser, "phone") as page:
        page.goto(bath)
        page.wait_for_selector("#doses .option")
        page.get_by_role("link", name="All ways, and note what was done").click()
        first = page.locator("#way1")
        amount = first.get_by_label("battery acid")
        box = amount.bounding_box()
        assert box is not None
        assert box["height"] >= 60  # for a glove
        press = first.get_by_role("button", name="Note it as done").bounding_box()
        assert press is not None
        assert press["height"] >= 56
        amount.fill("0,9 L")
        first.get_by_role("button", name="Note it as done").click()
        page.wait_for_selector("text=Noted")
        assert "battery acid" in page.locator(".note.good").inner_text()
        page.get_by_role("button", name="Take it back").click()
        page.wait_for_selector(".ledger .gone")
        assert page.complaints == []


def test_a_week_is_told_and_the_bath_looked_ahead(browser: Any, bath: str) -> None:
    with window(browser) as page:
        page.goto(bath + "/forecast")
        page.get_by_label("Plated in a week").fill("20 Ah")
        page.get_by_label("Parts lifted out in a week").fill("9 dm^2")
        page.get_by_label("Topped up with").fill("tap water")
        page.get_by_role("button", name="Look ahead").click()
        page.wait_for_selector(".ahead svg")
        assert page.locator(".ahead").count() == 4
        assert page.get_by_label("Plated in a week").input_value() == "20 Ah"
        assert page.complaints == []


def test_bleach_and_ammonia_are_answered_with_no(browser: Any, bath: str) -> None:
    with window(browser, "phone") as page:
        page.goto(bath)
        page.get_by_role("link", name="Safe to add?").click()
        page.get_by_label("Substance 1", exact=True).fill("ammonia")
        page.get_by_label("Substance 2", exact=True).fill("bleach")
        page.get_by_role("button", name="Ask").click()
        assert "chloramine" in page.locator(".note.bad").inner_text()


def test_a_bath_is_handed_over_put_away_and_taken_back(browser: Any, bench: str, bath: str) -> None:
    with window(browser) as page:
        page.goto(bath + "/retire")
        first = page.locator("main .note").first.inner_text()
        assert "Nothing of it goes down a drain" in first
        sheet = page.request.get(bath + "/retire/hand-over.pdf?name=long+tank")
        assert sheet.body().startswith(b"%PDF")
        page.get_by_role("button", name="It was handed over").click()
        page.wait_for_url("**/baths?away=1")
        page.goto(bath + "/retire")
        page.get_by_role("button", name="Take it back into use").click()
        page.wait_for_selector("text=What is in it")
        assert page.complaints == []
