"""The body of a PLY file, read element by element, from text or from binary.

Types are numpy's codes ("f4"). Every reader of a row knows how many bytes or words are left, and
refuses a body that ends before its head says so.
"""

import struct
from abc import ABC, abstractmethod
from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.base.errors import BadInput

_STRUCT_CODES = {
    "i1": "b", "u1": "B", "i2": "h", "u2": "H", "i4": "i", "u4": "I", "f4": "f", "f8": "d",
}  # fmt: skip
_CUT_SHORT = "the PLY is cut short or damaged in its element {element!r}; copy or export it again"


@dataclass(frozen=True)
class Property:
    """A column of an element; `count_kind` is the type of its length where it is a list."""

    name: str
    kind: str
    count_kind: str = ""

    @property
    def is_list_of_integers(self) -> bool:
        """True for a column that can list corner numbers."""
        return bool(self.count_kind) and self.kind[0] in "iu" and self.count_kind[0] in "iu"


@dataclass(frozen=True)
class Element:
    """A table of the file: its name, its number of rows, its columns in order."""

    name: str
    count: int
    properties: tuple[Property, ...]

    @property
    def plain(self) -> bool:
        """True where no column is a list."""
        return not any(item.count_kind for item in self.properties)


class Source(ABC):
    """The body of the file, read element by element."""

    @abstractmethod
    def columns(self, element: Element) -> dict[str, Floats]:
        """The columns of an element without lists."""

    @abstractmethod
    def runs(self, element: Element, wanted: str) -> tuple[Ints, Ints]:
        """The list property `wanted` of all rows as one run, and the length of each."""

    def skip(self, element: Element) -> None:
        """Pass over an element."""
        if element.plain:
            self.columns(element)
        else:
            self.runs(element, next(item.name for item in element.properties if item.count_kind))


class Words(Source):
    """A text body: one row a line."""

    def __init__(self, data: bytes, start: int) -> None:
        self._lines = [line for line in data[start:].split(b"\n") if line.strip()]
        self._next = 0

    def columns(self, element: Element) -> dict[str, Floats]:
        names = [item.name for item in element.properties]
        words = b" ".join(self._rows(element)).split()
        if len(words) != len(names) * element.count:
            raise BadInput(_CUT_SHORT, element=element.name)
        try:
            table = np.fromiter(map(float, words), np.float64, len(words))
        except ValueError as error:
            raise BadInput(
                "the PLY's element {element!r} holds text: {error}",
                element=element.name,
                error=error,
            ) from error
        return dict(zip(names, table.reshape(element.count, -1).T, strict=True))

    def runs(self, element: Element, wanted: str) -> tuple[Ints, Ints]:
        values: list[int] = []
        sizes: list[int] = []
        try:
            for row in self._rows(element):
                run = self._list_of_row(row.split(), element, wanted)
                values += run
                sizes.append(len(run))
            return np.array(values, dtype=np.int64), np.array(sizes, dtype=np.int64)
        except (ValueError, IndexError, OverflowError) as error:
            raise BadInput(_CUT_SHORT, element=element.name) from error

    def _rows(self, element: Element) -> list[bytes]:
        rows = self._lines[self._next : self._next + element.count]
        self._next += element.count
        if len(rows) != element.count:
            raise BadInput(_CUT_SHORT, element=element.name)
        return rows

    @staticmethod
    def _list_of_row(words: list[bytes], element: Element, wanted: str) -> list[int]:
        place, found = 0, []
        for item in element.properties:
            length = int(words[place]) if item.count_kind else 1
            place += 1 if item.count_kind else 0
            if length < 0 or place + length > len(words):
                raise ValueError(item.name)
            if item.name == wanted:
                found = [int(float(word)) for word in words[place : place + length]]
            place += length
        return found


class Binary(Source):
    """A binary body in one byte order."""

    def __init__(self, data: bytes, start: int, order: str) -> None:
        self._data, self._next, self._order = data, start, order

    def columns(self, element: Element) -> dict[str, Floats]:
        record = np.dtype(
            [(f"{place}", self._order + item.kind) for place, item in enumerate(element.properties)]
        )
        rows = self._records(record, element)
        return {
            item.name: rows[f"{place}"].astype(np.float64)
            for place, item in enumerate(element.properties)
        }

    def runs(self, element: Element, wanted: str) -> tuple[Ints, Ints]:
        if element.count == 0:
            return np.zeros(0, np.int64), np.zeros(0, np.int64)
        even = self._even_runs(element, wanted)
        return even if even is not None else self._uneven_runs(element, wanted)

    def _even_runs(self, element: Element, wanted: str) -> tuple[Ints, Ints] | None:
        """The runs where every row has lists as long as those of the first row."""
        lengths = self._row_at(self._next, element, wanted)[2]
        fields: list[tuple[str, str] | tuple[str, str, tuple[int]]] = []
        for place, (item, length) in enumerate(zip(element.properties, lengths, strict=True)):
            if item.count_kind:
                fields.append((f"n{place}", self._order + item.count_kind))
            fields.append((f"v{place}", self._order + item.kind, (length,)))
        record = np.dtype(fields)
        if self._next + record.itemsize * element.count > len(self._data):
            return None
        rows = np.frombuffer(self._data, record, element.count, self._next)
        for place, (item, length) in enumerate(zip(element.properties, lengths, strict=True)):
            if item.count_kind and (rows[f"n{place}"] != length).any():
                return None
        self._next += record.itemsize * element.count
        place = [item.name for item in element.properties].index(wanted)
        values = rows[f"v{place}"].reshape(-1).astype(np.int64)
        return values, np.full(element.count, lengths[place], dtype=np.int64)

    def _uneven_runs(self, element: Element, wanted: str) -> tuple[Ints, Ints]:
        values: list[int] = []
        sizes: list[int] = []
        for _ in range(element.count):
            self._next, run, _lengths = self._row_at(self._next, element, wanted)
            values += run
            sizes.append(len(run))
        return np.array(values, dtype=np.int64), np.array(sizes, dtype=np.int64)

    def _row_at(
        self, place: int, element: Element, wanted: str
    ) -> tuple[int, list[int], list[int]]:
        found: list[int] = []
        lengths = []
        prefix = self._order or "<"
        try:
            for item in element.properties:
                length = 1
                if item.count_kind:
                    code = prefix + _STRUCT_CODES[item.count_kind]
                    length = int(struct.unpack_from(code, self._data, place)[0])
                    place += struct.calcsize(code)
                code = f"{prefix}{length}{_STRUCT_CODES[item.kind]}"
                if item.name == wanted:
                    found = [int(v) for v in struct.unpack_from(code, self._data, place)]
                place += struct.calcsize(code)
                lengths.append(length)
        except (struct.error, OverflowError, ValueError) as error:
            raise BadInput(_CUT_SHORT, element=element.name) from error
        if place > len(self._data):
            raise BadInput(_CUT_SHORT, element=element.name)
        return place, found, lengths

    def _records(
        self, record: np.dtype[np.void], element: Element
    ) -> np.ndarray[tuple[int], np.dtype[np.void]]:
        if self._next + record.itemsize * element.count > len(self._data):
            raise BadInput(_CUT_SHORT, element=element.name)
        rows = np.frombuffer(self._data, record, element.count, self._next)
        self._next += record.itemsize * element.count
        return rows
