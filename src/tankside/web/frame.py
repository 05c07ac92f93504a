"""The frame round every page: templates, numbers as people read them, and the bundle if built.

Templates escape everything, and refuse names that were not handed to them. Addresses of static
files carry a fingerprint of their content, so that a browser may keep them for ever.
"""

import hashlib
import json
from collections.abc import Mapping
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape
from starlette.requests import Request
from starlette.responses import HTMLResponse

from tankside.app.work.plan_form import answer_words
from tankside.base import units
from tankside.base.errors import BadInput, TanksideError
from tankside.base.units import UnitSystem
from tankside.web import reader, words
from tankside.web.access import Role
from tankside.web.reader import READER
from tankside.web.view_words import view_words

STATIC = Path(__file__).with_name("static")
BUNDLE = Path(__file__).with_name("bundle")
"""Where `python3 dev.py web`, or the making of a wheel, puts the scripts."""


def page(request: Request, template: str, status: int = 200, **values: Any) -> HTMLResponse:
    """A page, or a piece of one, from a template's name and its values."""
    role = request.scope.get("state", {}).get("role", Role.OWN)
    text = (
        _environment()
        .get_template(template)
        .render(
            path=request.url.path,
            role=role,
            may_operate=role >= Role.OPERATE,
            may_own=role >= Role.OWN,
            **values,
        )
    )
    return HTMLResponse(text, status_code=status, headers={"cache-control": "no-cache"})


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("tankside.web", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        optimized=False,  # else a filter of a constant is worked out once, for the first reader
        extensions=["jinja2.ext.i18n"],
    )
    environment.install_gettext_callables(  # type: ignore[attr-defined]  # of the extension
        words._,
        words.ngettext,
        newstyle=True,
    )
    environment.policies["ext.i18n.trimmed"] = True
    environment.filters.update(
        rounded=reader.rounded,
        figure=reader.figure,
        metered=reader.metered,
        shown=reader.shown,
        told=reader.told,
        between=reader.between,
        sides=reader.sides,
        bare_before=reader.bare_before,
        for_a_field=reader.for_a_field,
        example=reader.example,
        minus=reader.minus,
        marked=reader.marked,
        signed=units.signed,
        ruled=reader.ruled,
        money=reader.money,
        chance=chance,
        warmer=reader.warmer,
        moment=moment,
        day=day,
        lasting=lasting,
        clock=clock,
        said=words.spoken,
        sentence=sentence,
        begun=begun,
        laboratory=laboratory,
    )
    environment.globals.update(
        _=_said,
        language=lambda: READER.get().language,
        liked=lambda: READER.get(),
        view_words=view_words,
        answer_words=answer_words,
        alternative_words=_alternative_words,
        static=static_address,
        script=script_address,
        Role=Role,
    )
    return environment


def _said(text: str, **values: object) -> Markup:
    """A text in the reader's language, with values put in; a per cent sign alone is itself."""
    found = escape(words._(text))
    return found % values if values else found


def _alternative_words(kind: str) -> str:
    """The words of an alternative to a plan, by its kind."""
    from tankside.app.work.alternatives import ALTERNATIVES

    return ALTERNATIVES[kind].words if kind in ALTERNATIVES else kind


def chance(share: float) -> str:
    """A probability in whole percent, never as a certainty that it is not."""
    if 0.995 <= share < 1.0:
        return words._("over 99 %")
    if 0.0 < share < 0.005:
        return words._("under 1 %")
    return f"{100.0 * share:.0f} %"


def moment(seconds: float) -> str:
    """A moment [s since 1970] as this machine's clock shows it."""
    return datetime.fromtimestamp(seconds).strftime("%Y-%m-%d %H:%M")


def day(seconds: float) -> str:
    """The day of a moment [s since 1970] as this machine's clock shows it."""
    return datetime.fromtimestamp(seconds).strftime("%Y-%m-%d")


def lasting(seconds: float) -> str:
    """A time [s] in the two largest of hours, minutes and seconds that tell it."""
    if seconds < 90:
        return f"{round(seconds)} s"
    minutes = round(seconds / 60)
    if minutes < 90:
        return f"{minutes} min"
    return f"{minutes // 60} h {minutes % 60:02} min"


def clock(seconds: float) -> str:
    """A time [s] as hours, minutes and seconds."""
    whole = max(0, round(seconds))
    return f"{whole // 3600}:{whole // 60 % 60:02}:{whole % 60:02}"


def sentence(text: str) -> str:
    """What the core says, in the reader's words and units, as a sentence."""
    return begun(words.spoken(text))


def laboratory(text: str) -> str:
    """The same of what is done with burettes and pipettes: in millilitres and grams everywhere."""
    return begun(words.spoken(text, UnitSystem.METRIC))


def begun(text: str) -> str:
    """A text as a sentence: a full stop last, and a capital first unless it is a file's name."""
    text = text.strip()
    if not text:
        return ""
    first = text.split()[0].strip(".:,")
    capital = text if "." in first else text[0].upper() + text[1:]
    return f"{capital}{'' if text[-1] in '.!?' else '.'}"


def static_address(name: str) -> str:
    """The address of one of the files in static/."""
    return f"/static/{name}?v={_fingerprint(name)}"


@cache
def _fingerprint(name: str) -> str:
    return hashlib.sha256((STATIC / name).read_bytes()).hexdigest()[:12]


def script_address(entry: str) -> str | None:
    """The address of a built script by its source's name; None where the bundle is not built."""
    made = bundle_manifest().get(f"src/{entry}.ts")
    return None if made is None else f"/bundle/{made['file']}"


@cache
def bundle_manifest() -> Mapping[str, Any]:
    """What the bundle holds, by source; empty where it is not built."""
    path = BUNDLE / "manifest.json"
    return dict(json.loads(path.read_text("utf-8"))) if path.is_file() else {}


def sentence_alone(error: TanksideError) -> str:
    """What an error says, without the name that a command line has for its place."""
    return error.message if isinstance(error, BadInput) else str(error)
