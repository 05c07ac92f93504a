"""Who comes in, from where, with what; and what every answer says to the browser."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tankside.web.access import Access, Role
from tests.unit.web.desk import PORT, IdleQueue, visitor
from tests.unit.web.test_languages import bare_texts, bracketed
from tests.unit.web.test_refusals import likes

__all__ = ["bracketed"]

LAN = "192.0.2.7"
SHARED = Access.shared([LAN])


@pytest.fixture
def here(tmp_path: Path) -> Iterator[Any]:
    with visitor(IdleQueue(tmp_path / "work")) as client:  # what it likes stays in this folder
        yield client


def on_the_phone(tmp_path: Path) -> Any:
    return visitor(IdleQueue(tmp_path), SHARED, peer="192.0.2.50", host=LAN)


def test_this_machine_comes_in(here: Any) -> None:
    assert here.get("/").status_code == 200


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example:8765", "", "192.0.2.7"])
def test_another_name_for_this_server_is_refused(here: Any, host: str) -> None:
    assert here.get("/", headers={"host": host}).status_code == 421


@pytest.mark.parametrize("host", ["localhost:8765", "127.0.0.1", "[::1]:8765"])
def test_the_usual_names_are_known(here: Any, host: str) -> None:
    assert here.get("/help", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "https://evil.example"},
        {"origin": "null"},
        {"origin": "http://127.0.0.1:9999"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_other_sites_cannot_act(here: Any, headers: dict[str, str]) -> None:
    for address in ("/parts/example", "/api/v1/parts/example"):
        assert here.post(address, headers=headers).status_code == 403
    assert here.get("/api/v1/work").json() == []


def test_a_person_is_refused_in_the_language_of_the_bench(here: Any, bracketed: str) -> None:
    likes(here, bracketed)
    strange = {"host": "evil.example"}
    page = here.get("/", headers=strange).text
    assert [text for text in bare_texts(page) if text != "Tankside"] == []
    assert "⟦" in page
    assert "⟦" not in here.get("/api/v1/work", headers=strange).text


def test_the_own_page_can_act(here: Any) -> None:
    origin = {"origin": f"http://127.0.0.1:{PORT}", "sec-fetch-site": "same-origin"}
    assert here.post("/parts/example", headers=origin, follow_redirects=False).status_code == 303


def test_every_answer_carries_the_policy(here: Any) -> None:
    for address in ("/", "/nowhere", "/static/tankside.css", "/api/v1/work", "/api/v1/nowhere"):
        headers = here.get(address).headers
        assert "default-src 'none'" in headers["content-security-policy"]
        assert "unsafe" not in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"
    refused = here.get("/", headers={"host": "evil.example"})
    assert "content-security-policy" in refused.headers


def test_a_request_that_announces_too_much_is_refused(here: Any) -> None:
    answer = here.post("/parts", content=b"", headers={"content-length": str(10**12)})
    assert answer.status_code == 413


def test_without_a_key_the_network_stays_outside(tmp_path: Path) -> None:
    with on_the_phone(tmp_path) as phone:
        assert phone.get("/").status_code == 403
        assert phone.get("/static/tankside.css").status_code == 403
        phone.cookies.set("tankside_key", "guessed")
        assert phone.get("/").status_code == 403


def test_a_server_that_is_not_shared_knows_no_key(tmp_path: Path) -> None:
    with visitor(IdleQueue(tmp_path), Access.here(), peer="192.0.2.50") as phone:
        phone.cookies.set("tankside_key", "")
        assert phone.get("/").status_code == 403


def test_a_key_opens_and_leaves_the_address(tmp_path: Path) -> None:
    with on_the_phone(tmp_path) as phone:
        first = phone.get(f"/?key={SHARED.keys[Role.LOOK]}", follow_redirects=False)
        assert first.headers["location"] == "/"
        cookie = first.headers["set-cookie"]
        assert "HttpOnly" in cookie
        assert "SameSite=Strict" in cookie
        assert phone.get("/").status_code == 200


def test_a_key_leads_to_no_other_site(tmp_path: Path) -> None:
    with on_the_phone(tmp_path) as phone:
        key = SHARED.keys[Role.LOOK]
        answer = phone.get(f"http://{LAN}:{PORT}//evil.example/?key={key}", follow_redirects=False)
        assert answer.headers["location"] == "/evil.example/"


def test_who_may_look_may_not_act(tmp_path: Path) -> None:
    with on_the_phone(tmp_path) as phone:
        phone.get(f"/?key={SHARED.keys[Role.LOOK]}")
        assert phone.get("/parts").status_code == 200
        assert phone.post("/parts/example").status_code == 403
        assert "Take the finial" not in phone.get("/").text


def test_who_may_operate_acts_but_does_not_see_the_codes(tmp_path: Path) -> None:
    with on_the_phone(tmp_path) as phone:
        phone.get(f"/?key={SHARED.keys[Role.OPERATE]}")
        assert phone.post("/parts/example", follow_redirects=False).status_code == 303
        assert phone.get("/share").status_code == 403


def test_the_codes_are_shown_on_the_machine_itself(tmp_path: Path) -> None:
    with visitor(IdleQueue(tmp_path), SHARED) as owner:
        shown = owner.get("/share").text
    for key in SHARED.keys.values():
        assert f"http://{LAN}:{PORT}/?key={key}" in shown
    assert shown.count("data:image/svg+xml") == 2


def test_two_servers_have_two_keys() -> None:
    assert Access.shared([LAN]).keys != Access.shared([LAN]).keys
    assert len(set(SHARED.keys.values())) == 2


@pytest.mark.parametrize(
    ("method", "address"),
    [
        ("POST", "/settings"),
        ("PUT", "/api/v1/preferences"),
        ("POST", "/work/part-000000000001/remove"),
        ("DELETE", "/api/v1/work/part-000000000001"),
    ],
)
def test_what_its_owner_alone_may_do(tmp_path: Path, method: str, address: str) -> None:
    with on_the_phone(tmp_path) as phone:
        phone.get(f"/?key={SHARED.keys[Role.OPERATE]}")
        assert phone.request(method, address).status_code == 403
        assert phone.post("/work/part-000000000001/cancel").status_code == 404, "it may be stopped"
    with visitor(IdleQueue(tmp_path)) as owner:
        assert owner.request(method, address).status_code != 403
