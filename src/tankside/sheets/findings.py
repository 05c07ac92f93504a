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
    marked,
    measured,
    percent,
    plain,
    rounded,
    sign,
    spoken,
    worded,
)

Row = tuple[str, ...]


def subheading(plan: Plan) -> str:
    """What is to be done, in one line."""
    told = {
        "goal": goal(plan),
        "area": measured(plan.part_area, "cm^2"),
        "family": spoken(plan.electrolyte.family),
        "volume": f"{rounded(round(figure(plan.cell.solution_volume, 'L'), 1))} {sign('L')}",
        "temperature": f"{rounded(round(figure(plan.electrolyte.temperature, 'degC'), 1))} "
        f"{sign('degC')}",
    }
    if plan.goal.measured_at is MeasuredAt.MEAN:
        return worded(
            "{goal} of copper, mean, on {area}; {family} bath, {volume} at {temperature}", **told
        )
    return worded(
        "{goal} of copper, in the thinnest 5 percent, on {area}; {family} bath, {volume} at "
        "{temperature}",
        **told,
    )


def goal(plan: Plan) -> str:
    """The thickness that was asked for."""
    number = float(f"{figure(plan.goal.thickness, 'um'):.4g}")
    return f"{rounded(number)} {sign('um')}"


def set_points(plan: Plan) -> list[dict[str, str]]:
    """What to set and expect: name, figure, unit and remark of four numbers."""
    density = measured(plan.current_density.mean, "A/dm^2")
    return [
        _point(
            worded("Set the current to"),
            plain(plan.current),
            "A",
            worded("{density} mean on the part", density=density),
        ),
        _point(
            worded("Run for"),
            clock(plan.duration),
            "",
            worded("at this current throughout")
            if plan.start is None
            else worded("with the start's ramp"),
        ),
        _point(
            worded("Stop at"),
            plain(in_unit(plan.charge, "Ah")),
            "Ah",
            worded("counts more than the clock"),
        ),
        _point(
            worded("Expect"),
            plain(plan.voltage.total),
            "V",
            worded("{volts} at the supply", volts=between(plan.voltage_interval, "V")),
        ),
    ]


def _point(name: str, figure: str, unit: str, remark: str) -> dict[str, str]:
    return {"name": name, "figure": figure, "unit": unit, "remark": remark}


def result_rows(plan: Plan) -> list[Row]:
    """Thickness, mass, size and areas: what, expected, interval or spread."""
    spread, density = plan.thickness, plan.current_density
    return [
        (
            worded("Mean thickness"),
            measured(spread.mean, "um"),
            between(plan.thickness_mean_interval, "um", 3),
        ),
        (
            worded("Thinnest 5 % are under"),
            measured(spread.p05, "um"),
            between(plan.thickness_p05_interval, "um"),
        ),
        (
            worded("Thinnest place"),
            measured(spread.minimum, "um", 2),
            between(plan.thickness_minimum_interval, "um"),
        ),
        (worded("Thickest place"), measured(spread.maximum, "um"), ""),
        (
            worded("Current density"),
            measured(density.mean, "A/dm^2"),
            worded("up to {density}", density=measured(density.maximum, "A/dm^2", 2)),
        ),
        (worded("Gain on the scale"), measured(plan.copper_on_part, "g"), ""),
        (worded("Gain between two faces"), measured(plan.growth_of_size, "mm", 2), ""),
        (worded("Burning area"), percent(plan.burning_area_fraction), ""),
        (worded("Rough area"), percent(plan.rough_area_fraction), ""),
        (worded("Bare area"), percent(plan.bare_area_fraction), ""),
    ]


def anodes_head() -> Row:
    """Over the columns of `anode_rows`."""
    return (
        "",
        worded("current"),
        worded("share"),
        worded("{unit}, mean", unit=sign("A/dm^2")),
        worded("copper lost"),
        "",
    )


def wires_head() -> Row:
    """Over the columns of `wire_rows`."""
    words = (worded("carries"), worded("takes"), "A/mm²", worded("loses"), worded("heat"))
    return ("", *words, worded("gains"), "")


def rules_head() -> Row:
    """Over the columns of `rule_rows`."""
    return ("", worded("would set"), worded("computed"))


def anode_rows(plan: Plan) -> list[Row]:
    """Each anode: name, current, share, mean current density, copper given up, remark."""
    total = sum(load.current for load in plan.anodes)
    return [
        (
            worded("Anode {number}", number=load.number),
            measured(load.current, "A", 2),
            percent(load.current / total) if total > 0 else worded("none"),
            plain(figure(load.mean_current_density, "A/dm^2"), 2),
            measured(load.copper_used, "g"),
            worded("may go passive: give it more area") if load.may_go_passive else "",
        )
        for load in plan.anodes
    ]


def wire_rows(plan: Plan) -> list[Row]:
    """Each wire: name, current carried and taken, load, loss, heat, copper, remark; then
    the thieves together."""
    rows: list[Row] = [
        (
            worded("Wire {number}", number=load.number),
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
        rows.append(
            (worded("Thieves"), "", measured(plan.thief_current, "A", 2), "", "", "", "", "")
        )
    return rows


def rule_in_short(plan: Plan) -> str:
    """What the usual rule would set, in a line."""
    density = RULE_CURRENT_DENSITY
    seconds = plan.goal.thickness / (density * THICKNESS_PER_CHARGE)
    return worded(
        "The usual {density} would be {current} A for {time} (the sheet has all such rules).",
        density=measured(density, "A/dm^2", 2),
        current=plain(density * plan.part_area),
        time=clock(seconds),
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
        (what, marked(f"{volts:.2f} V"))
        for what, volts in (
            (worded("Through the solution"), split.solution),
            (worded("At the part's surface"), split.cathode),
            (worded("At the anodes"), split.anode),
            (worded("In leads and clips"), split.leads),
            (worded("At the supply"), split.total),
        )
    ]


def heat_rows(plan: Plan) -> list[Row]:
    """Power, warm-up and water: what, best guess, interval."""
    heat = plan.heat
    return [
        (worded("Heat from the current"), measured(heat.ohmic_power, "W", 2), ""),
        (worded("Lost to the room"), measured(heat.loss.best, "W", 2), between(heat.loss, "W")),
        (
            worded("Heater, to hold"),
            measured(heat.holding_power.best, "W", 2),
            between(heat.holding_power, "W"),
        ),
        (worded("To warm up, once"), measured(heat.warm_up_energy, "Wh", 2), ""),
        (
            worded("Water lost in the run"),
            measured(heat.water_lost.best, "g", 2),
            between(heat.water_lost, "g"),
        ),
    ]


def checks(plan: Plan) -> str:
    """What the computation says of itself, in a line."""
    balances = plan.balances
    return worded(
        "Charge balance {charge}, mass balance {mass}, closure of the boundary operators "
        "{closure}, on {panels} panels. Wagner number {wagner}: {meaning}.",
        charge=_small(balances.charge_balance),
        mass=_small(balances.mass_balance),
        closure=_small(balances.closure),
        panels=plan.panels,
        wagner=plain(plan.wagner_number, 2),
        meaning=_wagner_in_words(plan.wagner_number),
    )


def _wagner_in_words(number: float) -> str:
    if number < 0.3:
        return worded("the shape alone decides where copper goes")
    if number < 3:
        return worded("shape and bath share in where copper goes")
    return worded("the bath evens out most of the shape")


def _small(relative: float) -> str:
    """A relative error by its power of ten."""
    if relative == 0:
        return "0"
    mantissa, power = f"{abs(relative):.0e}".split("e")
    digits = str(abs(int(power))).translate(str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹"))
    return f"{mantissa}·10{'⁻' if int(power) < 0 else ''}{digits}"
