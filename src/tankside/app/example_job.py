"""Use case: the example job of the package, as files by name."""

from collections.abc import Mapping
from importlib import resources

from tankside.examples.finial import finial_stl


def example_files() -> Mapping[str, bytes]:
    """The job file and the mesh that it names, made anew."""
    job = resources.files("tankside.examples").joinpath("finial.toml").read_bytes()
    return {"finial.toml": job, "finial.stl": finial_stl()}
