"""Definitions off by far: a sentence or a report, never a fault of the program."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from tarebook import cli

POOL = Path(__file__).parent / "snapshots" / "pool"
NOMINAL = "nominal_g = 1.500"


@pytest.mark.parametrize(
    ("value", "codes"),
    [("15.00", (0, 1)), ("1e-300", (2,)), ("1e308", (2,)), ("9" * 4300, (2,)), ("9" * 5000, (2,))],
)
def test_a_mass_asked_for_that_is_off_by_far(
    value: str, codes: tuple[int, ...], tmp_path: Path
) -> None:
    folder = tmp_path / "it"
    shutil.copytree(POOL, folder)
    text = (folder / "experiment.toml").read_text(encoding="utf-8")
    assert NOMINAL in text
    changed = text.replace(NOMINAL, f"nominal_g = {value}")
    (folder / "experiment.toml").write_text(changed, encoding="utf-8")
    for command in ("reduce", "report"):
        result = CliRunner().invoke(cli.main, [command, str(folder), "--draws", "1000"])
        assert result.exit_code in codes, result.output
        if codes == (2,):
            assert "1 fault in the input" in result.stderr
            assert len(result.stderr) < 500
