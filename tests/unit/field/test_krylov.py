"""GMRES against a dense solve, with and without a preconditioner."""

import numpy as np
import pytest

from tankside.field.krylov import gmres


@pytest.fixture
def system() -> tuple[np.ndarray, np.ndarray]:
    generator = np.random.default_rng(5)
    matrix = np.diag(np.linspace(1, 30, 40)) + generator.normal(size=(40, 40)) / 4
    return matrix, generator.normal(size=40)


def test_solves_to_its_tolerance(system: tuple[np.ndarray, np.ndarray]) -> None:
    matrix, right = system
    answer = gmres(lambda x: matrix @ x, right, lambda x: x, tolerance=1e-10)
    missed = np.linalg.norm(right - matrix @ answer.solution) / np.linalg.norm(right)
    assert answer.converged
    assert missed <= 1e-10
    assert missed == pytest.approx(answer.relative_residual, rel=1e-3)


def test_a_good_preconditioner_needs_fewer_iterations(
    system: tuple[np.ndarray, np.ndarray],
) -> None:
    matrix, right = system
    diagonal = np.diag(matrix)
    plain = gmres(lambda x: matrix @ x, right, lambda x: x, tolerance=1e-8)
    helped = gmres(lambda x: matrix @ x, right, lambda x: x / diagonal, tolerance=1e-8)
    assert helped.iterations < plain.iterations / 2
    np.testing.assert_allclose(helped.solution, plain.solution, rtol=1e-5, atol=1e-7)


def test_says_when_it_did_not_converge(system: tuple[np.ndarray, np.ndarray]) -> None:
    matrix, right = system
    answer = gmres(lambda x: matrix @ x, right, lambda x: x, tolerance=1e-12, largest_iterations=5)
    assert not answer.converged
    assert answer.iterations == 5
    assert answer.relative_residual > 1e-12


def test_nothing_in_nothing_out() -> None:
    answer = gmres(lambda x: 2 * x, np.zeros(3), lambda x: x, tolerance=1e-8)
    assert answer.solution.tolist() == [0.0, 0.0, 0.0]
    assert answer.iterations == 0
