"""The laboratories and examples whose outputs are compared."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

ROOT = Path(__file__).parents[2]

PATHS = {
    path.parent.name: path
    for folder in (ROOT / "tests" / "laboratories", ROOT / "examples")
    for path in sorted(folder.glob("*/experiment.toml"))
}
"""Definitions by the names of their folders."""


@cache
def experiment_of(name: str) -> Experiment:
    """Return one of them.

    Parameters
    ----------
    name : str
        A key of `PATHS`.
    """
    return parse_definition(PATHS[name].read_text(encoding="utf-8"))
