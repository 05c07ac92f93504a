"""The steps around the mixing itself: protection first, stock solutions, what is withdrawn, and the
label last.
"""

from collections.abc import Collection

from tankside.base.messages import Quantity, said
from tankside.base.units import shown
from tankside.bath.makeup.plan import Action, Amount, Step, StockSolution
from tankside.bath.makeup.step_cautions import AT_THE_END, BEFORE_ALL, WITHDRAWING, cautions_of
from tankside.substances.products import Product


def put_on() -> Step:
    """Before anything is opened."""
    return Step(
        action=Action.PUT_ON,
        cautions=BEFORE_ALL,
        words=(
            said(
                "Clear the bench, stand the vessel in a tray that holds all of it, and have "
                "running water and a box of baking soda within reach."
            ),
        ),
    )


def stocks(used: Collection[tuple[Product, Amount]]) -> list[Step]:
    """One step for each stock solution."""
    steps = []
    for product, amount in used:
        stock = amount.stock
        if stock is None:
            continue
        steps.append(
            Step(
                action=Action.STOCK,
                product=stock.product,
                mass=stock.taken.best,
                volume=stock.volume,
                cautions=cautions_of(product, ()),
                words=(_stock_words(stock),),
            )
        )
    return steps


def _stock_words(stock: StockSolution) -> str:
    volume, name = Quantity(stock.volume, "mL", 4), _strength(stock)
    if stock.acid_first:
        return said(
            "Pour it into most of the water, then fill up to {volume}; label it {name} with the "
            "date.",
            volume=volume,
            name=name,
        )
    return said(
        "Dissolve it in some of the water and fill up to {volume}; label it {name} with the date.",
        volume=volume,
        name=name,
    )


def _strength(stock: StockSolution) -> str:
    """A stock's name for its label."""
    if stock.molarity > 0.0:
        return f"{stock.substance} {stock.molarity / 1e3:.3g} mol/L"
    return f"{stock.product} {shown(stock.strength, 'g/L')}"


def withdrawal(withdrawn: float) -> Step:
    """Old bath that makes room [m³]."""
    return Step(
        action=Action.WITHDRAW,
        product=said("old bath"),
        volume=withdrawn,
        cautions=WITHDRAWING,
        words=(
            said(
                "Keep what is withdrawn in a labelled bottle: it tops up a later bath, or is "
                "handed over; it is never poured away."
            ),
        ),
    )


def check() -> Step:
    """When the bath is made."""
    return Step(
        action=Action.CHECK,
        cautions=AT_THE_END,
        words=(
            said(
                "Mark the level, measure the density at a read temperature, write it with date, "
                "products and lots on the label, and cover the bath."
            ),
        ),
    )
