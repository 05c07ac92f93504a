"""The words that a part's picture and a run's curves say, handed to their scripts in the reader's
language.

The English stands in frontend/src, where it is used; a test holds that every text of the script is
here. Numbered things keep their number: "contact %(number)s".
"""

import json

from tankside.web.words import N_, translations

TEXTS = (
    # its controls
    N_("Show"),
    N_("Time"),
    N_("Cut along its"),
    N_("length"),
    N_("width"),
    N_("height"),
    N_("Cut at"),
    N_("Anodes"),
    N_("Least"),
    N_("Greatest"),
    N_("Thinnest place"),
    N_("Thickest place"),
    N_("Most lost"),
    N_("Most gained"),
    N_("Arrow keys turn it, plus and minus come nearer and go away."),
    # its figures
    N_("%(quantity)s %(value)s at %(place)s"),
    N_("%(thing)s at %(place)s"),
    N_("after %(time)s, copper covers %(share)s %%"),
    N_("first after %(first)s, other after %(other)s"),
    N_("It lies hidden: cut the part to see it."),
    N_(
        "White stripes: not covered by copper. Black stripes: at the limit, it burns. "
        "Balls: contacts."
    ),
    N_("The same as a table"),
    N_("On the part"),
    N_("Where (x, y, z)"),
    N_("The part cannot be shown (%(why)s); its figures are in the tables."),
    N_("the server answered %(status)s"),
    # what lies on the part, as sheets/view_pack.py names it
    N_("Thickness"),
    N_("Current density"),
    N_("Share of the limit"),
    N_("Covered by copper after"),
    # the curves of a run
    N_("hours"),
    N_("volts"),
    N_("volts expected"),
    N_("amps"),
    N_("No sample yet."),
    N_("After %(hours)s h: %(volts)s V (%(expected)s V expected), %(amps)s A, %(charge)s Ah."),
    N_("Not up to date: %(why)s."),
    # bodies, contacts and places, as the pack names them
    N_("part %(number)s"),
    N_("wire %(number)s"),
    N_("anode %(number)s"),
    N_("thief %(number)s"),
    N_("shield %(number)s"),
    N_("contact %(number)s"),
    N_("near the top"),
    N_("half way up"),
    N_("near the bottom"),
    N_("facing up"),
    N_("facing down"),
    N_("on a side"),
    N_("facing anode %(number)s"),
    N_("facing away from the anodes"),
    N_("side-on to the anodes"),
)


def view_words() -> str:
    """Those that differ from the English, as JSON by the English."""
    said = translations()
    found = {text: told for text in TEXTS if (told := said.gettext(text)) != text}
    return json.dumps(found, ensure_ascii=False)
