"""The person's files on this machine, read relative to the job file's folder."""

from pathlib import Path

from tankside.base.errors import BadInput

LARGEST_BYTES = 2**30


class LocalFiles:
    """Files under `folder`, or anywhere by absolute name."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def read(self, name: str, *, where: str) -> bytes:
        """The content of a file; BadInput where it is missing, too large or unreadable."""
        path = self._folder / name
        try:
            if path.is_dir():
                raise BadInput("{name} is a folder, not a file", name=name, where=where)
            if path.stat().st_size > LARGEST_BYTES:
                raise BadInput(
                    "{name} is larger than 1 GiB; export it smaller", name=name, where=where
                )
            return path.read_bytes()
        except FileNotFoundError as error:
            raise BadInput("there is no file {path}", path=path, where=where) from error
        except OSError as error:
            reason = (error.strerror or type(error).__name__).lower()
            raise BadInput(
                "{name} cannot be read: {reason}", name=name, reason=reason, where=where
            ) from error
        except ValueError as error:  # such as a name with a NUL in it
            if isinstance(error, BadInput):
                raise
            raise BadInput("{name!r} is not a file name", name=name, where=where) from error
