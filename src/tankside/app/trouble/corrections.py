"""Use case: what turned out to be behind a trouble, kept, so that the shop's own priors learn.

A correction is an audit in the store: what was measured is the case as typed, what was found are
the causes found and those ruled out. Counts are taken over all of them, each time anew.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from importlib.metadata import version
from typing import Any

from tankside.app.keep.naming import free_name
from tankside.app.store_ports import Store
from tankside.app.store_records import AuditRecord, Document, Kept
from tankside.base.errors import BadInput
from tankside.diagnosis.loading import atlas
from tankside.diagnosis.shop import Audit, Counts, counted, learned_prior

FOUND, RULED_OUT = "causes_found", "causes_ruled_out"


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """A cause that audits have settled: how often found and ruled out, and its prior now and as the
    atlas has it [-]."""

    cause: str
    name: str
    found: int
    ruled_out: int
    prior: float
    prior_before: float


def counts_of(store: Store) -> Counts:
    """What all corrections kept so far have taught."""
    known = atlas().causes.keys()
    entries = (one.value.found.entries() for one in store.audits.all())
    audits = (
        Audit(
            found=frozenset(one.get(FOUND, ())) & known,
            ruled_out=frozenset(one.get(RULED_OUT, ())) & known,
        )
        for one in entries
        if FOUND in one or RULED_OUT in one
    )
    return counted(Counts(), audits, atlas())


def keep_a_correction(
    store: Store,
    *,
    case: Mapping[str, Any],
    found: Iterable[str],
    ruled_out: Iterable[str],
    at: float,
) -> Kept[AuditRecord]:
    """Keeps what turned out, `at` [s since 1970]; BadInput where it says nothing or contradicts
    itself, UnknownName for a cause that the atlas does not have."""
    audit = Audit(found=frozenset(found), ruled_out=frozenset(ruled_out))
    for name in (*audit.found, *audit.ruled_out):
        atlas().cause(name)
    if not (audit.found or audit.ruled_out):
        raise BadInput("say of one cause at least whether it was found or ruled out")
    day = datetime.fromtimestamp(at).strftime("%Y-%m-%d %H:%M")
    record = AuditRecord(
        measured=Document.of({"trouble": dict(case)}),
        found=Document.of({FOUND: sorted(audit.found), RULED_OUT: sorted(audit.ruled_out)}),
        made_by=f"Tankside {version('tankside')}",
    )
    return store.audits.add(free_name(store.audits, f"Trouble of {day}"), record)


def lessons(store: Store) -> tuple[Lesson, ...]:
    """Every cause that corrections have settled, the most often found first."""
    counts, held = counts_of(store), atlas()
    settled = {*counts.found, *counts.ruled_out}
    made = [
        Lesson(
            cause=name,
            name=held.cause(name).name,
            found=counts.found.get(name, 0),
            ruled_out=counts.ruled_out.get(name, 0),
            prior=learned_prior(counts, held, name).best,
            prior_before=held.cause(name).prior.value.best,
        )
        for name in settled
    ]
    return tuple(sorted(made, key=lambda one: (-one.found, one.name)))
