"""How the bench spells its units, as the unit library spells them, and the spellings that mean two.

A measure that differs from country to country (gallon, cup, spoon) is never guessed: the person is
asked, with the names that settle it.
"""

import re

from tankside.base.errors import BadInput

_COUNTRIES = {
    "us": "us",
    "u.s.": "us",
    "american": "us",
    "imperial": "imperial",
    "imp": "imperial",
    "imp.": "imperial",
    "uk": "imperial",
    "british": "imperial",
    "metric": "metric",
}

_MEASURES = {
    "gallon": r"gal(?:lon)?s?",
    "quart": r"qts?|quarts?",
    "pint": r"pts?|pints?",
    "cup": r"cups?",
    "fluid_ounce": r"fl\.?\s*oz\.?|fl_oz|floz|fluid[\s_]+ounces?",
    "tablespoon": r"tbsps?\.?|tbs|tablespoons?",
    "teaspoon": r"tsps?\.?|teaspoons?",
}

_LITRES = {
    ("us", "gallon"): 3.785411784,
    ("us", "quart"): 0.946352946,
    ("us", "pint"): 0.473176473,
    ("us", "cup"): 0.2365882365,
    ("us", "fluid_ounce"): 0.0295735295625,
    ("us", "tablespoon"): 0.01478676478125,
    ("us", "teaspoon"): 0.00492892159375,
    ("imperial", "gallon"): 4.54609,
    ("imperial", "quart"): 1.1365225,
    ("imperial", "pint"): 0.56826125,
    ("imperial", "cup"): 0.284130625,
    ("imperial", "fluid_ounce"): 0.0284130625,
    ("metric", "cup"): 0.25,
    ("metric", "tablespoon"): 0.015,
    ("metric", "teaspoon"): 0.005,
}
"""Litres, exact by definition: the gallons are 231 cubic inches and 4.54609 L; their parts follow
(NIST Special Publication 811, appendix B; the imperial units of the Weights and Measures Act 1985).
Metric cups and spoons are those of kitchen ware."""

_TRADE_SPELLINGS = (
    (re.compile(r"\basf\b", re.IGNORECASE), "A/ft^2"),
    (re.compile(r"\basd\b", re.IGNORECASE), "A/dm^2"),
    (re.compile(r"ohms?(?:\s*(?:per|/)\s*(?:sq(?:uare)?|□))", re.IGNORECASE), "ohm"),
    (re.compile(r"Ω(?:\s*/\s*(?:sq(?:uare)?|□))?"), "ohm"),
    (re.compile(r"\bthou\b"), "mil_inch"),
    (re.compile(r"\bmils?\b"), "mil_inch"),
    (re.compile(r"[°º]\s*C\b|\bdeg(?:rees?)?\.?\s+C\b|\bdeg\s*C\b"), "degC"),
    (re.compile(r"[°º]\s*F\b|\bdeg(?:rees?)?\.?\s+F\b|\bdeg\s*F\b"), "degF"),
    (re.compile(r"\bAh\b"), "A*h"),
    (re.compile(r"\bcc\b"), "cm^3"),
    (re.compile(r"\bsq\.?\s*(cm|dm|mm|m|in|ft)\b", re.IGNORECASE), r"\1^2"),
    (re.compile(r"\bgms?\b"), "g"),
    (re.compile(r"\bmls\b"), "mL"),
    (re.compile(r"\bltrs?\b"), "L"),
    (re.compile(r"[\"″]"), "inch"),
    (re.compile(r"\blbs\.?\b"), "lb"),
    (re.compile(r"\bozs\b"), "oz"),
    (re.compile(r"\bhrs?\b"), "h"),
    (re.compile(r"\bper\b"), "/"),
    (re.compile(r"%"), "percent"),
    (re.compile(r"²"), "^2"),
    (re.compile(r"³"), "^3"),
    (re.compile(r"\b([munkcd]?m|in|ft)([23])\b"), r"\1^\2"),
)

_GR = re.compile(r"\bgrs?\b\.?", re.IGNORECASE)
_COUNTRY = "|".join(re.escape(word) for word in sorted(_COUNTRIES, key=len, reverse=True))
_MEASURE = "|".join(f"(?P<{name}>{pattern})" for name, pattern in _MEASURES.items())
_VOLUME = re.compile(
    rf"(?:(?<![A-Za-z])(?P<country>{_COUNTRY})[\s_]*|(?<![A-Za-z_]))(?:{_MEASURE})(?![A-Za-z_])",
    re.IGNORECASE,
)


def spelled(unit: str, text: str, *, where: str) -> str:
    """`unit` as the unit library knows it; BadInput where a measure means two volumes."""

    def named(match: re.Match[str]) -> str:
        measure = next(name for name in _MEASURES if match.group(name))
        country = _COUNTRIES.get((match.group("country") or "").lower())
        if country is None or (country, measure) not in _LITRES:
            raise _ambiguous(measure, text, where)
        return f"{country}_{measure}"

    if _GR.search(unit):
        raise BadInput(
            "{text!r} is ambiguous, as 'gr' is written for grams and for grains; write 'g' or "
            "'grain'",
            text=text,
            where=where,
        )
    found = _VOLUME.sub(named, unit)
    for pattern, replacement in _TRADE_SPELLINGS:
        found = pattern.sub(replacement, found)
    return found


def definitions() -> dict[str, str]:
    """By name, the lines that teach the unit library the measures of the trade and of kitchens."""
    measures = {
        f"{country}_{measure}": f"{litres!r} liter"
        for (country, measure), litres in _LITRES.items()
    }
    return {"mil_inch": "0.001 * inch", **measures}


def _ambiguous(measure: str, text: str, where: str) -> BadInput:
    countries = [country for country, name in _LITRES if name == measure]
    names = {"us": "US", "imperial": "imperial", "metric": "metric"}
    words = measure.replace("_", " ")
    differ = _listed([names[country] for country in countries], "and")
    write = _listed([repr(f"{country}_{measure}") for country in countries], "or")
    return BadInput(
        "{text!r} is ambiguous, as {differ} {words}s differ; write {write}",
        text=text,
        differ=differ,
        words=words,
        write=write,
        where=where,
    )


def _listed(words: list[str], last: str) -> str:
    return f" {last} ".join((", ".join(words[:-1]), words[-1]))
