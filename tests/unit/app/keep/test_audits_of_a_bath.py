"""Audits in the store teach the shop: which of them count, and what when there are none."""

import tomllib
from dataclasses import replace

import numpy as np
import pytest

from tankside.app.audit_a_run import AuditRequest, audit_a_run
from tankside.app.keep.audits_of_a_bath import told_by_audits
from tankside.app.keep.keep_an_audit import keep_an_audit
from tankside.app.keep.stored_run import begun
from tankside.app.know_a_shop import know_a_shop_of
from tankside.app.order_a_run import as_json
from tankside.base.constants import COPPER_PER_CHARGE_KG_PER_C
from tankside.base.errors import BadInput
from tankside.storage.store.store import KeptStore
from tests.faces.conftest import JOB
from tests.unit.app.test_order_a_run import ORDER

CHARGE = 36000.0


def audited_run(store: KeptStore, name: str, efficiency: float, job_text: str = JOB) -> None:
    order = replace(ORDER, job_text=job_text)
    run = begun(store, name, as_json(order)).run
    total = 1e3 * CHARGE * COPPER_PER_CHARGE_KG_PER_C * efficiency
    request = AuditRequest(
        order=order,
        charge=CHARGE,
        before="100 g",
        after=f"{100 + total:.2f} g",
        scale="0.01 g",
        wires=f"{0.1 * total:.2f} g",
    )
    keep_an_audit(store, run, request, audit_a_run(request))


def known(store: KeptStore) -> float:
    more = told_by_audits(store, JOB, "job.toml")
    reply = know_a_shop_of(
        tests_text="", tests_name="none", job_text=JOB, job_name="job.toml", more=more
    )
    return 0.99 * reply.learned.shop.factor("efficiency").best


def test_runs_that_lost_copper_lower_the_efficiency(store: KeptStore) -> None:
    for number in range(4):
        audited_run(store, f"finial {number}", 0.965)
    low = known(store)
    for number in range(4):
        audited_run(store, f"rosette {number}", 0.995)
    assert low < known(store)
    assert 0.955 < low < 0.985


def test_only_the_last_audit_of_a_run_and_only_this_family_count(store: KeptStore) -> None:
    audited_run(store, "finial", 0.985)
    alone = told_by_audits(store, JOB, "job.toml")
    weak = JOB.replace('family = "acid sulfate"', 'family = "citrate"')
    assert tomllib.loads(weak)["bath"]["family"] == "citrate"
    audited_run(store, "in vinegar", 0.90, weak)
    (again,) = told_by_audits(store, JOB, "job.toml")
    np.testing.assert_array_equal(again.measured, alone[0].measured)
    assert again.name == "1 audited run"


def test_a_store_without_audits_says_so(store: KeptStore) -> None:
    begun(store, "finial", as_json(ORDER))
    with pytest.raises(BadInput, match="no audit of a run in a bath of the family 'acid sulfate'"):
        told_by_audits(store, JOB, "job.toml")
