"""The demonstration job: a part made by our own script, and its job file."""

from tankside.examples.finial import finial_job, finial_stl

__all__ = ["finial_job", "finial_stl"]
