"""Why a make-up cannot be: one sentence with the numbers, and what would help.

Asked only when the balance has no answer. The reasons are tried in the order in which a person can
do most about them: nothing holds what is wanted; a product runs out; the products bring too much
water; one quantity cannot come to its aim beside the others.
"""

from dataclasses import replace

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.messages import Quantity
from tankside.base.units import shown
from tankside.base.wording import quoting, term
from tankside.bath.ions import ions_of
from tankside.bath.makeup.balance import balanced, solved
from tankside.bath.makeup.columns import (
    Columns,
    bath_mixture,
    columns_of,
    is_water,
    old_mixture,
)
from tankside.bath.makeup.request import MakeUpRequest, Wanted, quantities
from tankside.bath.mixture import portion

_HELP = {
    "copper ion": "copper sulfate crystals",
    "hydrogen ion": "sulfuric acid",
    "chloride": "plain salt or hydrochloric acid",
    "citrate": "citric acid",
    "acetate": "acetic acid",
}
_FAR = 50.0
"""How far a quantity is let go, in multiples of its aim, when asking how near it can come."""


def why_not(request: MakeUpRequest) -> str:
    """The reason that a request which does not balance cannot be met."""
    columns = columns_of(request)
    total = bath_mixture(request.target.wanted, request.volume).mass
    return (
        _nothing_holds_it(request, columns)
        or _runs_out(request)
        or _too_much_water(request, columns, total)
        or _cannot_meet(request, columns, total)
        or term(
            "no amounts of these products bring all that is wanted together; "
            "let one quantity go, or add a product"
        )
    )


def _nothing_holds_it(request: MakeUpRequest, columns: Columns) -> str:
    for number, one in enumerate(request.target.wanted):
        if one.value.low > 0.0 and not (columns.rows[number, columns.most > 0.0] > 0.0).any():
            ion = quantities()[one.quantity][0]
            helps = quoting(", such as {help}", help=term(_HELP[ion])) if ion in _HELP else ""
            return quoting(
                "nothing on the shelf brings {quantity} into the bath, of which {one} is "
                "wanted; add a product that does{helps}",
                quantity=one.quantity,
                one=_shown(one, one.value.best),
                helps=helps,
            )
    if not any(is_water(one.product) for one in request.shelf):
        return term("nothing on the shelf is water; add distilled, deionised or tap water to it")
    return ""


def _runs_out(request: MakeUpRequest) -> str:
    needed = balanced(request, unlimited=True)
    if needed is None:
        return ""
    for one in request.shelf:
        wanted = needed.masses.get(one.product.name, 0.0)
        if one.available is not None and wanted > one.available:
            smaller = request.volume * one.available / wanted
            less = (
                quoting(", or make {smaller} L or less", smaller=_rounded(smaller, "L"))
                if not request.old
                else ""
            )
            return quoting(
                "the shelf holds {available} of {product!r} and {volume} L of this bath "
                "take {wanted}; get {shown} more{less}",
                available=Quantity(one.available, "g"),
                product=one.product.name,
                volume=_rounded(request.volume, "L"),
                wanted=Quantity(wanted, "g", 4),
                shown=Quantity(wanted - one.available, "g"),
                less=less,
            )
    return ""


def _too_much_water(request: MakeUpRequest, columns: Columns, total: float) -> str:
    """The products bring so much water that the bath runs over before it is strong enough."""
    if solved(columns, 8.0 * total, exact=False) is None:
        return ""
    enough, little = 8.0 * total, total
    while enough - little > 1e-3 * total:
        middle = (enough + little) / 2.0
        if solved(columns, middle, exact=False) is None:
            little = middle
        else:
            enough = middle
    if enough < 1.005 * total:
        return ""
    answer = solved(columns, enough, exact=False)
    weakest = ""
    if answer is not None and answer[:-1].max() > 0.0:
        weakest = quoting(
            "; most of it is {names!r}", names=columns.names[int(np.argmax(answer[:-1]))]
        )
    return quoting(
        "these products bring so much water that all that is wanted fills about {volume} "
        "L, not {rounded} L{weakest}; take a stronger product, or ask for less",
        volume=_rounded(request.volume * enough / total, "L"),
        rounded=_rounded(request.volume, "L"),
        weakest=weakest,
    )


def _cannot_meet(request: MakeUpRequest, columns: Columns, total: float) -> str:
    """Of the quantities that alone stand in the way, the one that comes nearest to its aim."""
    count = len(request.target.wanted)
    found: list[tuple[float, str]] = []
    for number, one in enumerate(request.target.wanted):
        answer = _let_go(columns, total, (number,))
        if answer is not None:
            reached = _reached(request, columns, answer, one)
            off = abs(reached - one.value.best) / max(one.value.best, 1e-3)
            found.append((off, _missed(request, columns, answer, one)))
    if not found:
        nearest = _let_go(columns, total, tuple(range(count)))
        if nearest is not None:
            for one in request.target.wanted:
                reached = _reached(request, columns, nearest, one)
                if not one.value.low * 0.999 <= reached <= one.value.high * 1.001:
                    found.append((0.0, _missed(request, columns, nearest, one)))
                    break
    return min(found)[1] if found else ""


def _let_go(columns: Columns, total: float, numbers: tuple[int, ...]) -> Floats | None:
    """The nearest answer where these quantities are not held to what will do."""
    lows, highs = columns.lows.copy(), columns.highs.copy()
    for number in numbers:
        lows[number] = 0.0
        highs[number] = _FAR * max(columns.aims[number], 1e-3 * total)
    loose = replace(columns, lows=lows, highs=highs, price=np.zeros_like(columns.price))
    return solved(loose, total, exact=False, keeping=0.0)


def _reached(request: MakeUpRequest, columns: Columns, answer: Floats, one: Wanted) -> float:
    """What an answer brings of a quantity [kg m⁻³]."""
    ion, weight = quantities()[one.quantity]
    row = columns.rows[request.target.wanted.index(one)]
    return float(row @ answer + ions_of(columns.fixed.masses)[ion]) * weight / request.volume


def _missed(request: MakeUpRequest, columns: Columns, answer: Floats, one: Wanted) -> str:
    reached = _reached(request, columns, answer, one)
    side = term("at least" if reached > one.value.high else "at most")
    return quoting(
        "beside the rest, {quantity} comes to {side} {one}, not {shown}{request}; {advice}",
        quantity=one.quantity,
        side=side,
        one=_shown(one, reached),
        shown=_shown(one, one.value.best),
        request=_mostly_from(request, one, answer),
        advice=_advice(one, reached),
    )


def _mostly_from(request: MakeUpRequest, one: Wanted, answer: Floats) -> str:
    """Which source brings most of a quantity, by name."""
    ion, weight = quantities()[one.quantity]
    brought = {
        stocked.product.name: ions_of(portion(stocked.product, float(mass)).masses)[ion]
        for stocked, mass in zip(request.shelf, answer[:-1], strict=True)
    }
    if request.old is not None:
        brought["the old bath"] = ions_of(old_mixture(request.old).masses)[ion] * float(answer[-1])
    name, moles = max(brought.items(), key=lambda item: item[1])
    if moles <= 0.0:
        return ""
    named = term(name) if name == "the old bath" else repr(name)
    return quoting(
        ", of which {named} brings {one}",
        named=named,
        one=_shown(one, moles * weight / request.volume),
    )


def _advice(one: Wanted, reached: float) -> str:
    ion = quantities()[one.quantity][0]
    if reached > one.value.high:
        if ion == "chloride":
            return term("take purer water and purer products, or let it go higher")
        return term("ask for more of it, or let it go higher")
    helps = quoting(", such as {help}", help=term(_HELP[ion])) if ion in _HELP else ""
    return quoting("add a product that brings more of it{helps}, or ask for less", helps=helps)


def _shown(one: Wanted, value: float) -> str:
    return shown(value, "mg/L" if one.quantity == "chloride" else "g/L")


def _rounded(value: float, unit: str) -> str:
    return shown(value, unit).removesuffix(f" {unit}")
