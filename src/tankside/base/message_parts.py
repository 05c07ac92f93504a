"""The parts of sentences as JSON, so that what was kept can be told to another reader later."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from typing import Any, cast

from tankside.base.messages import Quantity, Sign, Value
from tankside.base.wording import Said


def packed(said: Said) -> dict[str, Any]:
    """The parts as JSON."""
    return {
        "words": said.words if isinstance(said.words, str) else list(said.words),
        "values": {name: _packed(value) for name, value in said.values.items()},
    }


def unpacked(text: str, parts: Mapping[str, Any]) -> Said:
    """What `packed` kept, with the text that it was kept beside. KeyError, TypeError or ValueError
    where it is damaged."""
    words = parts["words"]
    held = words if isinstance(words, str) else (str(words[0]), str(words[1]))
    return Said(text, held, {name: _unpacked(one) for name, one in parts["values"].items()})


def _packed(value: Value) -> Any:
    if isinstance(value, Quantity):
        return {name: getattr(value, name) for name in Quantity.__slots__}
    if isinstance(value, Sign):
        return {"sign": value.unit}
    if isinstance(value, Said):
        return {"text": str(value), **packed(value)}
    if isinstance(value, tuple):
        return [_packed(one) for one in value]
    return value


def _unpacked(kept: Any) -> Value:
    if isinstance(kept, list):
        return tuple(cast("Quantity | str", _unpacked(each)) for each in kept)
    if not isinstance(kept, dict):
        return kept if isinstance(kept, int) else str(kept)
    if "words" in kept:
        return _said(kept)
    if "sign" in kept:
        return Sign(str(kept["sign"]))
    value = kept["value"]
    return Quantity(**{**kept, "value": tuple(value) if isinstance(value, list) else float(value)})


def _said(kept: Mapping[str, Any]) -> Said:
    return unpacked(str(kept["text"]), kept)


def all_packed(tree: object) -> dict[str, Any]:
    """The parts of every sentence in a tree of lists, tuples and mappings, by its text."""
    return {text: packed(one) for text, one in _all_said(tree)}


def all_unpacked(kept: Mapping[str, Any]) -> dict[str, Said]:
    """What `all_packed` kept. What is damaged is left out: its text still stands."""
    found = {}
    for text, parts in kept.items():
        with suppress(KeyError, TypeError, ValueError, IndexError):
            found[text] = unpacked(text, parts)
    return found


def with_parts(tree: Any, parts: Mapping[str, Said]) -> Any:
    """The tree with its texts as they were said, where their parts are known."""
    if isinstance(tree, str):
        return parts.get(tree, tree)
    if isinstance(tree, dict):
        return {key: with_parts(entry, parts) for key, entry in tree.items()}
    if isinstance(tree, list):
        return [with_parts(entry, parts) for entry in tree]
    return tree


def _all_said(tree: object) -> Iterator[tuple[str, Said]]:
    if isinstance(tree, Said):
        if tree.values:
            yield str(tree), tree
    elif isinstance(tree, Mapping):
        for entry in tree.values():
            yield from _all_said(entry)
    elif isinstance(tree, Sequence) and not isinstance(tree, str | bytes):
        for entry in tree:
            yield from _all_said(entry)
