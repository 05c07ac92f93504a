"""What pydantic says of a value that is not of its kind, as a sentence that a reader's language can
tell. Those of the kinds below are the ones that a file's fields can bring about; any other stays as
pydantic says it."""

from collections.abc import Mapping
from typing import Any

from tankside.base.messages import said
from tankside.base.wording import quoting, term

WORDS: Mapping[str, str] = {
    "bool_parsing": said("input should be a valid boolean, unable to interpret input"),
    "bool_type": said("input should be a valid boolean"),
    "dict_type": said("input should be a valid dictionary"),
    "finite_number": said("input should be a finite number"),
    "float_parsing": said("input should be a valid number, unable to parse string as a number"),
    "float_type": said("input should be a valid number"),
    "int_from_float": said("input should be a valid integer, got a number with a fractional part"),
    "int_parsing": said("input should be a valid integer, unable to parse string as an integer"),
    "int_type": said("input should be a valid integer"),
    "list_type": said("input should be a valid list"),
    "model_attributes_type": said("this should be a table"),
    "model_type": said("this should be a table"),
    "string_type": said("input should be a valid string"),
    "tuple_type": said("input should be a valid tuple"),
}
"""By pydantic's kind of error, as it says it where that is plain."""


def fault_of(entry: Mapping[str, Any]) -> str:
    """One of `ValidationError.errors()`; what a field of ours said, as it said it."""
    if entry["type"] == "value_error":
        return str(entry["ctx"]["error"])
    return quoting("{complaint}, not {given!r}", complaint=_complaint(entry), given=entry["input"])


def _complaint(entry: Mapping[str, Any]) -> str:
    kind, context = entry["type"], entry.get("ctx", {})
    match kind:
        case "greater_than":
            return quoting("input should be greater than {limit}", limit=context["gt"])
        case "greater_than_equal":
            return quoting("input should be greater than or equal to {limit}", limit=context["ge"])
        case "less_than":
            return quoting("input should be less than {limit}", limit=context["lt"])
        case "less_than_equal":
            return quoting("input should be less than or equal to {limit}", limit=context["le"])
        case "too_short":
            return quoting("it should have {count} entries or more", count=context["min_length"])
        case "too_long":
            return quoting("it should have {count} entries at most", count=context["max_length"])
    message = str(entry["msg"])
    return WORDS.get(kind, term(message[:1].lower() + message[1:]))
