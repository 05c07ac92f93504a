"""Samples of a run as a small Parquet file, exact to the last bit, and back.

Columns `time_s`, `voltage_V`, `current_A`, `temperature_K` (null where it was not measured), as any
program that reads Parquet finds them.
"""

import io
from typing import TYPE_CHECKING

import numpy as np

from tankside.base.errors import BadInput
from tankside.runs.series import Series

if TYPE_CHECKING:
    import pyarrow

MOST_SAMPLES = 1_000_000
"""In one file: eleven days at one a second. More is refused unread, so that a small file cannot
fill the memory."""

COLUMNS = ("time_s", "voltage_V", "current_A", "temperature_K")


def parquet_of(series: Series) -> bytes:
    """A series as a Parquet file."""
    import pyarrow as pa
    from pyarrow import parquet

    values = (series.time, series.voltage, series.current, series.temperature)
    table = pa.table(
        {
            name: pa.array(column, type=pa.float64(), from_pandas=name == "temperature_K")
            for name, column in zip(COLUMNS, values, strict=True)
        }
    )
    sink = io.BytesIO()
    parquet.write_table(
        table,
        sink,
        compression="zstd",
        use_dictionary=["voltage_V", "current_A", "temperature_K"],
        write_statistics=False,
    )
    return sink.getvalue()


def series_of(content: bytes, *, where: str) -> Series:
    """The series in such a file; BadInput where it is damaged or holds something else."""
    import pyarrow as pa
    from pyarrow import parquet

    try:
        file = parquet.ParquetFile(io.BytesIO(content))
        if file.metadata.num_rows > MOST_SAMPLES:
            raise BadInput(
                "it says that it holds {count} samples; {most} is the most",
                count=file.metadata.num_rows,
                most=MOST_SAMPLES,
                where=where,
            )
        table = file.read()
    except (pa.ArrowException, OSError, MemoryError) as error:
        raise BadInput("its samples are damaged; restore them from an export", where=where) from (
            error
        )
    if tuple(table.column_names) != COLUMNS:
        raise BadInput(
            "samples have the columns {columns}", columns=", ".join(COLUMNS), where=where
        )
    time, voltage, current, temperature = (_column(table, name, where) for name in COLUMNS)
    return Series(time=time, voltage=voltage, current=current, temperature=temperature)


def _column(
    table: "pyarrow.Table", name: str, where: str
) -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
    import pyarrow as pa

    column = table.column(name)
    if column.type != pa.float64():
        raise BadInput("{name} is not a column of numbers", name=name, where=where)
    if column.null_count and name != "temperature_K":
        raise BadInput("{name} lacks values", name=name, where=where)
    return np.asarray(column.to_numpy(), dtype=np.float64)
