"""tankside bath safe: may this be used, may these meet, what is to be minded?"""

import argparse
from typing import TYPE_CHECKING, Any

from tankside.cli.bath.pages import Page, first_up, print_json

if TYPE_CHECKING:
    from tankside.app.ports import Tools

_TOLD = {"allow": "may be used", "mind": "may be used, with care", "refuse": "must not be used"}


def safe(options: argparse.Namespace, tools: "Tools") -> int:
    """Asks and prints; what must not be is an error with status 3."""
    from tankside.app.bath.ask_if_safe import SafeRequest, ask_if_safe

    del tools
    reply = ask_if_safe(
        SafeRequest(
            anode=options.anode,
            base_metal=options.base_metal,
            bath=options.bath,
            heater=options.heater,
            together=options.together,
            pour=options.pour,
            into=options.into,
            strength=options.strength,
            doing=options.doing,
            handled=options.handled,
            temperature=options.temperature,
            air=options.air,
            coats=options.coat,
        )
    )
    if options.json:
        print_json(reply.as_json())
        return 0
    page = Page("What is known of it")
    page.points("MIND", [*(one.text for one in reply.cautions),
                         *(first_up(one.sentence) for one in reply.clashes)], mark="!")  # fmt: skip
    page.points(
        "ANSWER",
        [
            *(_answer(name, rule) for name, rule in reply.rules),
            *reply.plain,
        ],
    )
    page.printed()
    return 0


def _answer(name: str, rule: Any) -> str:
    """A rule as sentences."""
    article = "an" if rule.kind.value[0] in "aeiou" else "a"
    words = [f"{first_up(name)} as {article} {rule.kind.value} {_TOLD[rule.verdict.value]}:"]
    words += [f"{one.rstrip('.')}." for one in (rule.reason, rule.way_out) if one]
    return " ".join(words)
