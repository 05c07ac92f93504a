"""The numbers in a GLB: accessors over views of its binary chunk, as glTF 2.0 lays them out.

Integers that stand for fractions (normalized) are turned into them by the standard's rule, and
sparse accessors are filled in. Buffers outside the file are refused.
"""

from typing import Any

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput

_KINDS = {5120: "<i1", 5121: "<u1", 5122: "<i2", 5123: "<u2", 5125: "<u4", 5126: "<f4"}
_COLUMNS = {"SCALAR": 1, "VEC2": 2, "VEC3": 3, "VEC4": 4}
_LARGEST = {"<i1": 127.0, "<u1": 255.0, "<i2": 32767.0, "<u2": 65535.0}


class Buffers:
    """The accessors of one GLB."""

    def __init__(self, content: dict[str, Any], binary: bytes) -> None:
        self._content, self._binary = content, binary

    def array(self, number: int, *, columns: int) -> Floats:
        """Accessor `number` as (count, columns) float64."""
        accessor = self._content["accessors"][number]
        if _COLUMNS.get(accessor["type"]) != columns:
            raise BadInput(
                "accessor {number} of the GLB is not of {columns} numbers a row",
                number=number,
                columns=columns,
            )
        kind, count = _KINDS[accessor["componentType"]], int(accessor["count"])
        if "bufferView" in accessor:
            rows = self._rows(accessor, kind, count, columns)
        else:
            rows = self._zeros(accessor, count, columns)
        if "sparse" in accessor:
            rows = self._filled_in(rows, accessor["sparse"], kind, columns)
        if accessor.get("normalized", False):
            rows = np.maximum(rows / _LARGEST[kind], -1.0)
        return rows

    def _zeros(self, accessor: dict[str, Any], count: int, columns: int) -> Floats:
        if "sparse" not in accessor or not 0 <= count <= 10_000_000:
            raise BadInput("an accessor of the GLB has no numbers; it may be compressed")
        return np.zeros((count, columns))

    def _rows(self, place: dict[str, Any], kind: str, count: int, columns: int) -> Floats:
        view = self._content["bufferViews"][place["bufferView"]]
        buffer = self._content["buffers"][view["buffer"]]
        if view["buffer"] != 0 or "uri" in buffer:
            raise BadInput("the GLB keeps its numbers in another file; export it as one file")
        item = np.dtype(kind).itemsize * columns
        stride = int(view.get("byteStride", item))
        start = int(view.get("byteOffset", 0)) + int(place.get("byteOffset", 0))
        end = start + stride * (count - 1) + item
        if start < 0 or count < 0 or stride < item or (count and end > len(self._binary)):
            raise BadInput("the GLB is cut short: a list of numbers runs past its end")
        if count == 0:
            return np.zeros((0, columns))
        raw = np.frombuffer(self._binary, np.uint8, end - start, start)
        rows = np.lib.stride_tricks.as_strided(raw, (count, item), (stride, 1), writeable=False)
        return np.ascontiguousarray(rows).view(kind).reshape(count, columns).astype(np.float64)

    def _filled_in(self, rows: Floats, sparse: dict[str, Any], kind: str, columns: int) -> Floats:
        count = int(sparse["count"])
        index_kind = _KINDS[sparse["indices"]["componentType"]]
        places = self._rows(sparse["indices"], index_kind, count, 1).reshape(-1).astype(np.int64)
        if count and places.max() >= len(rows):
            raise BadInput("a sparse accessor of the GLB fills in rows that it does not have")
        filled = rows.copy()
        filled[places] = self._rows(sparse["values"], kind, count, columns)
        return filled
