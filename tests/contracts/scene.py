"""What the theatre's prop workshop keeps in its store, one of everything; and a store as plain
values, so that two of them can be compared whatever holds them."""

from collections.abc import Iterator
from dataclasses import asdict
from decimal import Decimal
from typing import Any

import numpy as np

import tankside.app.store_records as r
from tankside.base.intervals import Interval
from tankside.bath.analysis.finding import Finding
from tankside.bath.inventory import (
    AmpereHours,
    Analysis,
    Bottle,
    DragOut,
    Event,
    MakeUp,
    Portion,
    Retraction,
)
from tankside.runs import events as e
from tankside.runs.calibration import Shop
from tankside.runs.series import Series
from tankside.storage.store.rows import Rows
from tankside.storage.store.store import KeptStore
from tankside.substances.products import Content, Form, Product

NOON = 1_795_608_000.0
STL = b"solid finial\nendsolid finial\n"

ACID = Product(
    name="drain opener, the blue bottle",
    form=Form.LIQUID,
    contents=(Content(substance="sulfuric acid", mass_fraction=Interval(0.90, 0.93, 0.96)),),
    density=Interval(1810.0, 1828.0, 1835.0),
    chloride=Interval(0.0, 1e-6, 1e-5),
    package=1.8,
    price=14.5,
    currency="EUR",
    notes=("Fumes when opened.", "Für den Keller – nicht fürs Atelier."),
)


def ticking() -> Iterator[float]:
    """A clock that goes on by a second at each look."""
    moment = NOON
    while True:
        yield moment
        moment += 1.0


def kept(rows: Rows) -> KeptStore:
    """A store whose moments are always the same."""
    clock = ticking()
    return KeptStore(rows, now=lambda: next(clock))


def ledger() -> tuple[Event, ...]:
    """A bath's first days."""
    finding = Finding(
        quantity="copper", value=Interval(18.0, 19.1, 20.3), std=0.7, method="titration"
    )
    return (
        Bottle(at=NOON, id="b1", product=ACID),
        MakeUp(at=NOON + 1, id="m1", portions=(Portion(product=ACID.name, mass=1.25),)),
        AmpereHours(at=NOON + 7200.5, id="run of the finial", charge=43_217.25),
        DragOut(at=NOON + 7300, id="d1", area=0.0421, parts=2),
        AmpereHours(at=NOON + 7400, id="typo", charge=1e9),
        Retraction(at=NOON + 7500, id="r1", of="typo", reason="a slip: ×1000"),
        Analysis(at=NOON + 9000, id="a1", findings=(finding,)),
    )


def happened() -> tuple[e.Event, ...]:
    """A run's events."""
    return (
        e.Begun(at=NOON),
        e.PoweredOn(at=NOON + 1, by="supply"),
        e.Immersed(at=NOON + 2),
        e.RampStarted(at=NOON + 2),
        e.Set(at=NOON + 3, current=0.25, voltage_limit=1.5, number=0),
        e.Noted(at=NOON + 4, text="the left wire looked dull \U0001f9d0\nso I wiped it"),
    )


def sampled(count: int = 500, start: float = NOON) -> Series:
    """A run's samples, with the temperature read now and then."""
    rng = np.random.default_rng(7)
    warmth = np.where(rng.random(count) < 0.1, 298.0 + rng.random(count), np.nan)
    return Series(
        time=start + np.arange(count) + 1e-3 * rng.random(count),
        voltage=1.1 + 0.01 * rng.standard_normal(count),
        current=0.25 + 1e-4 * rng.standard_normal(count),
        temperature=warmth,
    )


def seed(place: str) -> r.SeedReading:
    return r.SeedReading(at=NOON, place=place, sheet_resistance=Interval(1.9, 3.0, 4.4))


def shop() -> Shop:
    return Shop(
        names=("conductivity", "boundary_layer"),
        mean=np.array([0.1, -0.23456789012345678]),
        covariance=np.array([[0.01, 1 / 3e3], [1 / 3e3, 0.04]]),
    )


def fill(store: KeptStore) -> None:
    """One of everything, with a thing that was revised, renamed and archived."""
    store.products.add("Blue bottle", ACID)
    tank = store.tanks.add("Long tank", r.TankRecord(table='shape = "box"\n'))
    bath = store.baths.add("Cellar bath", r.BathRecord(family="acid sulfate", tank=tank.id))
    store.add_to_ledger(bath.id, ledger())
    supply = store.supplies.add(
        "Bench supply",
        r.SupplyRecord(current_limit=5.0, voltage_limit=8.0, declaration="[limits]\n", address="x"),
    )
    store.supplies.revise(supply, r.SupplyRecord(current_limit=4.0, voltage_limit=8.0))
    file = store.keep_file(STL, name="finial.stl", mime="model/stl")
    part = store.parts.add("Finial", r.PartRecord(file=file, unit="mm", seeds=(seed("tip"),)))
    outside = r.File(name="x.obj", mime="model/obj", sha256="0" * 64, size=12, path="/props/x.obj")
    stale = store.parts.add("Old crown", r.PartRecord(file=outside))
    store.parts.archive(store.parts.rename(stale, "Crown of 2019"))
    job = store.jobs.add(
        "Finial on the long tank",
        r.JobRecord(
            text='[bath]\nfamily = "acid sulfate"\n',
            parts=(part.id,), bath=bath.id, tank=tank.id, supply=supply.id,
        ),
    )  # fmt: skip
    _fill_run(store, job, part)
    store.shops.add("Our shop", shop())


def _fill_run(store: KeptStore, job: r.Kept[Any], part: r.Kept[Any]) -> None:
    sheet = store.keep_file(b"%PDF-1.7\n%%EOF\n", name="plan.pdf", mime="application/pdf")
    plan = store.plans.add(
        "Finial, first plan",
        r.PlanRecord(
            job_text=job.value.text,
            reply=r.Document.of({"current_A": 0.25, "wagner_number": None, "panels": 4096}),
            made_by="Tankside 0.1.0",
            used=(job.reference, part.reference),
            inputs=r.Document.of({"bath": {"copper_kg_m3": [18.0, 19.1, 20.3]}}),
            files=(sheet,),
        ),
    )
    order = r.Document.of({"recipe": [{"current_A": 0.25, "duration_s": 3600.0}]})
    run = store.runs.add("Finial, 25 November", r.RunRecord(order=order, plan=plan.id))
    store.add_run_events(run.id, happened()[:3])
    store.add_run_events(run.id, happened()[3:])
    for start in (0, 100):
        store.add_samples(run.id, sampled().part(slice(start, start + 100)))
    store.audits.add(
        "Finial, weighed",
        r.AuditRecord(
            measured=r.Document.of({"mass_gain_kg": 0.0123}),
            found=r.Document.of({"efficiency": [0.95, 0.99, 1.0]}),
            made_by="Tankside 0.1.0",
            run=run.id,
        ),
    )
    photo = store.keep_file(b"\x89PNG\r\n\x1a\n", name="before.png", mime="image/png")
    store.photos.add("Before", r.PhotoRecord(file=photo, of=(part.id, run.id), words="dull tip"))
    store.add_costs(
        [
            r.Cost(id="c1", at=NOON, what="copper", amount=Decimal("1.10"), currency="EUR",
                   of=run.id, words='12 g of "scrap" pipe,\ncut up'),
            r.Cost(id="c2", at=NOON + 1, what="energy", amount=Decimal("-0.0500"), currency="EUR"),
        ]
    )  # fmt: skip


def picture(rows: Rows, *, identity: bool = True) -> dict[str, Any]:
    """Everything that the rows hold, as plain values."""
    with rows.reading() as reader:
        things = reader.things()
        found = {
            "things": [asdict(row) for row in things],
            "revisions": [asdict(one) for row in things for one in reader.revisions(row.id)],
            "links": [asdict(one) for row in things for one in reader.links(row.id)],
            "streams": [
                asdict(one) for row in things if (one := reader.stream(row.id)) and one.length
            ],
            "events": [asdict(one) for row in things for one in reader.events(row.id)],
            "samples": [asdict(one) for row in things for one in reader.chunks(row.id)],
            "costs": [asdict(one) for one in reader.costs()],
            "files": [
                {**asdict(file), "content": reader.content(file.sha256)} for file in reader.files()
            ],
        }
        return {**found, "identity": reader.identity()} if identity else found
