"""The words of the pages, by gettext: English stands in the code, and is what a catalogue is keyed
by.

In a template they are `_("...")`, or `{% trans %}...{% endtrans %}` for a longer text with values
in it; in a page's module `_("...")` from here, at the time of answering, never on import.
"""

from gettext import NullTranslations

_FOUND = NullTranslations()


def translations() -> NullTranslations:
    """The catalogue of the language that is set."""
    return _FOUND


def _(text: str) -> str:
    """A text in the language that is set."""
    return translations().gettext(text)
