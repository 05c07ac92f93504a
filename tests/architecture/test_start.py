"""Importing the package and asking for help cost nothing that the person did not ask for."""

import subprocess
import sys

HEAVY = ("numpy", "scipy", "numba", "trimesh", "matplotlib", "pydantic", "pint", "pyarrow")


def loaded_after(statement: str) -> set[str]:
    program = f"{statement}\nimport sys\nprint(' '.join(sys.modules))"
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    return set(done.stdout.splitlines()[-1].split())


def test_importing_the_package_loads_no_library() -> None:
    assert loaded_after("import tankside").isdisjoint(HEAVY)


def test_asking_for_help_loads_no_library() -> None:
    statement = (
        "from tankside.main import run\n"
        "import contextlib, io\n"
        "with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):\n"
        "    run(['--help'])"
    )
    assert loaded_after(statement).isdisjoint(HEAVY)


def test_the_pages_open_without_the_solvers() -> None:
    """A server's first page waits for what is imported; work that needs these wakes them."""
    statement = "import tankside.api.application, tankside.web.application, tankside.web.server"
    loaded = {name.partition(".")[0] for name in loaded_after(statement)}
    assert loaded.isdisjoint({"scipy", "numba", "pint", "pyarrow", "trimesh", "skimage", "igl"})
