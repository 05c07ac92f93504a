"""Use cases: what stands on a bench, into the store: its shelf, tanks and supplies, and what was
measured of a part's seed coat."""

import time
import tomllib
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from tankside.app.bath.entries import ranged
from tankside.app.bath.kept_shelf import toml_of
from tankside.app.bath.shelf_file import bench_of
from tankside.app.bath.tables import tables_of
from tankside.app.job.reading import read_job
from tankside.app.keep.naming import found
from tankside.app.store_ports import Collection, Store
from tankside.app.store_records import Kept, PartRecord, SeedReading, SupplyRecord, TankRecord
from tankside.base.errors import BadInput
from tankside.base.units import Kind, quantity
from tankside.substances.products import Product

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyToKeep:
    """A supply as typed: its limits, such as "5 A" and "30 V"; VISA's name, "" for one that is
    turned by hand; the text of its declaration, "" for a usual one."""

    current: str
    voltage: str
    address: str = ""
    declaration: str = ""


def keep_a_shelf(store: Store, text: bytes | str, *, where: str) -> tuple[Kept[Product], ...]:
    """The products of a shelf's file; those that have changed as new revisions."""
    bench = bench_of(tables_of(text, where=where), where=where)
    if not bench.stocks:
        raise BadInput("there is no table [[shelf]] in it", where=where)
    return tuple(_kept(store.products, one.product.name, one.product) for one in bench.stocks)


def keep_a_supply(store: Store, name: str, supply: SupplyToKeep) -> Kept[SupplyRecord]:
    """A supply under a name; where it has changed, a new revision."""
    record = SupplyRecord(
        current_limit=quantity(supply.current, Kind.CURRENT, where="the supply's current"),
        voltage_limit=quantity(supply.voltage, Kind.VOLTAGE, where="the supply's voltage"),
        declaration=supply.declaration,
        address=supply.address,
    )
    return _kept(store.supplies, _named(name), record)


def keep_a_tank(store: Store, name: str, job_text: str, job_name: str) -> Kept[TankRecord]:
    """The tank of a job file under a name; where it has changed, a new revision."""
    read_job(job_text, name=job_name)  # refuses a job that cannot be read, and so its tank
    table: dict[str, Any] = tomllib.loads(job_text)["tank"]
    return _kept(store.tanks, _named(name), TankRecord(table=toml_of({"tank": table})))


def keep_a_seed_reading(
    store: Store,
    part: str,
    sheet_resistance: str,
    *,
    place: str,
    method: str = "",
    now: Callable[[], float] = time.time,
) -> Kept[PartRecord]:
    """What was measured of a stored part's coat at a place, such as "80-120 ohm"."""
    where = "the sheet resistance"

    def read(text: str) -> float:
        return quantity(text, Kind.SHEET_RESISTANCE, where=where)

    value = ranged(sheet_resistance, read, where=where)
    if value.low <= 0.0:
        raise BadInput("a coat's sheet resistance is above zero", where=where)
    held = store.parts.get(part)
    reading = SeedReading(at=now(), place=place, sheet_resistance=value, method=method)
    return store.parts.revise(held, replace(held.value, seeds=(*held.value.seeds, reading)))


def _kept(things: Collection[T], name: str, value: T) -> Kept[T]:
    held = found(things, name)
    if held is None:
        return things.add(name, value)
    return held if held.value == value else things.revise(held, value)


def _named(name: str) -> str:
    if not name.strip():
        raise BadInput("give it a name")
    return name.strip()
