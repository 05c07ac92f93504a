"""Use case: what the shelf can hold: the grades that are known, a label read, a file's products."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from tankside.app.bath.borders import within_laws
from tankside.app.bath.entries import Entries, pairs
from tankside.app.bath.shelf_file import Stock, bench_of
from tankside.app.bath.tables import tables_of
from tankside.app.bath.typed_products import product_of
from tankside.app.forms import ends, ends_or_none
from tankside.base.errors import BadInput
from tankside.substances.hazards import product_hazards
from tankside.substances.products import Product, grade, grades
from tankside.substances.records import substance


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfRequest:
    """A label's entries (KEY=VALUE each), a grade's name, or a shelf's file; none lists all
    grades."""

    label: Sequence[str] = ()
    grade: str = ""
    file: bytes | str = ""
    file_name: str = "shelf"


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfReply:
    """Products; `whole` is False for the list of all grades, where one line each is enough."""

    stocks: tuple[Stock, ...]
    whole: bool

    def as_json(self) -> dict[str, Any]:
        """All of it with SI numbers."""
        return {"products": [_row(one) for one in self.stocks]}


@within_laws
def show_the_shelf(request: ShelfRequest) -> ShelfReply:
    """What is asked for; BadInput for a label that contradicts itself."""
    if sum(map(bool, (request.label, request.grade, request.file))) > 1:
        raise BadInput("ask for a label, a grade or a file, one of them", where="shelf")
    if request.label:
        typed = Entries(table=dict(pairs(request.label, where="--label")), where="--label")
        return ShelfReply(stocks=(Stock(product=product_of(typed)),), whole=True)
    if request.grade:
        return ShelfReply(stocks=(Stock(product=grade(request.grade)),), whole=True)
    if request.file:
        where = request.file_name
        bench = bench_of(tables_of(request.file, where=where), where=where)
        if not bench.stocks:
            raise BadInput("there is no table [[shelf]] in it", where=where)
        return ShelfReply(stocks=bench.stocks, whole=True)
    return ShelfReply(stocks=tuple(Stock(product=one) for one in grades()), whole=False)


def statements(product: Product) -> tuple[str, ...]:
    """Hazard statements of a product, each with its code; none where none is held."""
    found = product_hazards(product)
    return tuple(f"{code}: {text}" for code, text in zip(found.codes, found.sentences, strict=True))


def _row(one: Stock) -> dict[str, Any]:
    product = one.product
    return {
        "name": product.name,
        "form": product.form.value,
        "contents": [
            {
                "substance": content.substance,
                "formula": substance(content.substance).formula,
                "cas": substance(content.substance).cas,
                "mass_fraction": ends(content.mass_fraction),
            }
            for content in product.contents
        ],
        "density_kg_m3": ends_or_none(product.density),
        "chloride_kg_kg": ends(product.chloride),
        "package_kg": product.package,
        "price": product.price,
        "currency": product.currency,
        "stock_kg": one.available,
        "hazards": list(statements(product)),
        "notes": list(product.notes),
    }
