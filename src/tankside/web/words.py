"""The words of the pages, by gettext: English stands in the code, and is what a catalogue is keyed
by.

In a template they are `_("...")`, or `{% trans %}...{% endtrans %}` for a longer text with values
in it; in a page's module `_("...")` from here, at the time of answering, never on import. The
catalogue of all of them is locale/tankside.pot; `python3 dev.py words` gathers it, and compiles the
languages beside it.
"""

import gettext
from functools import cache
from gettext import NullTranslations
from pathlib import Path

from tankside.web.reader import READER

LOCALE = Path(__file__).with_name("locale")
DOMAIN = "tankside"
ENGLISH = "en"


def translations() -> NullTranslations:
    """The catalogue of the reader's language; English where there is none."""
    return _catalogue(READER.get().language, LOCALE)


@cache
def _catalogue(language: str, folder: Path) -> NullTranslations:
    return gettext.translation(DOMAIN, folder, [language], fallback=True)


def languages() -> dict[str, str]:
    """The languages that the pages can be read in, by code: what each calls itself."""
    compiled = sorted(path.parent.parent.name for path in LOCALE.glob(f"*/LC_MESSAGES/{DOMAIN}.mo"))
    return {
        ENGLISH: "English",
        **{code: _catalogue(code, LOCALE).info().get("x-name", code) for code in compiled},
    }


def _(text: str) -> str:
    """A text in the reader's language."""
    return translations().gettext(text)


def ngettext(one: str, many: str, count: int) -> str:
    """The text for so many, in the reader's language."""
    return translations().ngettext(one, many, count)


def N_(text: str) -> str:
    """Marks a text for the catalogue that is looked up later, by `_` at the time of answering."""
    return text
