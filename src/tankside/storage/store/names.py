"""Names that a person gives: what is kept of them, and when two are the same."""

import unicodedata

from tankside.base.errors import BadInput

LONGEST = 200
"""Characters in a name or an id."""


def plain_name(given: str) -> str:
    """The name as it is kept: composed characters, single spaces; BadInput where it is none."""
    name = " ".join(unicodedata.normalize("NFC", given).split())
    if not name:
        raise BadInput("a name needs at least one letter")
    return checked_text(name, "name")


def name_key(name: str) -> str:
    """Equal for names that a person would take for the same."""
    return unicodedata.normalize("NFKC", name).casefold()[: 3 * LONGEST]


def checked_text(text: str, what: str) -> str:
    """The text; BadInput where it is too long or holds what no database keeps."""
    if len(text) > LONGEST:
        raise BadInput(
            "a {what} has at most {longest} characters, not {count}",
            what=what,
            longest=LONGEST,
            count=len(text),
        )
    bad = next((sign for sign in text if unicodedata.category(sign) in ("Cc", "Cs")), None)
    if bad is not None:
        raise BadInput("a {what} cannot hold the sign {bad!r}", what=what, bad=bad)
    return text


def checked_words(text: str, what: str) -> str:
    """A text of any length; BadInput where it holds what no database keeps."""
    if any(sign == "\0" or unicodedata.category(sign) == "Cs" for sign in text):
        raise BadInput(
            "{what} cannot hold a sign without meaning (U+0000 or half a pair)", what=what
        )
    return text
