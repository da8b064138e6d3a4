"""A prepared lesson for the sheets, from the examples, the blank definition, or one's own text."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from importlib import resources
from pathlib import Path

import numpy as np
import pytest

from tarebook.planning.prepare.whole import prepare
from tarebook.report.languages.writing import writing
from tarebook.report.printing import Paper
from tarebook.report.sheets.setting import Setting
from tarebook.series.definition import parse_definition

EXAMPLES = Path(__file__).parents[3] / "examples"


@pytest.fixture(scope="session")
def definition_of() -> Callable[[str], str]:
    """Return the text of an example's definition; of the blank one for ``"blank"``."""

    def text(name: str) -> str:
        if name == "blank":
            blank = resources.files("tarebook.api") / "blank.toml"
            return blank.read_text(encoding="utf-8")
        return (EXAMPLES / name / "experiment.toml").read_text(encoding="utf-8")

    return text


@pytest.fixture(scope="session")
def setting_of(definition_of: Callable[[str], str]) -> Callable[..., Setting]:
    """Return a lesson ready to be printed."""

    def build(
        name: str = "clean-pool-granules",
        *,
        text: str = "",
        groups: int = 2,
        balances: int = 1,
        language: str = "en",
        paper: Paper = "a4",
        address: str = "",
        first_run: str = "",
        start: dt.time | None = dt.time(14, 0),
    ) -> Setting:
        definition = text or definition_of(name)
        if first_run:
            names = [first_run, *(str(number) for number in range(102, 109))]
            quoted = ", ".join(f'"{one}"' for one in names)
            definition = definition.replace("total_mL = 40", f"total_mL = 40\nruns = [{quoted}]")
        rng = np.random.Generator(np.random.SFC64(4))
        return Setting(
            prepared=prepare(parse_definition(definition), groups, balances, rng),
            writing=writing(language, paper),
            paper=paper,
            day=dt.date(2027, 3, 2),
            start=start,
            address=address,
        )

    return build
