"""Reads a job file's text into a `Job`, or says in one sentence what is wrong and where."""

import tomllib
import types
from collections.abc import Mapping, Sequence
from typing import Any, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError

from tankside.app.job.complaints import fault_of
from tankside.app.job.schema import Job
from tankside.base.errors import BadInput, UnknownName
from tankside.base.wording import quoting


def read_job(text: str, *, name: str) -> Job:
    """The job in `text`; `name` is the file's name for error sentences."""
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadInput("not a TOML file: {error}", error=error, where=name) from error
    try:
        return Job.model_validate(tables)
    except ValidationError as error:
        raise sentence_of(error, tables, name) from error


def job_schema() -> dict[str, Any]:
    """The job file's JSON Schema (draft 2020-12), for editors."""
    schema = Job.model_json_schema()
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **schema,
        "title": "Tankside job",
    }


def sentence_of(
    error: ValidationError,
    tables: dict[str, Any],
    name: str,
    *,
    under: tuple[str, ...] = (),
    model: type[BaseModel] = Job,
) -> BadInput:
    """The most telling of pydantic's complaints, as one sentence of ours; `under` is the place in
    the file that was read, where it was not the whole, and `model` what the file holds."""
    complaint = max(error.errors(), key=lambda entry: _rank(entry["type"], entry["loc"]))
    location, kind = (*under, *complaint["loc"]), complaint["type"]
    where = _where(name, location, tables)
    table = _where(name, location[:-1], tables)
    if kind == "extra_forbidden":
        return UnknownName("the key", str(location[-1]), _known_keys(location, model), where=table)
    if kind == "missing":
        last = location[-1]
        lacks = (
            quoting("the key {last!r}", last=last)
            if isinstance(last, str)
            else quoting("value number {number}", number=last + 1)
        )
        return BadInput("{lacks} is missing", lacks=lacks, where=table)
    if kind == "union_tag_not_found":
        return BadInput("the key 'shape' is missing", where=where)
    return BadInput(_fault(complaint), where=where)


def _fault(complaint: Mapping[str, Any]) -> str:
    """What is wrong with a value that is there."""
    kind, given, context = complaint["type"], complaint["input"], complaint.get("ctx", {})
    if kind == "union_tag_invalid":
        return quoting(
            "{tag!r} is not a known shape; write one of {known}",
            tag=context["tag"],
            known=context["expected_tags"],
        )
    if kind == "literal_error":
        return quoting(
            "{given!r} is not known; write {expected}", given=given, expected=context["expected"]
        )
    return fault_of(complaint)


def _rank(kind: str, location: Sequence[int | str]) -> tuple[int, int]:
    """Unknown keys first (they explain missing ones), then the most deeply placed complaint."""
    return (kind == "extra_forbidden", len(location))


def _where(name: str, location: Sequence[int | str], tables: dict[str, Any]) -> str:
    """File and place as a person finds it: job.toml: [anode 2] size[1]."""
    words = _real_path(location, tables)
    if not words:
        return name
    head, *rest = words
    if rest and isinstance(rest[0], int):
        head, rest = f"{head} {rest[0] + 1}", rest[1:]
    text = f"{name}: [{head}]"
    for step in rest:
        text += f"[{step + 1}]" if isinstance(step, int) else f" {step}"
    return text


def _real_path(location: Sequence[int | str], tables: Any) -> list[int | str]:
    """The steps of a location that are in the file, without those that pydantic adds for unions."""
    path: list[int | str] = []
    at = tables
    for step in location:
        inside = (
            step in at if isinstance(at, dict) else isinstance(at, list) and step in range(len(at))
        )
        if inside:
            at = at[step]
            path.append(step)
    return path


def _known_keys(location: Sequence[int | str], model: type[BaseModel]) -> set[str]:
    """The keys that the table at this location may hold."""
    keys: set[str] = set()
    models: list[type[BaseModel]] = [model]
    for step in location[:-1]:
        found = [
            inner
            for parent in models
            if isinstance(step, str) and step in parent.model_fields
            for inner in _models(parent.model_fields[step].annotation)
        ]
        tagged = [one for one in models if _tag(one) == step]
        models = found or tagged or models
    for one in models:
        keys |= set(one.model_fields)
    return keys


def _tag(model: type[BaseModel]) -> str | None:
    shape = model.model_fields.get("shape")
    return get_args(shape.annotation)[0] if shape is not None else getattr(model, "TAG", None)


def _models(annotation: Any) -> list[type[BaseModel]]:
    """All models named in a type annotation."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    if get_origin(annotation) in (Union, types.UnionType, tuple) or get_args(annotation):
        return [model for part in get_args(annotation) for model in _models(part)]
    return []
