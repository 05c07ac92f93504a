"""The molar mass of a chemical formula, from the standard atomic weights.

Understands element symbols with counts, round brackets with counts, and water of hydration behind a
dot ("CuSO4·5H2O", "Cu(OH)2"). Refuses charges, unknown elements and anything else, so that a typing
error cannot become a mass.
"""

import re
from collections import Counter
from functools import cache

from tankside.base.errors import BadInput, MissingData
from tankside.base.tables import table

_TOKEN = re.compile(r"([A-Z][a-z]?)(\d*)|(\()|(\))(\d*)")
_HYDRATE_DOT = re.compile(r"[·.*]")


def molar_mass(formula: str) -> float:
    """Molar mass [kg mol⁻¹] of a formula such as "CuSO4·5H2O"."""
    weights = atomic_weights()
    atoms = atoms_in(formula)
    unknown = sorted(set(atoms) - set(weights))
    if unknown:
        raise MissingData(
            "no atomic weight is held for {unknown}, which {formula!r} contains",
            unknown=", ".join(unknown),
            formula=formula,
        )
    return sum(count * weights[symbol] for symbol, count in atoms.items())


def atoms_in(formula: str) -> dict[str, int]:
    """How many atoms of each element a formula holds; BadInput where it cannot be read."""
    total: Counter[str] = Counter()
    for part in _HYDRATE_DOT.split(formula.strip()):
        multiple = re.match(r"\d*", part)
        leading = multiple.group() if multiple else ""
        for symbol, count in _group(part[len(leading) :], formula).items():
            total[symbol] += count * int(leading or 1)
    return dict(total)


def _group(text: str, formula: str) -> Counter[str]:
    stack: list[Counter[str]] = [Counter()]
    position = 0
    while position < len(text):
        match = _TOKEN.match(text, position)
        if match is None or (match.group(4) and len(stack) == 1):
            break
        symbol, count, opens, closes, times = match.groups()
        if symbol:
            stack[-1][symbol] += int(count or 1)
        elif opens:
            stack.append(Counter())
        elif closes:
            inner = stack.pop()
            for name, number in inner.items():
                stack[-1][name] += number * int(times or 1)
        position = match.end()
    if position < len(text) or len(stack) != 1 or not stack[0]:
        raise BadInput("{formula!r} is not a chemical formula that can be read", formula=formula)
    return stack[0]


@cache
def atomic_weights() -> dict[str, float]:
    """Standard atomic weights [kg mol⁻¹] by element symbol."""
    return {
        row["symbol"]: float(row["atomic_weight_g_mol"]) * 1e-3
        for row in table("tankside.substances", "elements.csv")
    }
