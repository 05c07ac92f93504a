"""The languages that pages and sheets can be read in, by gettext.

English stands in the code, and is what a catalogue is keyed by; locale/tankside.pot has all of it.
"""

import gettext
from functools import cache
from gettext import NullTranslations
from pathlib import Path

from tankside.app.work.preferences import Mark, Preferences
from tankside.base.messages import Reader

LOCALE = Path(__file__).parents[2] / "locale"
DOMAIN = "tankside"
ENGLISH = "en"


def translations(language: str) -> NullTranslations:
    """The catalogue of a language by its code; English where there is none."""
    return _catalogue(language, LOCALE)


@cache
def _catalogue(language: str, folder: Path) -> NullTranslations:
    return gettext.translation(DOMAIN, folder, [language], fallback=True)


def languages() -> dict[str, str]:
    """The languages by code: what each calls itself."""
    compiled = sorted(path.parent.parent.name for path in LOCALE.glob(f"*/LC_MESSAGES/{DOMAIN}.mo"))
    return {
        ENGLISH: "English",
        **{code: translations(code).info().get("x-name", code) for code in compiled},
    }


def reader_of(likes: Preferences) -> Reader:
    """Who likes things so, as a reader; in English where there is no such catalogue."""
    known = translations(likes.language)
    return Reader(
        units=likes.units,
        comma=likes.mark is Mark.COMMA,
        translate=known.gettext,
        many=known.ngettext,
        language=ENGLISH if type(known) is NullTranslations else likes.language,
    )
