"""Gathers the texts of pages and core into one catalogue, and compiles the languages beside it.

python3 dev.py words            writes locale/tankside.pot, and a .mo beside every .po
python3 dev.py words --check    status 1 where the catalogue on disk differs from a new one
"""

import ast
import re
import sys
import tomllib
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from tankside.app.bath.note_fields import NOTE_KINDS
from tankside.app.bath.questions.all import QUESTIONS
from tankside.app.compare_plans import FIGURES
from tankside.app.rig import changing, fields
from tankside.app.rig.fields import Spec
from tankside.app.work.alternatives import ALTERNATIVES
from tankside.app.work.first_plan import STEPS
from tankside.app.work.languages import LOCALE
from tankside.app.work.plan_fields import GROUPS, Field
from tankside.base import errors
from tankside.base.tables import table
from tankside.base.units import Kind
from tankside.diagnosis.loading import SENTENCES
from tankside.sheets.typeset import SAID

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "src" / "tankside"
WEB = PACKAGE / "web"
CATALOGUE = LOCALE / "tankside.pot"
_WHERE = ((WEB, "**.py", "python"), (WEB, "**/templates/**.html", "jinja2"))
_SCRIPTS = ((ROOT / "frontend" / "src", "**.ts", "javascript"),)
_OPTIONS = {
    "**/templates/**.html": {"trim_blocks": "true", "lstrip_blocks": "true", "trimmed": "true"}
}

Text = tuple[str, str | tuple[str, ...], list[str]]
"""File, words for one or for one and many, and comments for the translator."""

_SAID: dict[str, tuple[int, ...]] = {
    "said": (0,),
    "said_of": (0, 1),
    "progress": (0,),
    "worded": (0,),
    "worded_of": (0, 1),
    "lettered": (1,),
    "quoting": (0,),
    "term": (0,),
    "StaleWrite": (0,),
    "NothingKept": (0,),
    "Clash": (0,),
    **dict.fromkeys(
        (
            name
            for name, kind in vars(errors).items()
            if isinstance(kind, type) and issubclass(kind, errors.TanksideError)
        ),
        (0,),
    ),
}
"""Where sentences stand, by what makes them: which of its arguments they are. Errors too take their
words first."""
TABLES: dict[str, frozenset[str]] = {
    "safety/data/cautions.toml": frozenset({"text"}),
    "safety/data/handover.toml": frozenset({"background", "standing", "words"}),
    "safety/data/incompatible.toml": frozenset({"result", "way_out"}),
    "safety/data/rules.toml": frozenset({"names", "reason", "way_out"}),
    "bath/makeup/data/wrong_products.toml": frozenset({"instead", "reason"}),
    "bath/analysis/data/titrants.toml": frozenset({"cautions", "keep", "words"}),
    "bath/analysis/data/titrations.toml": frozenset({"interferes", "name", "steps", "words"}),
    "bath/data/bases.toml": frozenset({"caution", "words"}),
    "bath/data/families.toml": frozenset({"additives", "hazard", "words"}),
    "bath/inventory/data/inventory.toml": frozenset({"name"}),
    **{
        f"diagnosis/data/{name}.toml": SENTENCES
        for name in ("causes", "checks", "faults", "remedies")
    },
}
"""Keys of the core's tables under which a person's sentences stand."""
COLUMNS: dict[tuple[str, str], tuple[str, ...]] = {
    ("tankside.bath.analysis", "volumetric.csv"): ("words",),
    ("tankside.diagnosis.panel", "cells.csv"): ("dimensions_from",),
    ("tankside.safety", "further_statements.csv"): ("text",),
    ("tankside.safety", "pictograms.csv"): ("name", "symbol"),
    ("tankside.safety", "precautions.csv"): ("statement",),
    ("tankside.substances", "statements.csv"): ("statement",),
}
"""The same, of tables with columns."""


def main(arguments: list[str]) -> int:
    """Writes or checks the catalogue; compiles."""
    text = gathered()
    fresh = CATALOGUE.is_file() and CATALOGUE.read_bytes() == text
    if "--check" in arguments:
        if not fresh:
            sys.stdout.write("stale: the catalogue of the pages' words\n")
        return 0 if fresh else 1
    CATALOGUE.write_bytes(text)
    for path in compiled():
        sys.stdout.write(f"written: {path.relative_to(ROOT)}\n")
    return 0


def gathered() -> bytes:
    """The catalogue as a POT file: every text once, by name of the file that it stands in."""
    catalogue = Catalog(project="Tankside", charset="utf-8")
    texts = (*_texts(), *of_the_core())
    for name, text, comments in sorted(texts, key=lambda found: (found[0], str(found[1]))):
        catalogue.add(text, locations=[(name, None)], auto_comments=comments)
    stream = BytesIO()
    write_po(stream, catalogue, width=100, omit_header=True, sort_by_file=True)
    return stream.getvalue()


def _texts() -> Iterator[Text]:
    for folder, pattern, method in (*_WHERE, *_SCRIPTS):
        found = extract_from_dir(
            folder, [(pattern, method)], _OPTIONS, strip_comment_tags=True, comment_tags=["Words:"]
        )
        for name, _, text, comments, _ in found:
            yield (folder / name).relative_to(ROOT).as_posix(), text, comments
    for group in GROUPS:
        for one in (group.words, *(text for field in group.fields for text in _of(field))):
            yield "src/tankside/app/work/plan_fields.py", one, []
    for step in STEPS:
        for one in (step.words, step.why):
            yield "src/tankside/app/work/first_plan.py", one, []
    for figure in FIGURES:
        yield "src/tankside/app/compare_plans.py", figure.words, []
    for alternative in ALTERNATIVES.values():
        for one in (alternative.words, alternative.why):
            yield "src/tankside/app/work/alternatives.py", one, []
    for kind in NOTE_KINDS:
        for one in (kind.words, kind.help, *(field.words for field in kind.fields)):
            yield "src/tankside/app/bath/note_fields.py", one, []
    for quantity in Kind:
        yield "src/tankside/base/units/kinds.py", quantity.words, []
    for one in dict.fromkeys(_of_baths()):
        yield "src/tankside/app/bath/questions", one, []
    for one in dict.fromkeys(_of_rigs()):
        yield "src/tankside/app/rig/fields.py", one, []


def _of_baths() -> Iterator[str]:
    """Texts of what is asked about a bath."""
    for question in QUESTIONS.values():
        yield question.words
        yield from (group.words for group in question.groups if group.words)
        for field in question.by_key.values():
            yield from (text for text in (field.words, field.help) if text)
            if not field.printed:
                yield from (words for _, words in field.choices if words)
            else:
                yield from (words for key, words in field.choices if words and not key)


def _of_rigs() -> Iterator[str]:
    """Texts of the rig's fields."""
    specs: tuple[Spec, ...] = (
        *(spec for many in (*fields.SHAPES.values(), *fields.TANKS.values()) for spec in many),
        *(*fields.PART, *fields.CONTACT, *fields.BATH, *fields.SUPPLY, *fields.GOAL),
    )
    for spec in specs:
        yield spec.words
        if spec.help:
            yield spec.help
        yield from (words for _, words in spec.choices)
    yield from (*fields.LISTS.values(), *fields.THINGS.values(), *fields.CORNER)
    yield from (*changing.ADDED.values(), *changing.SHAPES.values())


def _of(field: Field) -> Iterator[str]:
    """Texts of a form's field."""
    yield field.words
    yield field.help
    if field.source:
        yield field.source
    yield from (words for _, words in field.choices)


def compiled() -> Iterator[Path]:
    """The .mo files, one for each language's .po; made anew."""
    for source in sorted(LOCALE.glob("*/LC_MESSAGES/tankside.po")):
        with source.open("rb") as stream:
            catalogue = read_po(stream)
        target = source.with_suffix(".mo")
        with target.open("wb") as stream:
            write_mo(stream, catalogue)
        yield target


def of_the_core() -> Iterator[Text]:
    """What the computation says: sentences where `said` or an error stands, stages of long work,
    and the sentences of its tables."""
    for path in sorted(PACKAGE.rglob("*.py")):
        name, tree = path.relative_to(ROOT).as_posix(), ast.parse(path.read_text("utf-8"))
        yield from ((name, text, []) for text in _sentences(tree))
        yield from ((name, text, []) for text in _places(tree) if not _NAME.search(text))
    for path in sorted(PACKAGE.rglob("*.typ")):
        for text in dict.fromkeys(SAID.findall(path.read_text("utf-8"))):
            yield path.relative_to(ROOT).as_posix(), text, []
    for name, keys in TABLES.items():
        rows = tomllib.loads((PACKAGE / name).read_text("utf-8"))
        # a caution among steps begins with an exclamation mark
        for text in dict.fromkeys(one.removeprefix("!") for one in _under(rows, keys)):
            yield f"src/tankside/{name}", text, []
    for (room, name), columns in COLUMNS.items():
        cells = [row[column] for row in table(room, name) for column in columns]
        for text in dict.fromkeys(cells):
            yield f"src/{room.replace('.', '/')}/data/{name}", text, []


def _sentences(tree: ast.Module) -> Iterator[str | tuple[str, ...]]:
    """Words that are written where a sentence is made, for one and many where both stand there."""
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        places = _SAID.get(getattr(node.func, "id", getattr(node.func, "attr", "")))
        found = [node.args[place] for place in places or () if place < len(node.args)]
        words = [list(_written(one)) for one in found]
        if len(words) == 2 and all(len(one) == 1 for one in words):
            yield words[0][0], words[1][0]
        elif len(words) == 1:
            yield from words[0]


def _written(node: ast.expr) -> Iterator[str]:
    """A text, or the texts of which one is chosen."""
    match node:
        case ast.Constant(value=str(words)):
            yield words
        case ast.IfExp(body=one, orelse=other):
            yield from _written(one)
            yield from _written(other)


def _places(tree: ast.Module) -> Iterator[str]:
    """Places that errors name where they stand as words: `where="the shelf"`. What begins with a
    dash or a bracket is an option or a table of a file, and what ends in a point and letters is a
    file."""
    for node in ast.walk(tree):
        match node:
            case ast.keyword(arg="where", value=ast.Constant(value=str(words))):
                yield words
            case ast.keyword(
                arg="where", value=ast.BoolOp(values=[*_, ast.Constant(value=str(words))])
            ):
                yield words


_NAME = re.compile(r"^[-\[]|\.\w+$|^$")


def _under(tree: object, keys: frozenset[str], key: str = "") -> Iterator[str]:
    """Texts of a table under some of its keys, however deep."""
    if isinstance(tree, dict):
        for name, entry in tree.items():
            yield from _under(entry, keys, name)
    elif isinstance(tree, list):
        for entry in tree:
            yield from _under(entry, keys, key)
    elif isinstance(tree, str) and tree and key in keys:
        yield tree


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
