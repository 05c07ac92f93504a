"""Truncation of low-rank products by their worst row, and their 16-bit form."""

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankside.base.arrays import Floats
from tankside.field.truncation import coded, diagonalised, truncated

Shorts = npt.NDArray[np.float32]


def short(values: Floats) -> Shorts:
    """A copy in the kernels' precision."""
    return values.astype(np.float32)


@given(
    seed=st.integers(0, 2**32 - 1),
    rank=st.integers(1, 12),
    decay=st.floats(0.05, 0.9),
    tolerance=st.floats(1e-6, 1e-1),
)
@settings(max_examples=80, deadline=None)
def test_no_row_misses_more_than_is_allowed(
    seed: int, rank: int, decay: float, tolerance: float
) -> None:
    rng = np.random.default_rng(seed)
    m, columns = 40, 70
    u = rng.normal(size=(rank, m))
    w = rng.normal(size=(rank, columns)) * decay ** np.arange(rank)[:, None]
    whole = u.T @ w
    allowed = tolerance**2 * (whole**2).sum() / m
    u_out, w_out = short(np.zeros_like(u)), short(np.zeros_like(w))
    kept = truncated(short(u), short(w), rank, m, columns, allowed, u_out, w_out)
    missed = np.linalg.norm(whole - u_out[:kept].T @ w_out[:kept], axis=1).max()
    assert missed <= np.sqrt(allowed) * 1.05
    # No more terms than the singular values ask for, and one to spare.
    values = np.linalg.svd(whole, compute_uv=False)
    below = np.sqrt(np.cumsum(values[::-1] ** 2)[::-1])
    assert kept <= max(1, int((below > np.sqrt(allowed)).sum())) + 1


def test_one_row_alone_is_not_cut_off() -> None:
    # A Frobenius rule at 1e-2 would drop the second term, which is all of the last row.
    u = np.array([[1.0] * 999 + [0.0], [0.0] * 999 + [1.0]])
    w = np.array([[1.0, 0.0], [0.0, 0.1]])
    u_out, w_out = short(np.zeros((2, 1000))), short(np.zeros((2, 2)))
    assert truncated(short(u), short(w), 2, 1000, 2, 0.01**2, u_out, w_out) == 2
    assert u_out.T @ w_out == pytest.approx(u.T @ w, abs=1e-6)


def test_repeated_terms_are_joined() -> None:
    row = np.arange(1.0, 6.0)
    u = np.stack([row, 2 * row, row])
    w = np.stack([row, row, -row])
    u_out, w_out = short(np.zeros((3, 5))), short(np.zeros((3, 5)))
    whole = u.T @ w
    assert truncated(short(u), short(w), 3, 5, 5, 1e-8, u_out, w_out) == 1
    assert u_out[:1].T @ w_out[:1] == pytest.approx(whole, abs=1e-5)


def test_nearly_diagonal_and_in_order() -> None:
    rng = np.random.default_rng(4)
    terms = rng.normal(size=(9, 30)) * 3.0 ** -np.arange(9)[::-1, None]
    gram = terms @ terms.T
    turned, turn = gram.copy(), np.zeros((9, 9))
    diagonalised(turned, 9, turn)
    assert turn @ turn.T == pytest.approx(np.eye(9), abs=1e-12)
    assert turn @ gram @ turn.T == pytest.approx(turned, abs=1e-9 * gram.max())
    squares = np.diag(turned)
    assert (np.diff(squares) <= 0).all()
    assert squares == pytest.approx(np.linalg.eigvalsh(gram)[::-1], rel=0.1)
    left = turned / np.sqrt(np.outer(squares, squares)) - np.eye(9)
    assert np.abs(left).max() <= 0.2


def test_codes_are_within_half_a_step() -> None:
    values = short(np.random.default_rng(5).normal(size=50))
    codes = np.zeros(40, dtype=np.int16)
    step = coded(values, 10, 50, codes, 0)
    assert step == pytest.approx(np.abs(values[10:]).max() / 32767)
    assert codes * step == pytest.approx(values[10:], abs=0.501 * step)
    assert coded(short(np.zeros(3)), 0, 3, codes, 0) == 0.0
    assert not codes[:3].any()
