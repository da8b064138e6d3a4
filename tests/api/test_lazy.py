"""What is not needed is not loaded: each command begins at once."""

from __future__ import annotations

import subprocess
import sys
from importlib import import_module

import pytest

from tarebook import api

HEAVY = ("numpy", "pydantic", "sqlalchemy", "starlette", "typst", "openpyxl")


def test_each_name_of_the_api_is_there_and_stays_what_it_is() -> None:
    """A part that is loaded by its own name never takes the place of what it holds."""
    found = {name: getattr(api, name) for name in api.__all__}
    for module in {f"tarebook.{module}" for module in api._MODULE_OF.values()}:
        import_module(module)
    assert {name: getattr(api, name) for name in api.__all__} == found
    assert set(api._MODULE_OF) | {"DEFAULT_DRAWS", "DEFAULT_SEED"} == set(api.__all__)
    assert dir(api) == sorted(api.__all__)


def test_a_name_that_is_not_there_is_said_as_python_says_it() -> None:
    with pytest.raises(AttributeError, match="no attribute 'reduced'"):
        _ = api.reduced


@pytest.mark.parametrize("asked", ["--help", "--version", "reduce --help"])
def test_help_loads_nothing_that_computes(asked: str) -> None:
    code = (
        "import sys; from tarebook.cli import main\n"
        f"try: main({asked.split()!r})\n"
        "except SystemExit as end: assert not end.code\n"
        "print('loaded:', *sorted({name.partition('.')[0] for name in sys.modules}))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    loaded = done.stdout.rpartition("loaded:")[2].split()
    assert "click" in loaded
    assert not set(loaded) & set(HEAVY)
