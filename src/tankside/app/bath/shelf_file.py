"""The person's shelf, tools and vessel, from the tables of a file.

[[shelf]]  a product by its label (name, substance, strength, density, price, ...) or by the
           grade that it is, with stock (how much there is) and measured_with (a tool)
[[tool]]   name, division, capacity, accuracy; a mass makes it a scale, a volume a jug
[vessel]   material, with diameter and height, or inside = [length, width, height]
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tankside.app.bath.entries import Entries
from tankside.app.bath.tables import many_tables, one_table
from tankside.app.bath.typed_products import additive_product, amount, product_of
from tankside.base.errors import BadInput, UnknownName
from tankside.base.units import Kind, quantity, spread
from tankside.base.units.spellings import spelled
from tankside.bath.evaporation import Room
from tankside.bath.makeup.request import Additive, Measures, Tool
from tankside.bath.makeup.vessels import Vessel, cylinder
from tankside.substances.labels import ENTRIES
from tankside.substances.products import Form, Product

ADDITIVE_ENTRIES = ("name", "dose", "form", "density", "package", "price", "note")
"""What an additive's table may say: nobody tells what is in it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """A product, how much of it there is [kg] (None: enough), and the tool that measures it ("":
    whichever is fit)."""

    product: Product
    available: float | None = None
    measured_with: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """A shelf with the tools and the vessel beside it; `units` are those of each tool's scale, as
    typed."""

    stocks: tuple[Stock, ...]
    tools: tuple[Tool, ...]
    units: Mapping[str, str]
    vessel: Vessel | None

    def product(self, name: str, *, where: str) -> Product:
        """The product of this name on the shelf; UnknownName offers close ones."""
        known = {one.product.name: one.product for one in self.stocks}
        if name not in known:
            raise UnknownName("product of the shelf", name, known, where=where)
        return known[name]


def bench_of(tables: Mapping[str, Any], *, where: str) -> Bench:
    """Shelf, tools and vessel of a file's tables."""
    read = [_tool(one) for one in many_tables(tables, "tool", where=where)]
    tools = tuple(tool for tool, _ in read)
    vessel = one_table(tables, "vessel", where=where)
    return Bench(
        stocks=tuple(_stock(one, tools) for one in many_tables(tables, "shelf", where=where)),
        tools=tools,
        units={tool.name: unit for tool, unit in read},
        vessel=None if vessel is None else vessel_of(vessel),
    )


def additive_of(entries: Entries) -> Additive:
    """An additive by its maker's dose per bath, such as "4 mL/L" or "2 g/L"."""
    entries.only(*ADDITIVE_ENTRIES)
    product = additive_product(entries)
    written, place = entries.text("dose"), entries.place("dose")
    if product.form is Form.SOLID:
        return Additive(product=product, dose=quantity(written, Kind.MASS_CONCENTRATION,
                                                       where=place))  # fmt: skip
    parts = written.replace(" per ", "/").partition("/")
    if not (parts[1] and parts[2].strip()):
        raise BadInput(
            "{written!r} is no dose; write for example '4 mL/L'", written=written, where=place
        )
    dose = quantity(parts[0], Kind.VOLUME, where=place)
    return Additive(product=product, dose=dose / quantity(f"1 {parts[2]}", Kind.VOLUME,
                                                          where=place))  # fmt: skip


def vessel_of(entries: Entries) -> Vessel:
    """The vessel of a table [vessel]."""
    entries.only("material", "diameter", "height", "inside", "warmest", "open")
    material = entries.text("material").strip().lower()
    warmest = entries.maybe("warmest", Kind.TEMPERATURE)
    opened = entries.quantity("open", Kind.FRACTION, "100 %", zero=True)
    if opened > 1.0:
        raise BadInput(
            "{text!r}: at most all of the surface is open",
            text=entries.text("open"),
            where=entries.place("open"),
        )
    if "inside" in entries:
        sides = [quantity(one, Kind.LENGTH, where=entries.place("inside"))
                 for one in entries.texts("inside")]  # fmt: skip
        if len(sides) != 3 or min(sides) <= 0.0:
            raise BadInput("write inside = [length, width, height], each above zero",
                           where=entries.where)  # fmt: skip
        long, wide, height = sides
        return Vessel(material=material, floor_area=long * wide, height=height,
                      perimeter=2.0 * (long + wide), limit=warmest,
                      open_fraction=opened)  # fmt: skip
    round_one = cylinder(
        material,
        diameter=entries.quantity("diameter", Kind.LENGTH),
        height=entries.quantity("height", Kind.LENGTH),
    )
    return Vessel(material=material, floor_area=round_one.floor_area, height=round_one.height,
                  perimeter=round_one.perimeter, limit=warmest, open_fraction=opened)  # fmt: skip


def room_of(entries: Entries | None) -> Room:
    """The air of a table [room]."""
    if entries is None:
        return Room()
    entries.only("temperature", "relative_humidity")
    return Room(
        temperature=entries.quantity("temperature", Kind.TEMPERATURE, "22 degC"),
        relative_humidity=entries.quantity("relative_humidity", Kind.FRACTION, "50 %", zero=True),
    )


def _stock(entries: Entries, tools: tuple[Tool, ...]) -> Stock:
    entries.only(*ENTRIES, "stock", "measured_with", what="label entry")
    label = {key: one for key, one in entries.table.items() if key in ENTRIES}
    product = product_of(Entries(table=label, where=entries.where))
    with_tool = entries.text("measured_with", "")
    if with_tool and with_tool not in {tool.name for tool in tools}:
        raise UnknownName("tool", with_tool, [tool.name for tool in tools],
                          where=entries.place("measured_with"))  # fmt: skip
    held = None
    if "stock" in entries:
        held = amount(entries.text("stock"), product, where=entries.place("stock"))
    return Stock(product=product, available=held, measured_with=with_tool)


def _tool(entries: Entries) -> tuple[Tool, str]:
    entries.only("name", "division", "capacity", "accuracy")
    text = entries.text("division")
    try:
        quantity(text, Kind.MASS, where=entries.place("division"))
        kind, measures = Kind.MASS, Measures.MASS
    except BadInput as not_a_mass:
        try:
            quantity(text, Kind.VOLUME, where=entries.place("division"))
        except BadInput:
            raise not_a_mass from None
        kind, measures = Kind.VOLUME, Measures.VOLUME
    tool = Tool(
        name=entries.text("name"),
        measures=measures,
        resolution=entries.quantity("division", kind),
        capacity=entries.quantity("capacity", kind),
        accuracy=entries.maybe("accuracy", kind),
    )
    place = entries.place("division")
    return tool, spelled(spread(text, where=place).unit, text, where=place)
