"""Use case: what the audits in the store tell of copper's share of the current, for the shop."""

import tomllib
from collections.abc import Iterator

from tankside.app.job.reading import read_job
from tankside.app.keep.keep_an_audit import audits_of
from tankside.app.order_a_run import Order, from_json
from tankside.app.store_ports import Store
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.wording import quoting
from tankside.plan.shop_audits import of_audits
from tankside.runs.calibration import Observation

Observations = tuple[Observation, ...]
"""What was observed of a shop, beside its tests."""


def told_by_audits(store: Store, job_text: str, job_name: str) -> Observations:
    """One observation from the last audit of every run in a bath of the job's family; none where
    no audit has told anything. BadInput where there is no such audit at all."""
    family = read_job(job_text, name=job_name).bath.family
    pairs = tuple(_efficiencies(store, family))
    if not pairs:
        raise BadInput(
            "the store holds no audit of a run in a bath of the family {family!r}", family=family
        )
    count = "1 audited run" if len(pairs) == 1 else f"{len(pairs)} audited runs"
    found = of_audits(pairs, name=count)
    return () if found is None else (found,)


def _efficiencies(store: Store, family: str) -> Iterator[tuple[Interval, Interval]]:
    """Believed before each run was weighed, and found from it."""
    for run in store.runs.all(archived=True):
        audits = audits_of(store, run.id)
        if not audits:
            continue
        order = from_json(
            run.value.order.entries(), where=quoting("the run {name!r}", name=run.name)
        )
        if _family_of(order) == family:
            found = audits[-1].value.found.entries()["factors"]["efficiency"]
            yield (
                order.believed.efficiency,
                Interval(found["low"], found["best"], found["high"]),
            )


def _family_of(order: Order) -> str:
    """Of the bath in the job that the order holds; "" where it holds none."""
    try:
        bath = tomllib.loads(order.job_text).get("bath", {})
    except tomllib.TOMLDecodeError:
        return ""
    return str(bath.get("family", "acid sulfate")) if isinstance(bath, dict) else ""
