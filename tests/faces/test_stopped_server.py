"""A server that is stopped, or left, in the middle of things ends in order, without a word."""

import json
import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.skipif(os.name == "nt", reason="a console's ctrl-C reaches the tests too")

LONGEST_S = 60.0
"""That a busy machine may take to stop a server [s]."""

Started = tuple["subprocess.Popen[str]", int]


@pytest.fixture
def start(tmp_path: Path) -> Iterator[Callable[[], Started]]:
    """Starts a server over the test's folder, in a group of its own as a terminal does it."""
    begun = []

    def started() -> Started:
        process = subprocess.Popen(
            [sys.executable, "-m", "tankside", "serve", "--port", "0", "--home", str(tmp_path)],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            start_new_session=True,
            preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
        )
        begun.append(process)
        assert process.stdout is not None
        found = re.search(r"http://127\.0\.0\.1:(\d+)/", process.stdout.readline())
        assert found is not None
        return process, int(found[1])

    yield started
    for process in begun:
        if process.poll() is None:
            os.killpg(process.pid, signal.SIGKILL)
        process.communicate()


def half_a_form(port: int, path: str) -> socket.socket:
    """A connection on which the rest of a form is still to come."""
    link = socket.create_connection(("127.0.0.1", port))
    link.sendall(
        f"POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Length: 100\r\n"
        "Content-Type: multipart/form-data; boundary=x\r\n\r\n--x\r\n".encode()
    )
    time.sleep(0.5)  # until the server waits for it
    return link


def asked(port: int, path: str, data: bytes | None = None) -> Any:
    """The API's answer."""
    with urllib.request.urlopen(f"http://127.0.0.1:{port}/api/v1/{path}", data, 60) as answer:
        return json.load(answer)


def state_of(port: int, work: str, *, until: set[str]) -> str:
    """The state of work, once it is one of these."""
    for _ in range(int(10 * LONGEST_S)):
        state = str(asked(port, f"work/{work}")["state"])
        if state in until:
            return state
        time.sleep(0.1)
    raise AssertionError(f"{work} is {state}")


@pytest.mark.parametrize("path", ["/parts", "/baths/new", "/api/v1/parts"])
def test_a_form_half_sent_holds_no_server_up(start: Callable[[], Started], path: str) -> None:
    server, port = start()
    with half_a_form(port, path):
        server.send_signal(signal.SIGTERM)
        _, told = server.communicate(timeout=LONGEST_S)
    assert told == ""
    assert server.returncode == -signal.SIGTERM


def test_who_leaves_in_the_middle_of_a_form_is_no_fault(start: Callable[[], Started]) -> None:
    server, port = start()
    for path in ("/parts", "/baths/new", "/api/v1/parts", "/runs/run-0/reading"):
        half_a_form(port, path).close()
    assert asked(port, "work") == []
    server.send_signal(signal.SIGTERM)
    _, told = server.communicate(timeout=LONGEST_S)
    assert told == ""


@pytest.mark.parametrize("presses", [1, 2])
def test_ctrl_c_is_the_orderly_end_and_work_goes_on_later(
    start: Callable[[], Started], presses: int
) -> None:
    server, port = start()
    part = str(asked(port, "parts/example", b"")["id"])
    state_of(port, part, until={"running"})
    with half_a_form(port, "/parts"):
        for _ in range(presses):
            os.killpg(server.pid, signal.SIGINT)
            time.sleep(0.3)
        _, told = server.communicate(timeout=LONGEST_S)
    assert told == ""
    assert server.returncode == 0
    again, port = start()
    assert state_of(port, part, until={"done", "failed", "cancelled"}) == "done"
    os.killpg(again.pid, signal.SIGINT)
    assert again.communicate(timeout=LONGEST_S)[1] == ""
