"""What the page of a run says: its stage, who carries it out, and what is to be done now."""

import hashlib
from dataclasses import dataclass

from tankside.app.work.run_view import RunView
from tankside.app.work.run_ways import BY_HAND, LOGGED, SIMULATED
from tankside.web.reader import shown
from tankside.web.words import _

COVERED = 1.0
"""Share of the plan's charge from which a run by hand is told to end [-]."""


@dataclass(frozen=True, slots=True)
class Step:
    """What is to be done now, and the buttons for it: the wish's word and what it says; `calm`
    where none of them is what is asked for."""

    words: str
    buttons: tuple[tuple[str, str], ...] = ()
    calm: bool = False


def stage_words(stage: str) -> str:
    """The stage as a person says it."""
    return {
        "planned": _("not begun"),
        "entry": _("about to go in"),
        "ramp": _("copper is covering the part"),
        "plating": _("plating"),
        "paused": _("paused"),
        "ended": _("ended"),
        "aborted": _("given up"),
    }[stage]


def supply_words(view: RunView) -> str:
    """What carries it out."""
    if view.supply == SIMULATED:
        return _("simulated")
    if view.supply == BY_HAND:
        return _("by hand")
    if view.supply == LOGGED:
        return _("from a logger's file")
    return view.supply


def step_key(view: RunView) -> str:
    """Changes when what is to be done does."""
    return _key(
        view.stage,
        view.powered,
        view.immersed,
        view.connected,
        view.set_current,
        view.by_hand and view.share >= COVERED,
        [row.standing for row in view.rows],
    )


def alarms_key(view: RunView) -> str:
    """Changes when there is something else to be warned of."""
    return _key(view.alarms, view.unseen, view.warning, view.told)


def step_of(view: RunView) -> Step:
    """What is to be done now."""
    give_up = ("abort", _("Give it up"))
    if view.stage == "planned":
        return _before(view, give_up)
    if view.stage == "entry" and view.powered:
        words = _("The output is on. Lower the part into the bath now")
        return Step(words, (("immersed", _("It is in the bath")), give_up))
    if view.stage in ("entry", "paused"):
        return _at_rest(view, give_up)
    if view.over:
        return _afterwards(view)
    if view.by_hand:
        return _by_hand(view, give_up)
    if view.connected:
        words = _("Nothing to do: the recipe is followed, and the output goes off by itself")
        return Step(words, (("pause", _("Pause: output off")), give_up), calm=True)
    words = _("The server was stopped while this ran. Look at the supply, then go on")
    return Step(words, (("resume", _("Go on: output on")), give_up))


def _before(view: RunView, give_up: tuple[str, str]) -> Step:
    if view.by_hand:
        words = _(
            "Hang the part over the tank with its wires on, not yet in the bath. Set {current} and "
            "a ceiling of {voltage}, and switch the output on"
        ).format(current=shown(view.set_current, "A"), voltage=shown(view.set_voltage, "V"))
        return Step(words, (("begin", _("The output is on")), give_up))
    words = _("Hang the part over the tank with its wires on, not yet in the bath")
    return Step(words, (("begin", _("Switch the output on")), give_up))


def _at_rest(view: RunView, give_up: tuple[str, str]) -> Step:
    """Paused, or cut off while it was about to go in."""
    if view.powered:
        words = _("The output is on. Lower the part into the bath now")
        return Step(words, (("immersed", _("It is in the bath")), give_up))
    go_on = ("resume", _("Go on: I switched on") if view.by_hand else _("Go on: output on"))
    if view.immersed:
        words = _("The output is off. Take the part out of the bath, or go on soon")
        return Step(words, (go_on, ("lifted", _("It is out of the bath")), give_up))
    words = _("The output is off, and the part is out. To go on, hang it over the tank again")
    return Step(words, (go_on, give_up))


def _by_hand(view: RunView, give_up: tuple[str, str]) -> Step:
    pause = ("pause", _("I switched off for a while"))
    if view.share >= COVERED:
        words = _("Enough copper. Read the meters once more, switch off, and lift the part out")
        return Step(words, (("end", _("It is off")), pause, give_up))
    words = _("Hold {current}, with a ceiling of {voltage}; read the meters when asked").format(
        current=shown(view.set_current, "A"), voltage=shown(view.set_voltage, "V")
    )
    return Step(words, (pause, ("end", _("End it here: it is off")), give_up), calm=True)


def _afterwards(view: RunView) -> Step:
    out = (("lifted", _("It is out and rinsed")),) if view.immersed else ()
    if view.stage == "aborted":
        if view.immersed:
            return Step(_("Given up, and the output is off. Lift the part and rinse it"), out)
        return Step(_("Given up, and the output is off"))
    if view.immersed:
        words = _("Done, and the output is off. Lift the part, rinse it, dry it, and weigh it")
        return Step(words, out)
    return Step(_("Done. Rinse the part, dry it, and weigh it; then say what came out"))


def _key(*what: object) -> str:
    return hashlib.sha256(repr(what).encode()).hexdigest()[:12]
