"""Ctrl-C at any moment: one line, exit code 130, no trace."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

INTERRUPTED_WHILE_LOADING = """
import sys

class Interrupting:
    def find_spec(self, name, *_):
        if name == {name!r}:
            raise KeyboardInterrupt

sys.meta_path.insert(0, Interrupting())
from tarebook.cli import main
main(["reduce", {folder!r}])
"""
EXAMPLE = Path(__file__).parents[1] / "examples" / "clean-pool-granules"


@pytest.mark.parametrize(
    "name",
    [
        "click",
        "tarebook.api",
        "tarebook.core.errors",
        "tarebook.cli.record",
        # A command loads these when it begins.
        "numpy",
        "tarebook.api.reduce_series",
        "tarebook.report.text",
    ],
)
def test_ctrl_c_while_the_program_is_loading(name: str) -> None:
    code = INTERRUPTED_WHILE_LOADING.format(name=name, folder=str(EXAMPLE))
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True, text=True, check=False, timeout=60,
    )  # fmt: skip
    assert done.returncode == 130
    assert done.stdout == ""
    assert done.stderr == "Stopped; nothing was written.\n"
