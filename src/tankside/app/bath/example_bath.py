"""Use case: the files of the prop workshop's bath, shelf and notes, to begin with and to change."""

from importlib import resources

FILES = ("bath.toml", "shelf.toml", "spring.txt", "autumn.txt")
"""Their names."""


def example_files() -> dict[str, bytes]:
    """Content by file name."""
    folder = resources.files("tankside.examples")
    return {name: folder.joinpath(name).read_bytes() for name in FILES}
