"""Logs of any data logger: separators, decimals, dates, units, and what is refused."""

import numpy as np
import pytest

from tankside.base.errors import BadInput
from tankside.runs.logger_file import Columns, columns_of, read_log

PLAIN = b"time_s,Voltage (V),Current (A)\n0,1.5,2.0\n1,1.6,2.1\n"


def test_a_plain_log() -> None:
    columns = columns_of(PLAIN, where="log.csv")
    assert columns == Columns(time="time_s", voltage="Voltage (V)", current="Current (A)")
    series = read_log(PLAIN, columns, where="log.csv")
    np.testing.assert_allclose(series.time, [0, 1])
    np.testing.assert_allclose(series.voltage, [1.5, 1.6])
    np.testing.assert_allclose(series.current, [2.0, 2.1])


def test_semicolons_decimal_commas_dates_and_thousandths() -> None:
    content = (
        "\ufeffTimestamp;Voltage [mV];Current [mA]\n"
        "2026-03-01 18:30:05;1500,5;2000\n2026-03-01T18:30:06+00:00;1600;2100,5\n"
    ).encode()
    series = read_log(content, columns_of(content, where="x"), where="x")
    assert series.time[1] - series.time[0] == 1.0
    np.testing.assert_allclose(series.voltage, [1.5005, 1.6])
    np.testing.assert_allclose(series.current, [2.0, 2.1005])


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"", "a line of heads"),
        (b"just one line\n", "a line of heads"),
        (b"abc\ndef\n", "no columns"),
        (b"time,foo\n1,2\n", "no column for the voltage"),
        (b"time,voltage,volts,current\n1,2,3,4\n", "more than one"),
        (PLAIN + b"2,abc,1\n", "line 4: 'abc' is not a number"),
        (PLAIN + b"2,1\n", "line 4: only 2 columns"),
        (PLAIN + b"noon,1,1\n", "'noon' is no time"),
        (PLAIN + b"0.5,1,1\n", "a log must run forwards"),
    ],
)
def test_refuses(content: bytes, told: str) -> None:
    with pytest.raises(BadInput) as caught:
        read_log(content, columns_of(content, where="log.csv"), where="log.csv")
    assert told in str(caught.value)


def test_a_column_that_is_not_there() -> None:
    with pytest.raises(BadInput, match="there is no column 'U'"):
        read_log(PLAIN, Columns(time="time_s", voltage="U", current="I"), where="x")
