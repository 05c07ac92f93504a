"""A usual week as typed: `charge="40 Ah" area="12 dm^2" water="tap water"`.

`water` fills the tank up to its mark; typed more than once, the waters are compared.
"""

from collections.abc import Sequence

from tankside.app.bath.entries import Entries
from tankside.app.bath.typed_events import share
from tankside.base.errors import BadInput, UnknownName
from tankside.base.units import Kind
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.forecast import WeeklyUse
from tankside.substances.products import Product, grade, grades

USE_KEYS = ("charge", "area", "open", "surface", "temperature", "room", "humidity", "idle",
            "anode_area", "water")  # fmt: skip
"""What may be typed of a usual week."""

WATER = "distilled water"
"""What fills the tank up where no water is typed."""


def week_of(entries: Entries, water: Product) -> WeeklyUse:
    """A usual week from entries as typed."""
    return WeeklyUse(
        charge=entries.quantity("charge", Kind.CHARGE, "0 Ah", zero=True),
        area=entries.quantity("area", Kind.AREA, "0 dm^2", zero=True),
        water=water,
        open_duration=entries.quantity("open", Kind.TIME, "0 h", zero=True),
        temperature=entries.quantity("temperature", Kind.TEMPERATURE, "25 degC"),
        surface_area=entries.quantity("surface", Kind.AREA, "0 dm^2", zero=True),
        room_temperature=entries.quantity("room", Kind.TEMPERATURE, "22 degC"),
        relative_humidity=share(entries, "humidity", "50 %"),
        idle_duration=entries.quantity("idle", Kind.TIME, "0 h", zero=True),
        anode_area=entries.quantity("anode_area", Kind.AREA, "0 dm^2", zero=True),
    )


def typed_week(texts: Sequence[str]) -> tuple[Entries, tuple[str, ...]]:
    """A week's entries, and its waters apart."""
    table: dict[str, object] = {}
    waters = []
    for text in texts:
        key, equals, value = text.partition("=")
        if not (equals and value.strip()):
            raise BadInput(
                '{text!r} is no KEY=VALUE; write for example charge="40 Ah"',
                text=text,
                where="--per-week",
            )
        if key.strip() == "water":
            waters.append(value.strip())
        elif key.strip() in table:
            raise BadInput("{key!r} is given twice", key=key.strip(), where="--per-week")
        else:
            table[key.strip()] = value.strip()
    entries = Entries(table=table, where="--per-week").only(*USE_KEYS, what="key of a week")
    return entries, tuple(dict.fromkeys(waters))


def water_of(
    name: str, held: ev.Ledger, *, shelf: bytes | str = "", shelf_name: str = "shelf"
) -> Product:
    """A water by name: the ledger's, the shelf's, or a grade; "tap" is also "tap water"."""
    known = {e.product.name: e.product for e in held if isinstance(e, ev.Bottle)}
    if shelf:
        # only here, as the tools of a shelf bring the make-up's optimiser along
        from tankside.app.bath.shelf_file import bench_of
        from tankside.app.bath.tables import tables_of

        bench = bench_of(tables_of(shelf, where=shelf_name), where=shelf_name)
        known = {one.product.name: one.product for one in bench.stocks} | known
    waters = {
        key: one for key, one in known.items()
        if one.contents and all(content.substance == "water" for content in one.contents)
    }  # fmt: skip
    for word in (name, f"{name} water"):
        if word in waters:
            return waters[word]
    ours = {one.name for one in grades() if one.contents[0].substance == "water"}
    for word in (name, f"{name} water"):
        if word in ours:
            return grade(word)
    raise UnknownName("water", name, {*waters, *ours}, where="--per-week water")
