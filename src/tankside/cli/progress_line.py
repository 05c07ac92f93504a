"""Progress as one line on standard error that is written over, and only on a terminal."""

import sys
import time

from tankside.base.progress import Progress, silent


def progress_line(*, quiet: bool) -> Progress:
    """A progress that shows stage, percent and seconds; silent when quiet or not on a terminal."""
    if quiet or not sys.stderr.isatty():
        return silent
    start = time.monotonic()
    last = [0.0]

    def shown(stage: str, fraction: float) -> None:
        now = time.monotonic()
        if now - last[0] < 0.1 and 0.0 < fraction < 1.0:
            return
        last[0] = now
        text = f"{stage} {100 * fraction:3.0f} %  {now - start:5.1f} s"
        sys.stderr.write(f"\r{text[:100]:<100}")
        sys.stderr.flush()

    return shown


def progress_done(*, quiet: bool) -> None:
    """Wipes the line."""
    if not quiet and sys.stderr.isatty():
        sys.stderr.write("\r" + " " * 100 + "\r")
        sys.stderr.flush()
