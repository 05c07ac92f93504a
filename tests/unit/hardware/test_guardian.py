"""The guardian: output off at the end, on errors, on silence, and when run, link or supply die."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator

import pytest

from tankside.app.run_ports import HardLimits
from tankside.base.errors import BadInput, HardwareFault
from tankside.hardware.declaration import declarations
from tankside.hardware.guardian import GuardedSupply, Post
from tankside.hardware.simulated.cell import SimulatedCell
from tankside.hardware.simulated.server import SimulatedServer

SOON_S = 15.0


@pytest.fixture
def server() -> Iterator[SimulatedServer]:
    with SimulatedServer(SimulatedCell(noise=0.0)) as held:
        yield held


def post(server: SimulatedServer, patience: float = 30.0) -> Post:
    return Post(
        resource=server.resource,
        limits=HardLimits(current=3.0, voltage=6.0),
        known=declarations(),
        patience=patience,
        reaching=5.0,
    )


def soon(happens: Callable[[], bool]) -> bool:
    until = time.monotonic() + SOON_S
    while time.monotonic() < until:
        if happens():
            return True
        time.sleep(0.02)
    return False


def plating(server: SimulatedServer, patience: float = 30.0) -> GuardedSupply:
    supply = GuardedSupply(post(server, patience))
    supply.set(1.0, 5.0)
    supply.on()
    assert server.supply.output
    return supply


def test_works_like_the_supply_itself_and_ends_off(server: SimulatedServer) -> None:
    supply = plating(server)
    assert "simulated" in supply.identity()
    assert supply.measured().current == pytest.approx(1.0)
    with pytest.raises(BadInput, match="hard limit"):
        supply.set(5.0, 5.0)
    supply.close()
    assert not server.supply.output
    assert not supply.process.is_alive()


def test_a_silent_run_is_switched_off_and_may_go_on(server: SimulatedServer) -> None:
    supply = plating(server, patience=0.5)
    assert soon(lambda: not server.supply.output)
    supply.on()
    assert server.supply.output
    supply.close()


def test_a_cut_link_is_opened_anew_and_the_output_off(server: SimulatedServer) -> None:
    supply = plating(server)
    server.cut()
    with pytest.raises(HardwareFault, match="its output is off"):
        supply.measured()
    assert not server.supply.output
    supply.close()


def test_a_supply_that_dies_is_told_by_hand(server: SimulatedServer) -> None:
    supply = plating(server)
    server.supply.lies.add("silent")
    with pytest.raises(HardwareFault, match="may be ON: switch it off by hand, now"):
        supply.measured()
    server.supply.lies.clear()
    supply.close()
    assert not server.supply.output


def test_a_dead_guardian_is_told(server: SimulatedServer) -> None:
    supply = plating(server)
    os.kill(supply.process.pid or 0, signal.SIGKILL)
    supply.process.join(SOON_S)
    with pytest.raises(HardwareFault, match="guardian has ended"):
        supply.measured()
    supply.close()


def test_a_guardian_asked_to_end_switches_off_first(server: SimulatedServer) -> None:
    supply = plating(server)
    os.kill(supply.process.pid or 0, signal.SIGTERM)
    assert soon(lambda: not server.supply.output)
    supply.process.join(SOON_S)
    with pytest.raises(HardwareFault, match="guardian has ended"):
        supply.on()
    assert not server.supply.output


def test_no_supply_there_is_one_sentence() -> None:
    with SimulatedServer() as gone:
        missing = post(gone)
    with pytest.raises(HardwareFault, match=r"TCPIP.*refused"):
        GuardedSupply(missing)


RUN = """
import sys, time
from tests.unit.hardware.test_guardian import post, plating
class Server:
    resource = sys.argv[1]
from tankside.hardware.guardian import GuardedSupply
if __name__ == "__main__":
    supply = GuardedSupply(post(Server()))
    supply.set(1.0, 5.0)
    supply.on()
    print("on", flush=True)
    {end}
"""


@pytest.mark.parametrize(
    "end",
    ["time.sleep(600)", "raise SystemExit", "raise RuntimeError", "import os; os._exit(3)"],
    ids=["killed", "exits", "raises", "vanishes"],
)
def test_however_the_runs_process_ends_the_output_goes_off(
    server: SimulatedServer, end: str, tmp_path: object
) -> None:
    script = os.path.join(str(tmp_path), "run.py")
    with open(script, "w", encoding="utf-8") as file:
        file.write(RUN.replace("{end}", end))
    root = os.path.abspath(os.path.join(os.path.dirname(__file__), "..", "..", ".."))
    run = subprocess.Popen(
        [sys.executable, script, server.resource],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env=os.environ | {"PYTHONPATH": root},
    )
    assert run.stdout is not None
    assert run.stdout.readline().strip() == b"on"
    if "sleep" in end:
        assert server.supply.output
        run.send_signal(signal.SIGKILL)
    assert soon(lambda: not server.supply.output)
    run.wait(SOON_S)
    run.stdout.close()
