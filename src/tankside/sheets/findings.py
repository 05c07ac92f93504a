"""A plan as rows of words: what the printed sheet and the terminal both say, said once.

Each function gives rows of text, ready to print: what, value, and where known the interval that
holds nine times in ten. Units are those of the trade.
"""

from tankside.base.units import in_unit
from tankside.field.deposit import THICKNESS_PER_CHARGE
from tankside.plan.plan import MeasuredAt, Plan
from tankside.plan.rigs.rules_of_thumb import RULE_CURRENT_DENSITY
from tankside.plan.usual_rules import usual_rules
from tankside.sheets.wording import (
    between,
    clock,
    figure,
    measured,
    percent,
    plain,
    rounded,
    sign,
    spoken,
)

Row = tuple[str, ...]


def subheading(plan: Plan) -> str:
    """What is to be done, in one line."""
    where = "mean" if plan.goal.measured_at is MeasuredAt.MEAN else "in the thinnest 5 percent"
    return (
        f"{goal(plan)} of copper, {where}, on "
        f"{measured(plan.part_area, 'cm^2')}; {plan.electrolyte.family} bath, "
        f"{rounded(round(figure(plan.cell.solution_volume, 'L'), 1))} {sign('L')} at "
        f"{rounded(round(figure(plan.electrolyte.temperature, 'degC'), 1))} {sign('degC')}"
    )


def goal(plan: Plan) -> str:
    """The thickness that was asked for."""
    number = float(f"{figure(plan.goal.thickness, 'um'):.4g}")
    return f"{rounded(number)} {sign('um')}"


def set_points(plan: Plan) -> list[dict[str, str]]:
    """What to set and expect: name, figure, unit and remark of four numbers."""
    density = measured(plan.current_density.mean, "A/dm^2")
    return [
        _point("Set the current to", plain(plan.current), "A", f"{density} mean on the part"),
        _point(
            "Run for",
            clock(plan.duration),
            "",
            "at this current throughout" if plan.start is None else "with the start's ramp",
        ),
        _point(
            "Stop at",
            plain(in_unit(plan.charge, "Ah")),
            "Ah",
            "counts more than the clock",
        ),
        _point(
            "Expect",
            plain(plan.voltage.total),
            "V",
            f"{between(plan.voltage_interval, 'V')} at the supply",
        ),
    ]


def _point(name: str, figure: str, unit: str, remark: str) -> dict[str, str]:
    return {"name": name, "figure": figure, "unit": unit, "remark": remark}


def result_rows(plan: Plan) -> list[Row]:
    """Thickness, mass, size and areas: what, expected, interval or spread."""
    spread, density = plan.thickness, plan.current_density
    return [
        (
            "Mean thickness",
            measured(spread.mean, "um"),
            between(plan.thickness_mean_interval, "um", 3),
        ),
        (
            "Thinnest 5 % are under",
            measured(spread.p05, "um"),
            between(plan.thickness_p05_interval, "um"),
        ),
        (
            "Thinnest place",
            measured(spread.minimum, "um", 2),
            between(plan.thickness_minimum_interval, "um"),
        ),
        ("Thickest place", measured(spread.maximum, "um"), ""),
        (
            "Current density",
            measured(density.mean, "A/dm^2"),
            f"up to {measured(density.maximum, 'A/dm^2', 2)}",
        ),
        ("Gain on the scale", measured(plan.copper_on_part, "g"), ""),
        ("Gain between two faces", measured(plan.growth_of_size, "mm", 2), ""),
        ("Burning area", percent(plan.burning_area_fraction), ""),
        ("Rough area", percent(plan.rough_area_fraction), ""),
        ("Bare area", percent(plan.bare_area_fraction), ""),
    ]


def anodes_head() -> Row:
    """Over the columns of `anode_rows`."""
    return ("", "current", "share", f"{sign('A/dm^2')}, mean", "copper lost", "")


WIRES_HEAD: Row = ("", "carries", "takes", "A/mm²", "loses", "heat", "gains", "")
RULES_HEAD: Row = ("", "would set", "computed")


def anode_rows(plan: Plan) -> list[Row]:
    """Each anode: name, current, share, mean current density, copper given up, remark."""
    total = sum(load.current for load in plan.anodes)
    return [
        (
            f"Anode {load.number}",
            measured(load.current, "A", 2),
            percent(load.current / total) if total > 0 else "none",
            plain(figure(load.mean_current_density, "A/dm^2"), 2),
            measured(load.copper_used, "g"),
            "may go passive: give it more area" if load.may_go_passive else "",
        )
        for load in plan.anodes
    ]


def wire_rows(plan: Plan) -> list[Row]:
    """Each wire: name, current carried and taken, load, loss, heat, copper, remark; then
    the thieves together."""
    rows: list[Row] = [
        (
            f"Wire {load.number}",
            measured(load.carried_current, "A"),
            measured(load.own_current, "A", 2),
            plain(1e-6 * load.metal_current_density, 2),
            measured(load.voltage_drop, "mV", 2),
            f"{plain(1e3 * load.heat, 2)} mW",
            measured(load.copper_gained, "g", 2),
            spoken(load.remark),
        )
        for load in plan.wires
    ]
    if plan.thief_current > 0:
        rows.append(("Thieves", "", measured(plan.thief_current, "A", 2), "", "", "", "", ""))
    return rows


def rule_in_short(plan: Plan) -> str:
    """What the usual rule would set, in a line."""
    density = RULE_CURRENT_DENSITY
    seconds = plan.goal.thickness / (density * THICKNESS_PER_CHARGE)
    return (
        f"The usual {measured(density, 'A/dm^2', 2)} would be {plain(density * plan.part_area)} A "
        f"for {clock(seconds)} (the sheet has all such rules)."
    )


def rule_rows(plan: Plan) -> list[Row]:
    """The usual rules: each in words, what it would set, and what is computed."""
    return [
        (spoken(rule.rule), spoken(rule.rule_sets), spoken(rule.computed))
        for rule in usual_rules(plan)
    ]


def voltage_rows(plan: Plan) -> list[Row]:
    """Where the voltage goes."""
    split = plan.voltage
    return [
        (what, f"{volts:.2f} V")
        for what, volts in (
            ("Through the solution", split.solution),
            ("At the part's surface", split.cathode),
            ("At the anodes", split.anode),
            ("In leads and clips", split.leads),
            ("At the supply", split.total),
        )
    ]


def heat_rows(plan: Plan) -> list[Row]:
    """Power, warm-up and water: what, best guess, interval."""
    heat = plan.heat
    return [
        ("Heat from the current", measured(heat.ohmic_power, "W", 2), ""),
        ("Lost to the room", measured(heat.loss.best, "W", 2), between(heat.loss, "W")),
        (
            "Heater, to hold",
            measured(heat.holding_power.best, "W", 2),
            between(heat.holding_power, "W"),
        ),
        ("To warm up, once", measured(heat.warm_up_energy, "Wh", 2), ""),
        (
            "Water lost in the run",
            measured(heat.water_lost.best, "g", 2),
            between(heat.water_lost, "g"),
        ),
    ]


def checks(plan: Plan) -> str:
    """What the computation says of itself, in a line."""
    balances = plan.balances
    return (
        f"Charge balance {_small(balances.charge_balance)}, "
        f"mass balance {_small(balances.mass_balance)}, "
        f"closure of the boundary operators {_small(balances.closure)}, on {plan.panels} panels. "
        f"Wagner number {plain(plan.wagner_number, 2)}: {_wagner_in_words(plan.wagner_number)}."
    )


def _wagner_in_words(number: float) -> str:
    if number < 0.3:
        return "the shape alone decides where copper goes"
    if number < 3:
        return "shape and bath share in where copper goes"
    return "the bath evens out most of the shape"


def _small(relative: float) -> str:
    """A relative error by its power of ten."""
    if relative == 0:
        return "0"
    mantissa, power = f"{abs(relative):.0e}".split("e")
    digits = str(abs(int(power))).translate(str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹"))
    return f"{mantissa}·10{'⁻' if int(power) < 0 else ''}{digits}"
