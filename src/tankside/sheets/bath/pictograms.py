"""The hazard pictograms of the globally harmonised system, drawn anew from the standard's shapes.

A black symbol on white in a red square set on its point (UN GHS, ninth revised edition, 1.4.10 and
annex 1; shapes from memory). Each symbol is drawn on a square of 200 units with the frame's points
at the middles of its sides; simple shapes that stay clear when printed 15 mm wide.
"""

from tankside.base.errors import UnknownName

_RED = "#d2232a"

_FLAME = (
    "M100 34 C112 58 136 70 136 104 C136 128 120 142 100 142 C80 142 64 128 64 104 "
    "C64 90 72 82 78 70 C82 80 86 84 92 86 C88 66 92 48 100 34 Z"
)

_FLAME_INSIDE = "M100 96 C106 106 116 110 116 122 C116 132 109 138 100 138 C91 138 84 132 84 122 C84 114 92 108 100 96 Z"  # noqa: E501


def _flame(at: float, size: float) -> str:
    shift = f"translate({100 - 100 * size} {at - 88 * size}) scale({size})"
    return f'<g transform="{shift}"><path d="{_FLAME}"/><path d="{_FLAME_INSIDE}" fill="#fff"/></g>'


def _ground(y: float) -> str:
    return f'<rect x="62" y="{y}" width="76" height="6"/>'


_TUBE = (
    '<g transform="translate({x} {y}) rotate({angle})">'
    '<path d="M-26 -8 H20 Q28 -8 28 0 Q28 8 20 8 H-26 Z" fill="none" stroke="#000" '
    'stroke-width="4"/><path d="M2 0 H20 Q24 0 24 3 Q22 6 18 6 H2 Z"/></g>'
)

_DROP = '<path d="M{x} {y} q5 9 0 13 q-5 -4 0 -13 Z"/>'

_HAND = (
    "M112 128 l10 -8 q12 -6 22 -2 l18 8 q6 3 6 8 v8 h-56 Z M104 134 l16 -4 v12 h-16 q-4 -4 0 -8 Z"
)


def _smaller(drawn: str, size: float, down: float = 0.0) -> str:
    """A drawing scaled about the middle, clear of the frame."""
    shift = 100 * (1 - size)
    return f'<g transform="translate({shift:.4g} {shift + down:.4g}) scale({size})">{drawn}</g>'


_SYMBOLS = {
    "GHS02": _flame(92, 1.0) + _ground(142),
    "GHS03": _flame(74, 0.72)
    + '<circle cx="100" cy="124" r="21" fill="none" stroke="#000" stroke-width="7"/>'
    + _ground(150),
    "GHS04": '<g transform="rotate(-32 100 100)"><path d="M58 86 H124 Q138 86 146 94 H160 V106 '
    'H146 Q138 114 124 114 H58 Q50 114 50 106 V94 Q50 86 58 86 Z"/></g>',
    "GHS05": _TUBE.format(x=72, y=70, angle=28)
    + _TUBE.format(x=134, y=70, angle=152)
    + "".join(_DROP.format(x=x, y=y) for x, y in ((100, 84), (101, 102), (76, 92), (74, 108)))
    + '<path d="M46 126 H70 q3 6 8 7 q5 -1 8 -7 H98 V134 H46 Z"/>'
    + '<path d="M104 134 q14 -14 30 -12 q14 2 22 8 V134 H146 q-2 -8 -10 -8 q-8 0 -10 8 Z"/>'
    + '<rect x="46" y="137" width="52" height="4"/><rect x="104" y="137" width="52" height="4"/>',
    "GHS06": _smaller(
        '<path d="M100 48 C122 48 134 62 134 80 C134 92 128 98 122 102 V112 H78 V102 '
    'C72 98 66 92 66 80 C66 62 78 48 100 48 Z"/>'
    '<circle cx="86" cy="82" r="9" fill="#fff"/><circle cx="114" cy="82" r="9" fill="#fff"/>'
    '<path d="M100 92 l6 10 h-12 Z" fill="#fff"/>'
    '<path d="M90 104 V112 M100 104 V112 M110 104 V112" stroke="#fff" stroke-width="3"/>'
    '<g stroke="#000" stroke-width="9" stroke-linecap="round"><path d="M64 118 L136 148"/>'
    '<path d="M136 118 L64 148"/></g>'
    + "".join(
        f'<circle cx="{x}" cy="{y}" r="7"/>'
        for x, y in ((60, 112), (58, 122), (140, 112), (142, 122), (60, 152), (58, 143), (140, 152),
                     (142, 143))
    ), 0.86),
    "GHS07": '<path d="M88 44 H112 L108 116 H92 Z"/><circle cx="100" cy="138" r="13"/>',
    "GHS08": _smaller('<circle cx="100" cy="56" r="17"/>'
    '<path d="M60 156 V112 Q60 84 84 80 H116 Q140 84 140 112 V156 Z"/>'
    '<path d="M100 86 L108 104 L126 98 L116 114 L132 126 L112 128 L112 148 L100 132 L86 148 '
    'L88 128 L68 124 L84 114 L76 98 L92 104 Z" fill="#fff"/>', 0.84, -3),
    "GHS09": _smaller('<path d="M40 132 H160 L152 138 H48 Z"/>'
    '<path d="M70 132 V84 L54 66 M70 96 L88 72 M70 84 L74 56 M70 108 L56 96" fill="none" '
    'stroke="#000" stroke-width="6" stroke-linecap="round"/>'
    '<path d="M96 126 Q112 104 136 114 L150 102 V134 L136 124 Q114 134 96 126 Z"/>'
    '<circle cx="108" cy="120" r="2.6" fill="#fff"/>'
    '<path d="M118 112 q4 8 0 14" fill="none" stroke="#fff" stroke-width="2"/>', 0.9),
}  # fmt: skip


def pictogram(name: str) -> str:
    """A pictogram as an SVG document, by its id such as "GHS05"; UnknownName where none is."""
    if name not in _SYMBOLS:
        raise UnknownName("pictogram", name, _SYMBOLS)
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 200" width="200" height="200">'
        f'<path d="M100 9 L191 100 L100 191 L9 100 Z" fill="#fff" stroke="{_RED}" '
        f'stroke-width="10" stroke-linejoin="miter"/>{_SYMBOLS[name]}</svg>'
    )


def pictograms() -> tuple[str, ...]:
    """The ids that are drawn."""
    return tuple(_SYMBOLS)
