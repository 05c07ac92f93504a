"""The words of the pages, by gettext: English stands in the code, and is what a catalogue is keyed
by.

In a template they are `_("...")`, or `{% trans %}...{% endtrans %}` for a longer text with values
in it; in a page's module `_("...")` from here, at the time of answering, never on import. The
catalogue of all of them is locale/tankside.pot; `python3 dev.py words` gathers it, and compiles the
languages beside it.
"""

from gettext import NullTranslations

from tankside.app.work import languages
from tankside.app.work.preferences import Mark
from tankside.base import messages
from tankside.base.units import UnitSystem, retold
from tankside.web.reader import READER, minus


def translations() -> NullTranslations:
    """The catalogue of the reader's language; English where there is none."""
    return languages.translations(READER.get().language)


def _(text: str) -> str:
    """A text in the reader's language; quantities that stand in it, in the reader's units."""
    return _retold(translations().gettext(text))


def ngettext(one: str, many: str, count: int) -> str:
    """The text for so many, in the reader's language."""
    return _retold(translations().ngettext(one, many, count))


def _retold(text: str) -> str:
    liked = READER.get()
    return retold(text, liked.units, comma=liked.mark is Mark.COMMA)


def spoken(text: str, units: UnitSystem | None = None) -> str:
    """What the core says, in the reader's language, units and numbers. Text that has no parts and
    is not in the catalogue is a person's, or an error's; its quantities are told all the same. With
    `units`, in those."""
    liked, known = READER.get(), translations()
    told = messages.spoken(
        text,
        messages.Reader(
            units=units or liked.units,
            comma=liked.mark is Mark.COMMA,
            translate=known.gettext,
            many=known.ngettext,
        ),
    )
    return minus(told)


def N_(text: str) -> str:
    """Marks a text for the catalogue that is looked up later, by `_` at the time of answering."""
    return text
