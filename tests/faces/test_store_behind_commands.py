"""The commands of a whole loop, with the store behind them: plan, run, audit, cost, photo, shop."""

import json
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from tankside.app.store_records import BathRecord, SupplyRecord
from tankside.main import run
from tankside.storage.store.opening import opened
from tests.faces.conftest import JOB, block_stl
from tests.unit.app.test_know_a_shop import TESTS

Command = Callable[..., str]


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a job of 5 µm, and a store beside it with its run in it."""
    folder = tmp_path_factory.mktemp("shop")
    job = JOB.replace('thickness = "50 um"', 'thickness = "5 um"')
    (folder / "job.toml").write_text(job, "utf-8")
    (folder / "block.stl").write_bytes(block_stl())
    (folder / "tests.toml").write_text(TESTS, "utf-8")
    begin = ["run", "begin", "finial", str(folder / "job.toml"), "--quiet"]
    assert run([*begin, "--store", str(folder / "store.db")]) == 0
    return folder


@pytest.fixture
def command(place: Path, capsys: pytest.CaptureFixture[str]) -> Command:
    """Runs a command that must succeed; what it printed."""

    def ran(*words: str) -> str:
        capsys.readouterr()
        assert run([str(place / w[1:]) if w.startswith("@") else w for w in words]) == 0
        return capsys.readouterr().out

    return ran


def test_a_run_from_beginning_to_costs(place: Path, command: Command) -> None:
    stored = ("finial", "--store", "@store.db")
    go = command("run", "go", *stored, "--supply", "simulated", "--hurry", "200", "--yes")
    assert "The run has ended." in go
    shown = json.loads(command("run", "show", *stored, "--json"))
    assert shown["stage"] == "ended"
    assert shown["share"] == pytest.approx(1.0, abs=0.02)
    weights = ("--before", "80 g", "--after", f"{80.2 + 0.97 * shown['copper_g']:.3f} g")
    weights = (*weights, "--wires", "0.2 g", "--seen", "dull hollow")
    assert "Seen: dull hollow" in command("run", "audit", *stored, *weights, "--scale", "0.001 g")
    prices = ("--copper", "12 EUR/kg", "--work", "20 EUR/h")
    command("run", "cost", *stored, *prices, "--hands-on", "6 min")
    command("run", "record", "finial", "@record.pdf", "--store", "@store.db", *weights)
    assert (place / "record.pdf").read_bytes().startswith(b"%PDF")
    with closing(opened(str(place / "store.db"), {})) as store:
        held = store.runs.get("finial")
        assert store.plans.find(held.value.plan).name == "finial"
        (audit,) = store.audits.all()
        assert audit.value.run == held.id
        costs_of = {cost.what: str(cost.amount) for cost in store.costs(held.id)}
        assert costs_of.keys() == {"copper", "work"}
        assert costs_of["work"] == "2.00"
        assert audit.value.measured.entries()["wires"] == "0.2 g"
        assert len(store.series(held.id)) > 100
        assert list(store.check()) == []
    again = command("run", "cost", *stored, "--hands-on", "6 min")
    assert "2.00" in again  # by the price that was kept
    assert "2.00" in command("run", "cost", *stored)  # by the hours that were kept
    with closing(opened(str(place / "store.db"), {})) as store:
        assert [one.what for one in store.costs(held.id)] == ["copper", "work"]
    assert "work" not in command("run", "cost", *stored, "--hands-on", "0 min")
    costs = json.loads(command("store", "--at", "@store.db", "costs", "--json"))
    assert list(costs["by_part"]["EUR"]) == ["block"]
    assert "finial" in command("store", "--at", "@store.db", "list", "run")


def test_a_plan_is_kept_with_its_sheets(place: Path, command: Command) -> None:
    said = command("plan", "@job.toml", "--keep", "block, 5 um", "--store", "@store.db", "--quiet")
    assert "in the store as 'block, 5 um'" in said
    with closing(opened(str(place / "store.db"), {})) as store:
        plan = store.plans.get("block, 5 um").value
        assert {file.name for file in plan.files} == {
            "map.glb",
            "map.vtu",
            "panels.parquet",
            "plan.pdf",
            "view.bin",
            "rig.svg",
        }
        sheet = next(file for file in plan.files if file.name == "plan.pdf")
        assert store.content(sheet.sha256).startswith(b"%PDF")


def test_a_kept_plan_is_compared_with_a_file_and_a_job(place: Path, command: Command) -> None:
    command("plan", "@job.toml", "--keep", "thin", "--store", "@store.db", "--quiet")
    thick = (place / "job.toml").read_text("utf-8").replace('"5 um"', '"10 um"')
    (place / "thick.toml").write_text(thick, "utf-8")
    reply = command("plan", "@thick.toml", "--json", "--quiet")
    (place / "thick.json").write_text(reply, "utf-8")
    on = ("--store", "@store.db", "--quiet", "--copper", "12 EUR/kg", "--electricity", "0 EUR/kWh")
    found = json.loads(command("compare", "thin", "@thick.json", "@thick.toml", *on, "--json"))
    figures = {one["key"]: one["values"] for one in found["figures"]}
    assert [one["name"] for one in found["plans"]] == ["thin", "thick", "thick"]
    assert figures["thickness_mean_um"] == pytest.approx([5, 10, 10], rel=1e-3)
    assert figures["hours"][1] == pytest.approx(2 * figures["hours"][0], rel=0.02)
    assert figures["cost"][1] == pytest.approx(2 * figures["cost"][0], rel=0.02)
    said = command("compare", "thin", "@thick.json", "--store", "@store.db", "--units", "us")
    assert "mil" in said


def test_a_kept_shop_makes_the_next_plan_narrower(place: Path, command: Command) -> None:
    said = command("shop", "@tests.toml", "@job.toml", "--keep", "ours", "--store", "@store.db")
    assert "--shop 'ours'" in said
    plain = json.loads(command("plan", "@job.toml", "--json", "--quiet"))
    with closing(opened(str(place / "store.db"), {})) as store:
        bath = store.baths.add("the blue tank", BathRecord(family="acid sulfate"))
        supply = store.supplies.add("green", SupplyRecord(current_limit=5.0, voltage_limit=8.0))
    on = ("--shop", "ours", "--store", "@store.db", "--bath", "the blue tank", "--supply", "green")
    with_shop = (*on, "--keep", "with our numbers")
    known = json.loads(command("plan", "@job.toml", *with_shop, "--json", "--quiet"))
    assert _width(known) < 0.8 * _width(plain)
    with closing(opened(str(place / "store.db"), {})) as store:
        shop = store.shops.get("ours")
        used = store.plans.get("with our numbers").value.used
        assert {shop.reference, bath.reference, supply.reference} < set(used)
    command("run", "begin", "ours", "@job.toml", "--quiet", *on)
    with closing(opened(str(place / "store.db"), {})) as store:
        run_ = store.runs.get("ours").value
        assert store.plans.find(run_.plan).value.used[-3:] == used[-3:]
        assert run_.order.entries()["believed"]["efficiency"]["best"] < 0.995


def _width(plan: dict[str, dict[str, dict[str, float]]]) -> float:
    ends = plan["intervals"]["voltage_V"]
    return ends["high"] - ends["low"]


def test_a_photo_of_the_run(place: Path, command: Command) -> None:
    (place / "rim.png").write_bytes(b"\x89PNG\r\n\x1a\n rest")
    photo = ("photo", "@rim.png", "--of", "run: finial", "--words", "a dull rim")
    assert "as 'rim'" in command("store", "--at", "@store.db", *photo)
    assert "rim" in command("store", "--at", "@store.db", "list", "photo")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["run", "show", "nobody", "--store", "@store.db"], "nobody"),
        (["run", "go", "finjal", "--store", "@store.db", "--supply", "simulated"], "finial"),
        (["plan", "@job.toml", "--shop", "theirs", "--store", "@empty.db"], "no shop"),
        (["store", "--at", "@store.db", "list", "planes"], "plan"),
        (["store", "--at", "@store.db", "photo", "@job.toml"], "no JPEG or PNG"),
        (["store", "--at", "@store.db", "photo", "@nowhere.png"], "nowhere.png"),
        (["run", "show", "finial", "--store", "@job.toml"], "no store"),
        (
            ["shop", "@tests.toml", "@job.toml", "--audits", "--store", "@empty.db"],
            "no audit of a run",
        ),
        (["plan", "@job.toml", "--bath", "blue", "--store", "@store.db"], "add --keep NAME"),
        (["run", "begin", "x", "@job.toml", "--supply", "green"], "add --store"),
        (["plan", "@job.toml", "--bath", "b", "--keep", "x", "--store", "@empty.db"], "no bath"),
        (
            ["run", "cost", "finial", "--store", "@store.db", "--copper", "1/kg"],
            "names no currency",
        ),
        (["run", "cost", "finial", "--store", "@store.db", "--copper", "1 €/kg"], "three capital"),
    ],
)
def test_what_cannot_be_is_one_sentence(
    words: list[str], told: str, place: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run([str(place / w[1:]) if w.startswith("@") else w for w in words]) == 2
    error = capsys.readouterr().err
    assert told in error
    assert error.count("\n") == 1
