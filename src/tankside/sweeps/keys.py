"""The key of a case: the same for the same function and the same values, on every machine and day.

Values are walked in a fixed order: dataclasses by their fields, mappings by sorted keys, arrays by
shape and bytes, floats by their exact bits. What has no such order (a set, a
file) is refused.
"""

import dataclasses
import hashlib
import struct
from collections.abc import Callable, Mapping, Sequence
from enum import Enum
from typing import Any, Protocol

import numpy as np

from tankside.base.errors import BadInput


class _Digest(Protocol):
    def update(self, data: bytes, /) -> None: ...


def case_key(function: Callable[..., Any], case: object) -> str:
    """Thirty-two hexadecimal digits; BadInput where a value in the case has no fixed form."""
    digest = hashlib.sha256(f"{function.__module__}.{function.__qualname__}".encode())
    _fed(digest, case)
    return digest.hexdigest()[:32]


def _fed(digest: _Digest, value: object) -> None:
    """Adds a value with its kind and length, so that no two different ones look alike."""
    match value:
        case None | bool() | int() | str() | Enum():
            _marked(digest, type(value).__qualname__, repr(value).encode())
        case float():
            _marked(digest, "float", struct.pack("<d", value))
        case bytes():
            _marked(digest, "bytes", value)
        case np.ndarray():
            plain = np.ascontiguousarray(value)
            _marked(digest, f"{plain.dtype.str}{plain.shape}", plain.tobytes())
        case np.generic():
            _fed(digest, value.item())
        case Mapping():
            _marked(digest, "mapping", str(len(value)).encode())
            for key in sorted(value, key=repr):
                _fed(digest, key)
                _fed(digest, value[key])
        case Sequence():
            _marked(digest, "sequence", str(len(value)).encode())
            for entry in value:
                _fed(digest, entry)
        case _ if dataclasses.is_dataclass(value) and not isinstance(value, type):
            _marked(digest, type(value).__qualname__, b"")
            for field in dataclasses.fields(value):
                _fed(digest, getattr(value, field.name))
        case _:
            raise BadInput(
                "a case holds {kind}, which has no fixed order; give numbers, text, arrays, "
                "mappings, sequences or dataclasses of these",
                kind=type(value).__qualname__,
            )


def _marked(digest: _Digest, kind: str, content: bytes) -> None:
    digest.update(f"{kind}:{len(content)}:".encode())
    digest.update(content)
