"""A photo of the person's, as pixels: turned upright by what the camera noted."""

from pathlib import Path
from typing import Any

from tankside.base.errors import BadInput

LARGEST_BYTES = 50 * 2**20
"""Of a photo's file."""
MOST_PIXELS = 60_000_000
"""Of a photo, unpacked: a small file can hold a picture that fills the machine."""


def read_photo(path: Path) -> Any:
    """The pixels (rows, columns, colours) of a picture in PNG, JPEG or another usual form.

    BadInput where the file is missing, larger than 50 MiB, or no picture; or where it has more than
    60 million pixels, which its head tells before anything is unpacked.
    """
    from imageio import v3

    try:
        if path.stat().st_size > LARGEST_BYTES:
            raise BadInput("the photo is larger than 50 MiB; save it smaller", where=str(path))
        down, across = v3.improps(path, plugin="pillow").shape[:2]
        if down * across > MOST_PIXELS:
            raise BadInput(
                "the photo has {pixels:.0f} million pixels, more than {most:.0f}; save it smaller",
                pixels=down * across / 1e6,
                most=MOST_PIXELS / 1e6,
                where=str(path),
            )
        return v3.imread(path, plugin="pillow", rotate=True)
    except FileNotFoundError as error:
        raise BadInput("there is no such file", where=str(path)) from error
    except (OSError, ValueError, SyntaxError) as error:
        if isinstance(error, BadInput):
            raise
        raise BadInput("this file is no picture that can be read", where=str(path)) from error
