"""What is in the bath, found by titration, hydrometer and meters, each answer with its interval."""

from tankside.bath.analysis.finding import QUANTITIES, Finding

__all__ = ["QUANTITIES", "Finding"]
