"""Ctrl-C at any moment: one line, exit code 130, no trace."""

from __future__ import annotations

import subprocess
import sys

import pytest

INTERRUPTED_WHILE_LOADING = """
import sys

class Interrupting:
    def find_spec(self, name, *_):
        if name == {name!r}:
            raise KeyboardInterrupt

sys.meta_path.insert(0, Interrupting())
from tarebook.cli import main
main()
"""


@pytest.mark.parametrize(
    "name", ["click", "numpy", "tarebook.api", "tarebook.core.errors", "tarebook.cli.record"]
)
def test_ctrl_c_while_the_program_is_loading(name: str) -> None:
    done = subprocess.run(
        [sys.executable, "-c", INTERRUPTED_WHILE_LOADING.format(name=name)],
        capture_output=True, text=True, check=False, timeout=60,
    )  # fmt: skip
    assert done.returncode == 130
    assert done.stdout == ""
    assert done.stderr == "Stopped; nothing was written.\n"
