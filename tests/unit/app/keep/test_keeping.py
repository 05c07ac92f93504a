"""Plans, runs, audits, costs, photos and shops go into the store, and come out as they went in."""

from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tankside.app.audit_a_run import AuditRequest, audit_a_run
from tankside.app.cost_a_run import CostReply
from tankside.app.keep.keep_a_photo import keep_a_photo
from tankside.app.keep.keep_a_plan import PlanToKeep, keep_a_plan
from tankside.app.keep.keep_a_shop import keep_a_shop
from tankside.app.keep.keep_an_audit import audits_of, keep_an_audit
from tankside.app.keep.keep_costs import keep_costs, sum_costs
from tankside.app.keep.list_things import list_things
from tankside.app.keep.stored_run import StoredRun, begun, opened
from tankside.app.know_a_shop import ShopReply
from tankside.app.store_ports import NothingKept, StaleWrite
from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.runs import events as e
from tankside.runs.calibration import Learned, Shop
from tankside.runs.costs import Prices, Spent, cost_of
from tankside.runs.series import totals
from tankside.storage.local_files import LocalFiles
from tankside.storage.store.store import KeptStore
from tests.faces.conftest import JOB, block_stl
from tests.unit.app.test_order_a_run import ORDER

MARCH, APRIL = 1.7724e9, 1.7752e9
"""2026-03-01 and 2026-04-03 [s since 1970]."""


def to_keep(folder: Path, **more: Any) -> PlanToKeep:
    (folder / "block.stl").write_bytes(block_stl())
    return PlanToKeep(
        job_text=JOB,
        job_name="block.toml",
        files=LocalFiles(folder),
        reply={"current_A": 1.5, "made_by": "Tankside 0.1.0"},
        sheets={"plan.pdf": b"%PDF-", "map.glb": b"glTF"},
        **more,
    )


def test_a_plan_is_kept_with_all_that_it_stood_on(store: KeptStore, tmp_path: Path) -> None:
    kept = keep_a_plan(store, "", to_keep(tmp_path))
    assert kept.name == "block"
    held = store.plans.get("block").value
    assert held.reply.entries()["current_A"] == 1.5
    assert held.job_text == JOB
    assert [file.mime for file in held.files] == ["application/pdf", "model/gltf-binary"]
    job, part = (one.id for one in held.used)
    assert store.jobs.find(job).value.parts == (part,)
    assert store.content(store.parts.find(part).value.file.sha256) == block_stl()


def test_a_plan_is_kept_with_the_shops_tests_that_its_job_names(
    store: KeptStore, tmp_path: Path
) -> None:
    job = JOB + '\n[shop]\nfile = "shop.toml"\n'
    with pytest.raises(BadInput, match=r"shop\.toml"):
        keep_a_plan(store, "", replace(to_keep(tmp_path), job_text=job))
    (tmp_path / "shop.toml").write_text("[[strip]]\n", "utf-8")
    kept = keep_a_plan(store, "", replace(to_keep(tmp_path), job_text=job))
    assert kept.value.inputs.entries() == {"shop_tests": "[[strip]]\n"}
    assert keep_a_plan(store, "", to_keep(tmp_path)).value.inputs.entries() == {}


def test_planning_again_keeps_a_second_plan_and_nothing_else_twice(
    store: KeptStore, tmp_path: Path
) -> None:
    first = keep_a_plan(store, "finial", to_keep(tmp_path))
    again = keep_a_plan(store, "finial", to_keep(tmp_path))
    assert (first.name, again.name) == ("finial", "finial 2")
    assert len(store.parts.all()) == len(store.jobs.all()) == 1
    assert first.value.used == again.value.used


def test_a_part_that_was_changed_is_a_new_revision_and_the_old_plan_keeps_the_old(
    store: KeptStore, tmp_path: Path
) -> None:
    first = keep_a_plan(store, "finial", to_keep(tmp_path))
    plan = to_keep(tmp_path)
    (tmp_path / "block.stl").write_bytes(block_stl() + b" ")
    again = keep_a_plan(store, "finial", plan)
    assert (first.value.used[1].version, again.value.used[1].version) == (1, 2)
    assert store.parts.find(*_of(first.value.used[1])).value.file.size == len(block_stl())


def _of(reference: Any) -> tuple[str, int]:
    return reference.id, reference.version


def test_a_run_in_the_store_is_a_run_like_any_other(store: KeptStore) -> None:
    run = begun(store, "finial", {"title": "finial"})
    run.add_events([e.Begun(at=MARCH), e.PoweredOn(at=MARCH + 1, by="supply")])
    for second in range(10):
        run.add_sample(MARCH + second, 1.1, 2.0)
    run.close()
    again = opened(store, "finial")
    assert again.order() == {"title": "finial"}
    assert again.events() == run.events()
    assert totals(again.series()).charge == pytest.approx(18.0)
    assert begun(store, "finial", {"title": "finial"}).run.name == "finial 2"


def test_samples_wait_a_second_at_most_while_others_follow(store: KeptStore) -> None:
    moment = [0.0]
    run = StoredRun(store, begun(store, "finial", {}).run, now=lambda: moment[0])
    for second in range(5):
        moment[0] = float(second)
        run.add_sample(MARCH + second, 1.1, 2.0)
        assert len(store.series(run.run.id)) >= second // 2 * 2
    moment[0] += 60.0
    run.add_events([e.Noted(at=MARCH + 9, text="x")])
    assert len(store.series(run.run.id)) == 5


def test_two_programs_cannot_carry_out_one_run(store: KeptStore) -> None:
    one = begun(store, "finial", {})
    other = opened(store, "finial")
    one.add_events([e.Begun(at=MARCH)])
    with pytest.raises(StaleWrite):
        other.add_events([e.Noted(at=MARCH + 1, text="me too")])
    assert len(one.events()) == 1


def test_a_run_that_is_not_there_is_said_so(store: KeptStore) -> None:
    with pytest.raises(NothingKept):
        opened(store, "finial")
    begun(store, "finial", {})
    with pytest.raises(UnknownName, match="finial"):
        opened(store, "finjal")


def test_an_audit_is_kept_once_with_what_was_measured(store: KeptStore) -> None:
    run = begun(store, "finial", {}).run
    request = AuditRequest(order=ORDER, charge=36000.0, before="80 g", after="91.5 g")
    reply = audit_a_run(request)
    first, again = (keep_an_audit(store, run, request, reply) for _ in range(2))
    assert first.id == again.id
    assert first.value.measured.entries()["after"] == "91.5 g"
    found = first.value.found.entries()["copper_mass_kg"]
    assert found["low"] < found["best"] < found["high"]
    other = AuditRequest(order=ORDER, charge=36000.0, before="80 g", after="91.4 g")
    assert keep_an_audit(store, run, other, audit_a_run(other)).name == "finial 2"
    assert len(audits_of(store, run.id)) == 2


PRICES = Prices(currency="EUR", copper=12.0, electricity=0.36 / 3.6e6)


def test_a_store_without_costs_says_how_to_keep_some(store: KeptStore) -> None:
    assert "run cost RUN --store" in sum_costs(store).text()


def costs(at: float = MARCH, prices: Prices = PRICES, **spent: float) -> CostReply:
    return CostReply(cost=cost_of(Spent(**spent), prices, title="finial", at=at))


def test_costs_sum_to_what_was_last_told_and_are_only_added_to(store: KeptStore) -> None:
    run = begun(store, "finial", {}).run
    assert len(keep_costs(store, run, costs(copper=0.05, plating=3.6e6))) == 2
    assert keep_costs(store, run, costs(copper=0.05, plating=3.6e6)) == ()
    dearer = Prices(currency="EUR", copper=14.0, electricity=0.36 / 3.6e6)
    (added,) = keep_costs(store, run, costs(prices=dearer, copper=0.05, plating=3.6e6))
    assert added.amount == Decimal("0.10")
    (back,) = keep_costs(store, run, costs(prices=dearer, copper=0.05))
    assert (back.amount, back.words) == (Decimal("-0.36"), "taken back")
    assert sum(one.amount for one in store.costs(run.id)) == Decimal("0.70")


def test_costs_add_up_by_month_part_and_purpose(store: KeptStore, tmp_path: Path) -> None:
    plan = keep_a_plan(store, "block", to_keep(tmp_path))
    run = begun(store, "block", {}, plan=plan.id).run
    loose = begun(store, "a test", {}).run
    keep_costs(store, run, costs(copper=0.05, plating=3.6e6))
    keep_costs(store, loose, costs(at=APRIL, copper=0.1))
    reply = sum_costs(store)
    assert reply.by_month["EUR"] == {"2026-03": Decimal("0.96"), "2026-04": Decimal("1.20")}
    assert reply.by_part["EUR"] == {"block": Decimal("0.96"), "no part": Decimal("1.20")}
    assert reply.by_purpose["EUR"] == {
        "copper": Decimal("1.80"),
        "energy, plating": Decimal("0.36"),
    }
    assert "2026-03" in reply.text()


def test_costs_of_a_run_stay_in_one_currency(store: KeptStore) -> None:
    run = begun(store, "finial", {}).run
    keep_costs(store, run, costs(copper=0.05))
    with pytest.raises(BadInput, match="kept in EUR"):
        keep_costs(store, run, costs(prices=Prices(currency="USD", copper=1.0), copper=0.05))
    with pytest.raises(BadInput, match="names a currency"):
        keep_costs(store, run, costs(prices=Prices(currency=""), copper=0.05))


def test_a_photo_is_kept_with_what_it_shows(store: KeptStore) -> None:
    run = begun(store, "finial", {}).run
    kept = keep_a_photo(
        store, "folder/rim.jpg", b"\xff\xd8\xff rest", of=["run: Finial"], words="a dull rim"
    )
    assert (kept.name, kept.value.of) == ("rim", (run.id,))
    assert store.content(kept.value.file.sha256).startswith(b"\xff\xd8\xff")
    assert kept.value.file.mime == "image/jpeg"


@pytest.mark.parametrize(
    ("content", "of", "told"),
    [
        (b"GIF89a", [], "no JPEG or PNG"),
        (b"\xff\xd8\xff" + b"0" * 30 * 2**20, [], "make it smaller"),
        (b"\xff\xd8\xff", ["finial"], "names no thing"),
        (b"\xff\xd8\xff", ["runs: finial"], "kind of thing"),
        (b"\xff\xd8\xff", ["run: crown"], "crown|no run"),
    ],
)
def test_what_is_no_photo_of_anything_is_refused(
    store: KeptStore, content: bytes, of: list[str], told: str
) -> None:
    with pytest.raises(BadInput, match=told):
        keep_a_photo(store, "rim.jpg", content, of=of)
    assert store.photos.all() == ()


def shop(conductivity: float) -> ShopReply:
    before = Shop.believed({"conductivity": Interval(0.8, 1.0, 1.25)})
    after = Shop(
        names=before.names, mean=np.array([conductivity]), covariance=0.1 * before.covariance
    )
    return ShopReply(before=before, learned=Learned(shop=after, chances={}), tests=1)


def test_a_shop_is_kept_and_revised_when_it_learns(store: KeptStore) -> None:
    first = keep_a_shop(store, "ours", shop(0.05))
    assert keep_a_shop(store, "ours", shop(0.05)).version == 1
    assert keep_a_shop(store, "ours", shop(0.06)).version == 2
    assert store.shops.find(first.id, 1).value.mean.tolist() == [0.05]


def test_things_are_listed_by_kind(store: KeptStore) -> None:
    assert "holds no run yet" in list_things(store, "run").text()
    run = begun(store, "finial", {}).run
    assert "finial" in list_things(store, "run").text()
    store.runs.archive(run)
    assert list_things(store, "run").things == ()
    assert "put away" in list_things(store, "run", archived=True).text()
    assert list_things(store, "supply").as_json() == {"kind": "supply", "things": []}
    with pytest.raises(UnknownName, match="kind"):
        list_things(store, "runs")
