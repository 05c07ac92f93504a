"""tankside bath titrate: what the readings found, or how to take the sample and what to do."""

import argparse
from typing import TYPE_CHECKING, Any

from tankside.base.units import shown
from tankside.cli.bath.files import into, noted_at
from tankside.cli.bath.pages import (
    Page,
    concentration_unit,
    first_up,
    percent,
    plain,
    print_json,
    span,
    spread,
    works,
)

if TYPE_CHECKING:
    from tankside.app.bath.plan_a_titration import PlanReply
    from tankside.app.ports import Tools


def titrate(options: argparse.Namespace, tools: "Tools") -> int:
    """Works out, or plans, and prints; with --note the finding stands in the ledger."""
    from tankside.app.bath.titrate import TitrateRequest
    from tankside.app.bath.titrate import titrate as worked_out
    from tankside.app.bath.typed_analysis import TypedSample

    if options.plan:
        return _plan(options, tools)
    reply = worked_out(
        TitrateRequest(
            what=options.what,
            method=options.method,
            readings=options.readings,
            titrant=_titrant(options),
            sample=TypedSample(
                volume=options.sample,
                pipette=options.pipette[0] if options.pipette else "",
                diluted=options.diluted,
                mass=options.weighed,
                scale=options.balance,
                density=options.bath_density,
            ),
            burette=options.burette,
            clouds=options.cloud,
            thinned=options.thinned,
            blank=options.blank,
            expected=options.expect,
            copper=options.copper,
            water=options.water,
            indicator=options.indicator,
            sure=options.sure,
        )
    )
    show_finding(reply, options, tools)
    return 0


def _titrant(options: argparse.Namespace) -> Any:
    from tankside.app.bath.typed_analysis import TypedTitrant

    return TypedTitrant(
        strength=options.titrant,
        tolerance=options.tolerance,
        age=options.age,
        standard=options.standard,
        masses=options.standard_mass,
        runs=options.standard_run,
    )


def show_finding(reply: Any, options: argparse.Namespace, tools: "Tools") -> None:
    """Prints a finding, and notes it in a ledger where --note says so."""
    from tankside.app.bath.keep_a_ledger import note_findings

    ledger = into(options, tools)
    noted = None
    if ledger is not None:
        noted = note_findings(ledger, (reply.finding,), at=noted_at(options))
    if options.json:
        print_json(reply.as_json())
        return
    page = finding_page(reply.finding)
    if noted is not None:
        page.points(f"Noted in {options.note}", noted.notes or ("It fits the rest.",))
    page.printed()


def finding_page(one: Any) -> Page:
    """A finding in words: its range, how it was found, what to mind, where its doubt comes from."""
    page = Page(f"{first_up(plain(one.quantity))}: {value_of(one)}, nine times in ten")
    page.say(f"Method: {one.method}.", indent=0)
    page.points("MIND", one.notes, mark="!")
    shares = [share for share in one.budget if share.fraction > 0.005]
    if shares:
        page.head("WHERE THE DOUBT COMES FROM")
        page.table(
            [("", ""), *((first_up(s.name), percent(s.fraction)) for s in shares)], right=(1,)
        )
    if one.sources:
        page.points("STANDS ON", [works(one.sources)])
    return page


def value_of(one: Any) -> str:
    """A finding's value with its ends, in a bench's unit."""
    if one.quantity == "pH":
        return f"{one.value.best:.2f} ({one.value.low:.2f} to {one.value.high:.2f})"
    if one.quantity == "density":
        return spread(one.value, "g/mL", 5)
    if one.quantity == "conductivity":
        return f"{spread(one.value, 'S/m')}, or {span(one.value, 'mS/cm')}"
    return spread(one.value, concentration_unit(one.quantity), 4)


def _plan(options: argparse.Namespace, tools: "Tools") -> int:
    from tankside.app.bath.plan_a_titration import PlanRequest, plan_a_titration

    request = PlanRequest(
        what=options.what,
        expected=options.expect,
        method=options.method,
        titrant=_titrant(options),
        burette=options.burette,
        pipettes=options.pipette,
        flasks=options.flask,
        runs=options.runs,
        family=options.kind,
    )
    reply = plan_a_titration(request)
    if options.sheet is not None:
        from tankside.app.bath.print_sheets import print_a_titration
        from tankside.cli.bath.printing import printed

        printed(options, tools, lambda how, sheets: print_a_titration(request, reply, how, sheets))
    if options.json:
        print_json(reply.as_json())
        return 0
    _plan_page(reply).printed()
    return 0


def _plan_page(reply: "PlanReply") -> Page:
    done = reply.procedure
    page = Page(done.title)
    page.points(
        "MIND FIRST", [*(one.text for one in reply.cautions), *done.titrant_cautions], mark="!"
    )
    page.points(
        "THE SAMPLE",
        [
            f"Take {done.sample}.",
            f"Expect a titre of about {shown(reply.plan.titre, 'mL')} in a {reply.burette}, and an "
            f"answer good to about {165 * reply.plan.relative_std:.2g} %, nine times in ten.",
        ],
    )
    page.head("HAVE READY")
    page.point(f"{shown(done.titrant_volume, 'mL', 2)} of titrant. {done.keep}")
    for need in done.needs:
        amount = shown(need.volume, "mL") if need.volume > 0.0 else shown(need.mass, "g")
        page.point(f"{amount} of {need.name}")
    page.head("STEPS (read the ! before the step)")
    for number, step in enumerate(done.steps, start=1):
        for caution in step.cautions:
            page.point(caution, mark="!", indent=5)
        page.point(step.text, mark=f"{number:>2}.", indent=1)
    for caution in done.after:
        page.point(caution, mark="!", indent=5)
    page.points("WHAT INTERFERES", done.interferes)
    return page
