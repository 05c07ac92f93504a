"""The text of SCPI, against the standard (from memory) and the rule in an instrument's manual."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside.base.errors import HardwareFault
from tankside.hardware.scpi import fits, fixed_point, number, queued_error, short_form, truth

CURRENT = "[SOURce]:CURRent[:LEVel][:IMMediate][:AMPLitude]"


@pytest.mark.parametrize(
    ("word", "short"),
    [
        # the rule and the first three examples: a multimeter's manual, "Short-form rules" (read)
        ("auto", "AUTO"),
        ("immediate", "IMM"),
        ("format", "FORM"),
        ("delay", "DEL"),
        # of the headers used here, by the same rule
        ("current", "CURR"),
        ("voltage", "VOLT"),
        ("measure", "MEAS"),
        ("output", "OUTP"),
        ("system", "SYST"),
        ("error", "ERR"),
        ("source", "SOUR"),
        ("level", "LEV"),
        ("amplitude", "AMPL"),
    ],
)
def test_the_short_form_follows_the_rule(word: str, short: str) -> None:
    assert short_form(word) == short


@pytest.mark.parametrize("pattern", [CURRENT, "SYSTem:ERRor[:NEXT]", "OUTPut[:STATe]"])
def test_capitals_in_patterns_are_the_short_forms(pattern: str) -> None:
    for word in pattern.replace("[", "").replace("]", "").split(":"):
        assert "".join(letter for letter in word if letter.isupper()) == short_form(word)


@pytest.mark.parametrize(
    ("header", "right"),
    [
        ("CURR", True),
        ("curr", True),
        (":CURRENT", True),
        ("SOUR:CURR", True),
        (":SOURce:CURRent:LEVel:IMMediate:AMPLitude", True),
        ("CURR:AMPL", True),
        ("CURRE", False),
        ("CUR", False),
        ("SOURCURR", False),
        ("SOUR:CURR:", False),
        ("SOURC:CURR", False),
        ("VOLT", False),
        ("", False),
    ],
)
def test_only_long_and_short_forms_fit(header: str, right: bool) -> None:
    assert fits(CURRENT, header) is right


@pytest.mark.parametrize(
    ("text", "value"),
    [("1", 1.0), ("+1.50", 1.5), ("-.5", -0.5), ("1.20000E+00", 1.2), (" 3.\n", 3.0)],
)
def test_reads_the_three_forms_of_numbers(text: str, value: float) -> None:
    assert number(text, "MEAS:CURR?") == value


@pytest.mark.parametrize("text", ["", "abc", "1,2", "1.2 A", "nan", "inf", "9.91E37", "-9.9E37"])
def test_what_is_no_number_is_a_fault(text: str) -> None:
    with pytest.raises(HardwareFault, match=r"MEAS:CURR\?"):
        number(text, "MEAS:CURR?")


def test_booleans_and_errors() -> None:
    assert truth("1", "OUTP?")
    assert not truth("OFF", "OUTP?")
    with pytest.raises(HardwareFault, match="neither on nor off"):
        truth("2", "OUTP?")
    assert queued_error('0,"No error"', "SYST:ERR?").code == 0
    told = queued_error('-222,"Data out of range; ""CURR"""', "SYST:ERR?")
    assert (told.code, told.words) == (-222, 'Data out of range; "CURR"')
    with pytest.raises(HardwareFault, match="no error entry"):
        queued_error("fine", "SYST:ERR?")


@given(st.floats(0.0, 1e3), st.sampled_from([1.0, 0.1, 0.01, 0.005, 0.001]))
def test_values_are_written_as_finely_as_the_supply_holds_them(
    value: float, resolution: float
) -> None:
    assert abs(float(fixed_point(value, resolution)) - value) <= 0.51 * resolution
