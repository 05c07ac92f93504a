"""The geological survey's program as a second opinion on equilibria."""

from collections.abc import Mapping
from typing import Any

import phreeqc

from tankside.bath.speciation.species import BARE, COMPONENTS, species

NAMES = {
    "copper": "Cu",
    "sulfate": "S(6)",
    "acetate": "Acetate",
    "citrate": "Citrate",
    "sodium": "Na",
    "chloride": "Cl",
}

INPUT = """
SELECTED_OUTPUT
-reset false
-pH true
-ionic_strength true
-molalities {species}
SOLUTION 1
temp {celsius}
units mol/kgw
pH 4 charge
{totals}
END
"""


def peer(
    totals: Mapping[str, float], celsius: float, species: tuple[str, ...], database: str = ""
) -> dict[str, float]:
    """pH, ionic strength ("mu") and the molality of each of `species`; `database` as text."""
    program: Any = phreeqc.Phreeqc()
    failures = (
        program.LoadDatabaseString(database)
        if database
        else program.LoadBuiltInDatabase("minteq.v4.dat")
    )
    assert failures == 0, program.GetErrorString()
    names = NAMES if database else NAMES | {"copper": "Cu(2)"}  # no copper(I) behind our back
    lines = "\n".join(f"{names[name]} {total:.15g}" for name, total in totals.items())
    text = INPUT.format(species=" ".join(species), celsius=celsius, totals=lines)
    assert program.RunString(text) == 0, program.GetErrorString()
    last = program.GetSelectedOutputRowCount() - 1
    found = {}
    for column in range(program.GetSelectedOutputColumnCount()):
        name = str(program.GetSelectedOutputValue(0, column))
        key = name.removeprefix("m_").removesuffix("(mol/kgw)")
        found[key] = float(program.GetSelectedOutputValue(last, column))
    return found


def our_constants() -> str:
    """Our own species as a database for that program, with Davies' activities."""
    masters = ["H H+ -1 H 1.008", "H(0) H2 0 H", "H(1) H+ -1 0", "E e- 1 0 0"]
    masters += ["O H2O 0 O 16", "O(0) O2 0 O", "O(-2) H2O 0 0", "Alkalinity OH- 1 OH- 17"]
    masters += ["S SO4-2 0 SO4 32.06", "S(6) SO4-2 0 SO4"]
    for name in COMPONENTS[1:]:
        if name != "sulfate":
            masters.append(f"{NAMES[name]} {BARE[name]} 0 60.0 60.0")
    reactions = ["H+ = H+\nlog_k 0", "e- = e-\nlog_k 0", "H2O = H2O\nlog_k 0"]
    reactions += ["2 H2O = O2 + 4 H+ + 4 e-\nlog_k -86.08", "2 H+ + 2 e- = H2\nlog_k -3.15"]
    for one in species():
        if one.name in BARE.values():
            if one.name != "H+":
                reactions.append(f"{one.name} = {one.name}\nlog_k 0")
            continue
        left = [f"{count} {BARE[name]}" for name, count in one.counts.items() if count > 0]
        right = [one.name]
        taken = -one.counts.get("hydrogen", 0)
        if taken > 0:
            left.append(f"{taken} H2O")
            right.append(f"{taken} H+")
        reactions.append(
            f"{' + '.join(left)} = {' + '.join(right)}\n"
            f"log_k {one.log_k}\ndelta_h {one.enthalpy / 1e3} kJ"
            + ("" if one.charge else "\n-gamma 1 0")  # uncharged species are ideal here
        )
    return "SOLUTION_MASTER_SPECIES\n{}\nSOLUTION_SPECIES\n{}\nEND\n".format(
        "\n".join(masters), "\n".join(reactions)
    )
