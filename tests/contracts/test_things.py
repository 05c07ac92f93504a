"""Things with names and revisions: the promises that every store keeps."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import tankside.app.store_records as r
from tankside.app.store_ports import StaleWrite
from tankside.base.errors import BadInput, UnknownName
from tankside.storage.store.rows import Rows
from tankside.storage.store.store import KeptStore
from tests.contracts.scene import ACID, fill, kept, picture, shop

BATH = r.BathRecord(family="acid sulfate")


def test_a_thing_is_found_by_name_and_by_id(store: KeptStore) -> None:
    bath = store.baths.add("  Cellar\tbath ", BATH)
    assert (bath.name, bath.version, bath.archived) == ("Cellar bath", 1, False)
    assert store.baths.get("cellar BATH") == store.baths.find(bath.id) == bath
    assert store.baths.all() == (bath,)


@pytest.mark.parametrize("second", ["cellar bath", "CELLAR  BATH", "Cellar bath"])
def test_a_name_is_given_once_within_a_kind(store: KeptStore, second: str) -> None:
    bath = store.baths.add("Cellar bath", BATH)
    with pytest.raises(BadInput, match="a bath is called 'Cellar bath' already; give another"):
        store.baths.add(second, BATH)
    store.baths.archive(bath)
    with pytest.raises(BadInput, match="already, and archived"):
        store.baths.add(second, BATH)
    store.tanks.add(second, r.TankRecord(table=""))


def test_names_that_differ_in_composed_signs_are_one(store: KeptStore) -> None:
    store.baths.add("Gr\u00fcn", BATH)
    with pytest.raises(BadInput, match="already"):
        store.baths.add("gru\u0308n", BATH)


def test_an_unknown_name_offers_close_ones(store: KeptStore) -> None:
    with pytest.raises(BadInput, match="holds no bath yet"):
        store.baths.get("Cellar bath")
    store.baths.add("Cellar bath", BATH)
    with pytest.raises(UnknownName, match="did you mean 'Cellar bath'"):
        store.baths.get("Celar bath")


@pytest.mark.parametrize("name", ["", " \n", "x" * 201, "a\0b", "a\x1bb", "half \ud83d"], ids=ascii)
def test_what_is_no_name_is_refused(store: KeptStore, name: str) -> None:
    with pytest.raises(BadInput, match="name"):
        store.baths.add(name, BATH)
    assert store.baths.all(archived=True) == ()


def test_every_revision_stays_readable(store: KeptStore) -> None:
    first = store.baths.add("Cellar bath", BATH)
    second = store.baths.revise(first, replace(BATH, notes="now with a brightener"))
    third = store.baths.rename(second, "Attic bath")
    assert [one.version for one in (first, second, third)] == [1, 2, 3]
    assert store.baths.history(first.id) == (first, second, third)
    assert store.baths.find(first.id, version=2) == second
    assert store.baths.get("attic bath") == third
    assert third.created == first.created < second.changed < third.changed
    with pytest.raises(UnknownName):
        store.baths.get("Cellar bath")
    with pytest.raises(BadInput, match="no revision 4"):
        store.baths.find(first.id, version=4)


@pytest.mark.parametrize(
    "change",
    [
        lambda baths, held: baths.revise(held, BATH),
        lambda baths, held: baths.rename(held, "another"),
        lambda baths, held: baths.archive(held),
        lambda baths, held: baths.unarchive(held),
        lambda baths, held: baths.remove(held),
    ],
    ids=["revise", "rename", "archive", "unarchive", "remove"],
)
def test_a_change_to_what_was_changed_meanwhile_is_stale(
    store: KeptStore, rows: Rows, change: Callable[[Any, Any], object]
) -> None:
    held = store.baths.add("Cellar bath", BATH)
    store.baths.revise(held, replace(BATH, notes="by somebody else"))
    before = picture(rows)
    with pytest.raises(StaleWrite, match=r"revision 2, and yours is 1.*read it again"):
        change(store.baths, held)
    assert picture(rows) == before


def test_what_is_archived_is_out_of_lists_and_still_there(store: KeptStore) -> None:
    bath = store.baths.archive(store.baths.add("Cellar bath", BATH))
    assert bath.archived
    assert store.baths.all() == ()
    assert store.baths.all(archived=True) == (bath,)
    assert store.baths.get("Cellar bath") == bath
    back = store.baths.unarchive(bath)
    assert store.baths.all() == (back,)


def test_a_fixed_kind_is_renamed_but_not_revised(store: KeptStore) -> None:
    run = store.runs.add("Run", r.RunRecord(order=r.Document()))
    with pytest.raises(BadInput, match="a run stays as it was made; make another"):
        store.runs.revise(run, run.value)
    assert store.runs.rename(run, "Run of the finial").name == "Run of the finial"


def test_what_nothing_refers_to_can_be_removed(store: KeptStore) -> None:
    bath = store.baths.add("Typo", BATH)
    store.baths.remove(bath)
    assert store.baths.all(archived=True) == ()
    store.baths.add("Typo", BATH)
    with pytest.raises(BadInput, match="holds no bath with the id"):
        store.baths.find(bath.id)


@pytest.mark.parametrize(
    ("kind", "name", "reason"),
    [
        ("tanks", "Long tank", "refers to it"),
        ("parts", "Finial", "refers to it"),
        ("jobs", "Finial on the long tank", "the plan 'Finial, first plan' refers to it"),
        ("baths", "Cellar bath", "refers to it"),
        ("runs", "Finial, 25 November", "refers to it"),
    ],
)
def test_what_is_needed_is_never_removed(
    store: KeptStore, rows: Rows, kind: str, name: str, reason: str
) -> None:
    fill(store)
    before = picture(rows)
    things = getattr(store, kind)
    with pytest.raises(BadInput, match=f"{reason}.*archive it instead"):
        things.remove(things.get(name))
    assert picture(rows) == before


def test_a_reference_counts_also_from_an_older_revision(store: KeptStore) -> None:
    tank = store.tanks.add("Long tank", r.TankRecord(table=""))
    bath = store.baths.add("Cellar bath", replace(BATH, tank=tank.id))
    store.baths.revise(bath, BATH)
    with pytest.raises(BadInput, match="archive it instead"):
        store.tanks.remove(tank)


def test_what_refers_to_nothing_is_refused_whole(store: KeptStore, rows: Rows) -> None:
    fill(store)
    before = picture(rows)
    tank = store.tanks.get("Long tank")
    file = r.File(name="x.stl", mime="model/stl", sha256="f" * 64, size=3)
    plan = store.plans.get("Finial, first plan").value
    for add in (
        lambda: store.baths.add("b", replace(BATH, tank="nowhere")),
        lambda: store.jobs.add("j", r.JobRecord(text="", bath=tank.id)),
        lambda: store.parts.add("p", r.PartRecord(file=file)),
        lambda: store.photos.add("f", r.PhotoRecord(file=file)),
        lambda: store.audits.add("a", r.AuditRecord(
            measured=r.Document(), found=r.Document(), made_by="x", run=tank.id)),
        lambda: store.plans.add("q", replace(plan, used=(r.Reference(id=tank.id, version=2),))),
        lambda: store.baths.revise(store.baths.get("Cellar bath"), replace(BATH, tank="gone")),
    ):  # fmt: skip
        with pytest.raises(BadInput, match=r"does not hold|is not kept|which has 1"):
            add()
    assert picture(rows) == before


def test_everything_comes_back_as_it_was_kept(store: KeptStore) -> None:
    fill(store)
    assert store.products.get("Blue bottle").value == ACID
    supply = store.supplies.get("bench supply")
    assert supply.version == 2
    assert supply.value == r.SupplyRecord(current_limit=4.0, voltage_limit=8.0)
    finial = store.parts.get("Finial").value
    assert store.content(finial.file.sha256).startswith(b"solid finial")
    assert finial.seeds[0].sheet_resistance.high == 4.4
    plan = store.plans.get("Finial, first plan").value
    assert plan.reply.entries() == {"current_A": 0.25, "wagner_number": None, "panels": 4096}
    assert [store.jobs.find(plan.used[0].id, plan.used[0].version).name] == [
        "Finial on the long tank"
    ]
    held, given = store.shops.get("Our shop").value, shop()
    assert held.names == given.names
    assert np.array_equal(held.mean, given.mean)
    assert np.array_equal(held.covariance, given.covariance)
    assert [one.name for one in store.parts.all()] == ["Finial"]
    assert list(store.check()) == []


def test_two_stores_over_the_same_rows_agree(rows: Rows) -> None:
    one, other = kept(rows), kept(rows)
    bath = one.baths.add("Cellar bath", BATH)
    assert other.baths.get("Cellar bath") == bath
    other.baths.revise(bath, replace(BATH, notes="x"))
    with pytest.raises(StaleWrite):
        one.baths.revise(bath, replace(BATH, notes="y"))
