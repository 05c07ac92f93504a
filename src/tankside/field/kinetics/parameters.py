"""Refuses parameters with which a rate law would be no law."""

from math import isfinite

from tankside.base.errors import BadInput


def require_positive(law: str, **parameters: float) -> None:
    """BadInput where a parameter of `law` is not a finite number above zero."""
    for name, value in parameters.items():
        if not (isfinite(value) and value > 0):
            raise BadInput(
                "{law}: {name} must be a finite number above zero, not {value!r}",
                law=law,
                name=name.replace("_", " "),
                value=value,
            )
