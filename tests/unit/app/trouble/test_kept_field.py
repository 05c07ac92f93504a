"""What a plan says of troubles, as a file and back."""

import numpy as np
import pytest

from tankside.app.trouble.kept_field import Planned, packed, unpacked
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.diagnosis.evidence import Measured
from tests.unit.app.trouble.fields import two_faced

NUMBER = Measured(quantity="thin_ratio", value=Interval(0.3, 0.4, 0.5), origin="the plan")


def test_it_comes_back_as_it_went() -> None:
    back = unpacked(packed(Planned(numbers=(NUMBER,), part=two_faced())))
    assert back.numbers == (NUMBER,)
    for name in ("centres", "fraction_of_limit", "anodes", "contacts"):
        assert np.array_equal(getattr(back.part, name), getattr(two_faced(), name))


@pytest.mark.parametrize(
    "content", [b"", b"nothing", packed(Planned(numbers=(), part=two_faced()))[:300]]
)
def test_a_file_that_is_not_whole_is_refused(content: bytes) -> None:
    with pytest.raises(BadInput, match="plan anew"):
        unpacked(content)
