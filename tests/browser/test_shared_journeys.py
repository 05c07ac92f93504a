"""A phone on the workshop's network, with a key that may only look, and with one that may act."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tankside.web.access import local_address
from tests.browser.workshop import server, window

LAN = local_address()
pytestmark = pytest.mark.skipif(LAN is None, reason="this machine is on no network")


@pytest.fixture
def shared(home: Path) -> Iterator[str]:
    """The address on this machine of a server that is shared."""
    with server(home, 0, "--share") as address:
        yield address


def codes(browser: Any, address: str) -> list[str]:
    """The addresses that the codes hold, as the machine itself shows them: to look, to operate."""
    with window(browser) as page:
        page.goto(address + "share")
        assert page.locator("img.code").count() == 2
        for code in page.locator("img.code").all():
            assert code.evaluate("image => image.complete && image.naturalWidth > 100")
        found = re.findall(r"http://[\d.]+:\d+/\?key=[\w-]+", page.locator("main").inner_text())
    look, operate = dict.fromkeys(found)
    return [look, operate]


def test_who_comes_without_a_key_stays_outside(browser: Any, shared: str) -> None:
    outside = shared.replace("127.0.0.1", str(LAN))
    with window(browser, "phone", host=str(LAN)) as page:
        for address in (outside, outside + "api/v1/work", outside + "?key=" + "x" * 24):
            assert page.goto(address).status == 403
        assert "scan the code" in page.content().lower()


def test_a_key_to_look_shows_everything_and_changes_nothing(browser: Any, shared: str) -> None:
    look, _ = codes(browser, shared)
    with window(browser, "phone", host=str(LAN)) as page:
        page.goto(look)
        assert "key=" not in page.url, "it stays in no history"
        assert page.evaluate("document.cookie") == "", "no script can read it"
        page.get_by_role("link", name="Parts").first.click()
        assert page.get_by_role("button", name="example").count() == 0
        origin = page.url.rsplit("/", 1)[0]
        sent = page.request.post(f"{origin}/parts/example", headers={"origin": origin})
        assert sent.status == 403
        assert page.goto(f"{origin}/share").status == 403


def test_a_key_to_operate_plans_but_does_not_own(browser: Any, shared: str) -> None:
    _, operate = codes(browser, shared)
    with window(browser, "phone", host=str(LAN)) as page:
        page.goto(operate)
        page.get_by_role("button", name="Take the finial").click()
        page.get_by_role("link", name="Plan its plating").wait_for()
        page.reload()
        page.get_by_role("link", name="Plan its plating").wait_for()
        origin = "/".join(page.url.split("/")[:3])
        assert page.goto(f"{origin}/share").status == 403
        assert page.get_by_role("link", name="Use it on a phone").count() == 0
        page.goto(f"{origin}/settings")
        assert page.get_by_role("button", name="Keep these").count() == 0
