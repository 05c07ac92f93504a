"""tankside bath retire: base, gas, heat and sludge, and what to tell whoever takes it."""

import argparse
from typing import TYPE_CHECKING

from tankside.base.units import in_unit
from tankside.cli.bath.files import asked
from tankside.cli.bath.pages import Page, first_up, print_json, span, spread, works

if TYPE_CHECKING:
    from tankside.app.bath.retire_a_bath import RetireReply
    from tankside.app.ports import Tools


def retire(options: argparse.Namespace, tools: "Tools") -> int:
    """Reckons and prints."""
    from tankside.app.bath.retire_a_bath import RetireRequest, retire_a_bath

    reply = retire_a_bath(
        RetireRequest(
            volume=options.volume,
            copper=options.copper,
            acid=options.acid,
            ledger=None if options.ledger is None else asked(options, tools, options.ledger),
            base=options.base,
            dissolved=options.dissolved,
            vessel=options.vessel,
            plate_out=options.plate_out,
            cement=options.cement,
            complexed=options.complexed,
            name=options.name,
            containers=options.containers,
        )
    )
    if options.sheet is not None or options.hand_over is not None:
        from tankside.app.bath.print_sheets import print_a_hand_over, print_a_retirement
        from tankside.cli.bath.printing import printed

        title = options.name
        printed(options, tools, lambda how, make: print_a_retirement(reply, title, how, make))
        printed(
            options,
            tools,
            lambda how, make: print_a_hand_over(reply, title, how, make),
            named="hand_over",
        )
    if options.json:
        print_json(reply.as_json())
        return 0
    _page(reply).printed()
    return 0


def _page(reply: "RetireReply") -> Page:
    done = reply.done
    page = Page(f"To retire {span(reply.bath.volume, 'L')} of copper bath with {done.base.words}")
    page.points("MIND FIRST", [one.text for one in reply.cautions], mark="!")
    page.head("WHAT IT HOLDS")
    page.table(
        [
            ("", ""),
            ("Copper", spread(reply.bath.held_copper, "g")),
            ("Sulfuric acid", spread(reply.bath.held_acid, "g")),
        ]
    )
    _copper_first(page, reply)
    page.head("WHAT NEUTRALISING IT TAKES, for those who may")
    joules = done.heat
    page.table(
        [
            ("", ""),
            (f"{first_up(done.base.words)}, for the acid", span(done.base_for_acid, "kg")),
            ("The same, for the copper", span(done.base_for_copper, "kg")),
            ("In all", span(done.base_in_all, "kg")),
            (
                "Carbon dioxide given off",
                span(done.carbon_dioxide, "L") if done.carbon_dioxide.high > 0.0 else "none",
            ),
            ("Heat", f"{in_unit(joules.low, 'kJ'):.0f} to {in_unit(joules.high, 'kJ'):.0f} kJ"),
            (
                "Warms by, at most",
                f"{done.temperature_rise.low:.0f} to {done.temperature_rise.high:.0f} K",
            ),
            ("Sludge, dry", span(done.sludge_dry, "kg", 2)),
            ("Sludge, settled", span(done.sludge_settled, "kg", 2)),
            ("Sludge, filtered", span(done.sludge_filtered, "kg", 2)),
            ("pH in which copper falls", f"{done.window.low:g} to {done.window.high:g}"),
        ]
    )
    if reply.portions is not None:
        page.say(
            f"In that vessel the base goes in in {reply.portions} portions or more, each when the "
            "foam of the one before has gone."
            if reply.portions > 1
            else "In that vessel the foam of all of it finds room; add it slowly all the same."
        )
    page.points("AND", done.notes)
    page.points("TO TELL WHOEVER TAKES IT", reply.told)
    page.points("STANDS ON", [works(done.sources)])
    return page


def _copper_first(page: Page, reply: "RetireReply") -> None:
    if reply.plated is not None:
        page.points(
            "PLATING THE COPPER OUT FIRST",
            [
                f"Takes {span(reply.plated.charge, 'Ah')} and leaves "
                f"{span(reply.plated.copper_left, 'g')} of copper; the acid grows by "
                f"{span(reply.plated.acid_gained, 'g')}.",
                *reply.plated.notes,
            ],
        )
    if reply.cemented is not None:
        page.points(
            "CEMENTING THE COPPER FIRST",
            [
                f"Takes {span(reply.cemented.iron, 'g')} of clean steel wool and leaves "
                f"{span(reply.cemented.copper_left, 'g')} of copper.",
                *reply.cemented.notes,
                "The numbers below are those without it: iron takes base and falls as sludge in "
                "copper's place.",
            ],
        )
