"""tankside bath shelf: common products, or what a label means."""

import argparse
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from tankside.cli.bath.files import content
from tankside.cli.bath.pages import Page, print_json, span, spread

if TYPE_CHECKING:
    from tankside.app.bath.show_the_shelf import ShelfReply
    from tankside.app.ports import Tools


def shelf(options: argparse.Namespace, tools: "Tools") -> int:
    """Reads and prints."""
    from tankside.app.bath.show_the_shelf import ShelfRequest, show_the_shelf

    file, file_name = content(options.file, tools, "--file")
    reply = show_the_shelf(
        ShelfRequest(label=options.label, grade=options.grade, file=file, file_name=file_name)
    )
    if options.json:
        print_json(reply.as_json())
        return 0
    (_whole(reply) if reply.whole else _list(reply)).printed()
    return 0


def _list(reply: "ShelfReply") -> Page:
    page = Page("Common products; --grade NAME tells more of one, --label reads your own")
    page.gap()
    page.table(
        [
            ("grade", "by mass", "holds"),
            *((one.product.name, *_main(one.product)) for one in reply.stocks),
        ]
    )
    return page


def _main(product: Any) -> tuple[str, str]:
    content = product.contents[0]
    return span(content.mass_fraction, "percent"), content.substance


def _whole(reply: "ShelfReply") -> Page:
    from tankside.app.bath.show_the_shelf import statements

    first, *others = reply.stocks
    page = Page(first.product.name)
    for stock in (first, *others):
        if stock is not first:
            page.gap()
            page.say(stock.product.name, indent=0)
        page.points("MIND", statements(stock.product), mark="!")
        page.points("WHAT IT IS", list(_told(stock)))
        page.points("TO KNOW", stock.product.notes)
    return page


def _told(stock: Any) -> Iterator[str]:
    product = stock.product
    for one in product.contents:
        yield f"{one.substance}: {spread(one.mass_fraction, 'percent', 4)} by mass"
    if product.density is not None:
        yield f"density at 20 °C: {spread(product.density, 'g/mL', 4)}"
    if product.chloride.high > 0.0:
        yield f"chloride as impurity: {span(product.chloride, 'mg/kg')}"
    if product.cost_per_kg is not None:
        yield f"{product.cost_per_kg:.2f} {product.currency} a kilogram"
    if stock.available is not None:
        yield f"on the shelf: {stock.available:.4g} kg"
