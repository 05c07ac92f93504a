"""Errors carry what a person and a program need, and are caught by the nearest builtin."""

import pickle

import pytest

from tankside.base import errors


@pytest.mark.parametrize(
    ("error", "builtin"),
    [
        (errors.BadInput, ValueError),
        (errors.MeshDefect, ValueError),
        (errors.Impossible, ValueError),
        (errors.SafetyRefusal, errors.Impossible),
        (errors.MissingData, LookupError),
        (errors.OutsideValidity, ValueError),
        (errors.HardwareFault, OSError),
    ],
)
def test_each_is_a_builtin_too(error: type[errors.TanksideError], builtin: type) -> None:
    assert issubclass(error, builtin)
    assert issubclass(error, errors.TanksideError)
    with pytest.raises(builtin, match="too deep"):
        raise error("too deep")


def test_where_goes_before_the_message() -> None:
    error = errors.BadInput("no unit", where="[bath] temperature")
    assert str(error) == "[bath] temperature: no unit"
    assert error.message == "no unit"
    assert str(errors.BadInput("no unit")) == "no unit"


def test_unknown_names_offer_close_ones() -> None:
    error = errors.UnknownName("colour", "bleu", ["blue", "black", "red"])
    assert error.candidates[0] == "blue"
    assert error.given == "bleu"
    assert "did you mean 'blue'" in str(error)


def test_unknown_names_without_a_close_one_list_all() -> None:
    error = errors.UnknownName("colour", "xyz", ["red", "blue"])
    assert error.candidates == ()
    assert "known are 'blue', 'red'." in str(error)


def test_not_converged_says_how_far_it_came() -> None:
    error = errors.NotConverged("the field was not found", residual=3e-4, iterations=17)
    assert (error.residual, error.iterations) == (3e-4, 17)
    assert "residual 3.00e-04 after 17 iterations" in str(error)
    assert isinstance(error, ArithmeticError)


def test_a_plain_error_survives_the_way_to_another_process() -> None:
    error = pickle.loads(pickle.dumps(errors.BadInput("no unit")))
    assert (error.message, error.where) == ("no unit", "")
