"""tankside bath check FILE.toml: a bath beside its family's windows."""

import argparse
from typing import TYPE_CHECKING, Any

from tankside.base.units import Kind, quantity
from tankside.cli.bath.files import content
from tankside.cli.bath.pages import Page, concentration_unit, first_up, print_json, span

if TYPE_CHECKING:
    from tankside.app.ports import Tools

_UNITS = {
    "density": "g/mL",
    "conductivity": "S/m",
    "boundary_layer": "um",
    "limiting_current_density": "A/dm^2",
    "wagner_length": "cm",
}
"""Units that a bench tells a property in; others are told as they are."""


def check(options: argparse.Namespace, tools: "Tools") -> int:
    """Lays the bath beside its windows, and prints."""
    from tankside.app.examine_a_bath import BathRequest, examine_a_bath

    text, name = content(options.file, tools, "check")
    reply = examine_a_bath(
        BathRequest(
            job_text=text.decode("utf-8-sig", errors="replace"),
            job_name=name,
            coldest=options.coldest,
            current_density=quantity(
                options.current_density, Kind.CURRENT_DENSITY, where="--current-density"
            ),
        )
    )
    if options.json:
        print_json(reply.as_json())
        return 0
    report = reply.report
    page = Page(f"{name}: laid beside the {report.family.words}")
    page.points("MIND", [first_up(report.family.hazard) + "."], mark="!")
    page.points("WINDOWS", [one.sentence for one in report.standings])
    page.head("WHAT FOLLOWS")
    page.table([("", "", ""), *(_told(one) for one in report.properties)])
    page.points(
        "WHAT IT IS FOR",
        [
            f"Good at: {'; '.join(report.family.good_at)}.",
            f"Bad at: {'; '.join(report.family.bad_at)}.",
            f"The windows take for granted: {report.family.additives}.",
        ],
    )
    page.points("TAKEN FOR GRANTED", report.assumptions)
    page.printed()
    return 0


def _told(one: Any) -> tuple[str, str, str]:
    """A property's words and its range in a bench's unit."""
    value = one.value
    if one.name in _UNITS:
        return first_up(one.words), span(value, _UNITS[one.name]), ""
    if one.name == "viscosity":
        return "Viscosity", f"{1e3 * value.low:.3g} to {1e3 * value.high:.3g} mPa s", ""
    if one.name == "diffusivity":
        low, high = (f"{1e10 * end:.3g}" for end in (value.low, value.high))
        return first_up(one.words), f"{low} to {high} x 10^-10 m²/s", ""
    if one.name == "pH":
        return "pH", f"{value.low:.2f} to {value.high:.2f}", ""
    if one.unit == "1":
        return first_up(one.words), f"{100 * value.low:.3g} to {100 * value.high:.3g} %", ""
    return first_up(one.words), span(value, concentration_unit(one.name)), ""
