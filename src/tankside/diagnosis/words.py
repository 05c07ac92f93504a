"""From what a person says to faults of the atlas.

Word stems are compared, rare ones counting more than common ones (their information over all
faults), and the best few faults are offered. Nothing is guessed silently: the person picks.
"""

import re
from collections import Counter
from math import log

from tankside.diagnosis.atlas import Atlas, Fault

_IDLE = frozenset(
    "a an and are as at but by comes did do does for from has have i in is it its my no not of off "
    "on or out over part so some than that the there they this to too up was when where which with "
    "copper plating plated gets got".split()
)


def likely_faults(text: str, atlas: Atlas, most: int = 5) -> tuple[Fault, ...]:
    """The faults that a sentence may mean, the best first; empty where no word is known."""
    said = _stems(text)
    texts = {name: _stems(_all_words(fault)) for name, fault in atlas.faults.items()}
    holders = Counter(stem for stems in texts.values() for stem in stems)
    weight = {stem: log(1.0 + len(texts) / holders[stem]) for stem in said if stem in holders}
    scores = {
        name: sum(weight[stem] for stem in said & stems if stem in weight)
        for name, stems in texts.items()
    }
    ranked = sorted(
        (name for name in texts if scores[name] > 0.0),
        key=lambda name: (-scores[name] / len(texts[name]) ** 0.25, name),
    )
    return tuple(atlas.faults[name] for name in ranked[:most])


def _all_words(fault: Fault) -> str:
    return " ".join((fault.id.replace("-", " "), fault.name, fault.look, fault.where, *fault.said))


def _stems(text: str) -> frozenset[str]:
    words = re.findall(r"[a-zäöüß]+", text.lower())
    return frozenset(_stem(word) for word in words if word not in _IDLE)


def _stem(word: str) -> str:
    for ending in ("ing", "ness", "ies", "ed", "es", "s", "y"):
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            word = word[: -len(ending)]
            break
    return word[:-1] if len(word) > 3 and word[-1] == word[-2] else word
