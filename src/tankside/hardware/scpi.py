"""The text of SCPI: headers with their long and short forms, numbers, the error queue.

A header pattern is written as the standard prints it, the short form in capitals and what may be
left out in square brackets: "[SOURce]:CURRent[:LEVel]". After SCPI-1999, volume 1, chapters 6 and
21, and IEEE 488.2 (both from memory; the short form's rule was read in instruments' manuals).
"""

import re
from dataclasses import dataclass
from functools import cache

from tankside.base.errors import HardwareFault

_NODE = re.compile(r"(\[)?:?([A-Z]+)([a-z]*)(\])?")
_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")
_ERROR = re.compile(r'([+-]?\d+)\s*,\s*"((?:[^"]|"")*)"')

NOT_A_NUMBER, INFINITE = 9.91e37, 9.9e37
"""What SCPI answers for "not a number" and for "infinity" (volume 1, 7.2.1.5, from memory)."""


def short_form(word: str) -> str:
    """The short form of a long mnemonic: the first four letters, or three where the fourth is a
    vowel; a word of at most four letters has none."""
    if len(word) <= 4:
        return word.upper()
    return word[:3].upper() if word[3].upper() in "AEIOU" else word[:4].upper()


def fits(pattern: str, header: str) -> bool:
    """True where a header, in any case and with or without its first colon, is one that the pattern
    allows."""
    return _expression(pattern).fullmatch(":" + header.removeprefix(":")) is not None


@cache
def _expression(pattern: str) -> re.Pattern[str]:
    parts = []
    for opened, short, rest, closed in _NODE.findall(pattern):
        word = f":{short}(?:{rest.upper()})?" if rest else f":{short}"
        parts.append(f"(?:{word})?" if opened and closed else f"(?:{word})")
    return re.compile("".join(parts), re.IGNORECASE)


def number(answer: str, question: str) -> float:
    """A response's number; HardwareFault where it is none, or stands for none."""
    text = answer.strip()
    if not _NUMBER.fullmatch(text):
        raise HardwareFault(
            "the supply answered {answer!r} to {question}: no number",
            answer=answer[:40],
            question=question,
        )
    value = float(text)
    if abs(value) >= INFINITE:
        raise HardwareFault(
            "the supply answered {text} to {question}: it does not know",
            text=text,
            question=question,
        )
    return value


def truth(answer: str, question: str) -> bool:
    """A response's boolean: 1 or 0, some instruments say ON or OFF."""
    text = answer.strip().upper()
    if text in ("1", "ON", "+1"):
        return True
    if text in ("0", "OFF", "+0"):
        return False
    raise HardwareFault(
        "the supply answered {answer!r} to {question}: neither on nor off",
        answer=answer[:40],
        question=question,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class QueuedError:
    """An entry of the error queue; code 0 means that there is none."""

    code: int
    words: str


def queued_error(answer: str, question: str) -> QueuedError:
    """An answer of the error queue, such as 0,"No error"."""
    match = _ERROR.fullmatch(answer.strip())
    if match is None:
        raise HardwareFault(
            "the supply answered {answer!r} to {question}: no error entry",
            answer=answer[:40],
            question=question,
        )
    return QueuedError(code=int(match.group(1)), words=match.group(2).replace('""', '"'))


def fixed_point(value: float, resolution: float) -> str:
    """A value as a decimal number (NR2) with as many digits as the resolution needs."""
    digits = 0
    while digits < 9 and round(resolution, digits) != resolution:
        digits += 1
    return f"{value:.{digits}f}"
