"""Where this machine keeps a person's data: the folder `TANKSIDE_HOME`, else the usual one."""

import os
from collections.abc import Mapping
from pathlib import Path

from platformdirs import user_data_path


def home_folder(environment: Mapping[str, str] = os.environ) -> Path:
    """The folder; it need not be there yet."""
    home = environment.get("TANKSIDE_HOME")
    return Path(home) if home else user_data_path("tankside", appauthor=False)
