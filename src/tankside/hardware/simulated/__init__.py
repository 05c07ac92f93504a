"""A supply that does not exist, on a cell that does not exist, to try a run against."""
