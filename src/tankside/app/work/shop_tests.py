"""Use case: the shop's own tests as the pages keep them, in one file of the home folder that the
command line reads as well, and what they have taught."""

import json
import tomllib
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tankside.app.work.kept_json import write_whole
from tankside.app.work.plan_form import SHOP_TESTS as FILE
from tankside.app.work.work import WorkKind, WorkState
from tankside.base.errors import BadInput, UnknownName

if TYPE_CHECKING:
    from tankside.app.know_a_shop import ShopReply
    from tankside.app.work.workplace import Workplace

SHOP = "this shop"
"""Its name in the store."""

FIELDS: Mapping[str, tuple[str, ...]] = {
    "bent": ("current", "width", "depth", "burnt"),
    "burning": ("good", "burnt"),
    "throwing": ("near_gain", "far_gain", "near", "far", "current_density", "scale"),
    "sweep": ("gap", "plate", "readings"),
    "strip": ("resistance", "length", "width"),
    "audit": ("efficiency",),
}
"""What is typed of each kind of test; a plate's two sides with x between them, readings as lines of
current and voltage, an efficiency as low, best and high."""


def tests_of(place: "Workplace") -> dict[str, list[dict[str, Any]]]:
    """The tests as they were typed, by kind."""
    return _tables(_text(place.home))


def know(place: "Workplace") -> "ShopReply | None":
    """What they teach of the bath of the latest plan, or of the example's where there is none; None
    before the first test."""
    text = _text(place.home)
    return _known(text, _job_text(place)) if text.strip() else None


def add_test(place: "Workplace", kind: str, typed: Mapping[str, str]) -> "ShopReply":
    """Keeps one more test, and what all of them teach; BadInput where it cannot be read, and
    nothing is kept then."""
    if kind not in FIELDS:
        raise UnknownName("the kind of test", kind[:40], FIELDS)
    name = typed.get("name", "").strip()
    if not name:
        raise BadInput("give the test a name, such as its day", where="name")
    table = {"name": name, **{key: _value(key, typed.get(key, "")) for key in FIELDS[kind]}}
    return _kept(place, f"{_text(place.home)}\n{_written(kind, table)}")


def learn_from_run(place: "Workplace", id: str) -> "ShopReply":
    """The efficiency of a run's last audit becomes a test; BadInput where it was not audited."""
    from tankside.app.work.run_audits import last_audit

    found = last_audit(place, id)
    if found is None:
        raise BadInput("this run was not audited yet; audit it first")
    one = found.audit.factors["efficiency"]
    name = f"{place.runs.order(id).title}, {id.removeprefix('run-')}"
    ends = f"{one.low:.5f} {one.best:.5f} {one.high:.5f}"
    return add_test(place, "audit", {"name": name, "efficiency": ends})


def typed_test(place: "Workplace", name: str) -> tuple[str, dict[str, str]]:
    """A test's kind, and how it was typed, so that it can be typed again; UnknownName where there
    is none of that name."""
    held = tests_of(place)
    for kind, found in held.items():
        for one in found:
            if one.get("name") == name:
                return kind, {key: _typed(key, value) for key, value in one.items()}
    raise UnknownName("the test", name[:60], [one["name"] for a in held.values() for one in a])


def remove_test(place: "Workplace", name: str) -> None:
    """Takes one away again."""
    held = tests_of(place)
    rest = {kind: [one for one in found if one.get("name") != name] for kind, found in held.items()}
    if rest == held:
        raise UnknownName("the test", name[:60], [one["name"] for a in held.values() for one in a])
    text = "\n".join(_written(kind, one) for kind, found in rest.items() for one in found)
    if text:
        _kept(place, text)
    else:
        (place.home / FILE).unlink()


def _kept(place: "Workplace", text: str) -> "ShopReply":
    from tankside.app.keep.keep_a_shop import keep_a_shop

    reply = _known(text, _job_text(place))
    place.home.mkdir(parents=True, exist_ok=True)
    write_whole(place.home / FILE, text.lstrip().encode())
    keep_a_shop(place.store, SHOP, reply)
    return reply


def _known(text: str, job_text: str) -> "ShopReply":
    from tankside.app.know_a_shop import know_a_shop_of

    return know_a_shop_of(
        tests_text=text, tests_name=FILE, job_text=job_text, job_name="the latest plan's job"
    )


def _job_text(place: "Workplace") -> str:
    from tankside.app.example_job import example_files

    for work in place.queue.all():  # newest first
        name = str(work.order.options.get("job", ""))
        files = place.queue.folder.given(work.id)
        done = work.order.kind is WorkKind.PLAN and work.state is WorkState.DONE
        if done and name in files.names():
            return files.read(name, where="the job").decode("utf-8-sig")
    return example_files()["finial.toml"].decode()


def _text(home: Path) -> str:
    path = home / FILE
    return path.read_text("utf-8") if path.is_file() else ""


def _tables(text: str) -> dict[str, list[dict[str, Any]]]:
    try:
        return dict(tomllib.loads(text))
    except tomllib.TOMLDecodeError as error:
        raise BadInput("not a TOML file: {error}", error=error, where=FILE) from error


def _value(key: str, text: str) -> Any:
    if key == "plate":
        sides = [one.strip() for one in text.replace("×", "x").split("x")]
        if len(sides) != 2 or not all(sides):
            raise BadInput("a plate is typed as 40 mm x 50 mm", where=key)
        return sides
    if key == "readings":
        return [_pair(line) for line in text.splitlines() if line.strip()]
    if key == "efficiency":
        try:
            return [float(one) for one in text.replace(";", " ").split()]
        except ValueError as error:
            raise BadInput("an efficiency is typed as 0.95 0.97 0.99", where=key) from error
    if not text.strip():
        raise BadInput("this is needed too", where=key.replace("_", " "))
    return text.strip()


def _typed(key: str, value: Any) -> str:
    """What `_value` reads as the value."""
    if key == "readings":
        return "\n".join("; ".join(pair) for pair in value)
    if isinstance(value, list):
        return (" x " if key == "plate" else " ").join(map(str, value))
    return str(value)


def _pair(line: str) -> Sequence[str]:
    """A current and a voltage of one line, as "0.5 A  0.31 V" or "0.5 A; 0.31 V"."""
    current, sign, voltage = line.partition("A")
    if not sign or not voltage.strip(" ;,\t"):
        raise BadInput(
            "{line!r} is no reading; write 0.5 A; 0.31 V", line=line.strip()[:40], where="readings"
        )
    return [f"{current.strip()} A", voltage.strip(" ;,\t")]


def _written(kind: str, table: Mapping[str, Any]) -> str:
    rows = [f"{key} = {json.dumps(value, ensure_ascii=False)}" for key, value in table.items()]
    return "\n".join([f"[[{kind}]]", *rows, ""])
