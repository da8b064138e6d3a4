"""A wish that is not possible: page and command line say the same, each in its own names."""

from __future__ import annotations

import html
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from tarebook import api
from tarebook.api import bench
from tarebook.cli import main

OPTIONS = {
    "total_mL": "--total-mL",
    "runs": "--runs",
    "sample_g": "--sample-g",
    "stock_mol_per_L": "--stock-mol-per-L",
}
"""The option of the command line for each field of the page."""


def by_command(folder: Path, wish: dict[str, str]) -> str:
    arguments = [part for name, typed in wish.items() for part in (OPTIONS[name], typed)]
    done = CliRunner().invoke(main, ["plan", str(folder), *arguments])
    assert done.exit_code == 2
    return done.stderr.strip()


def with_labels(said: str, error: api.ImpossibleWishError, workspace: bench.Workspace) -> str:
    """Return what the command line said with each of its wishes as the page has it."""
    nearest = error.nearest
    assert nearest is not None
    sliders = {
        wish.of: wish for wish in bench.sliders(workspace, bench.spoken(workspace.experiment))
    }
    for amount in {*error.wished, *nearest.amounts}:
        wish, number = sliders[amount.of], api.number_typed(amount)
        option = f"{OPTIONS[wish.name]} {number}"
        assert option in said
        said = said.replace(option, f"“{wish.label}” {number} {wish.unit}".rstrip())
    return said


@pytest.mark.parametrize(
    "wish",
    [
        {"total_mL": "4000"},
        {"runs": "2"},
        {"sample_g": "0.01"},
        {"stock_mol_per_L": "0.1"},
        {"stock_mol_per_L": "500"},
        {"sample_g": "9", "stock_mol_per_L": "0.01"},
    ],
)
def test_the_page_and_the_command_say_the_same_values(
    alone: Any, workspace: bench.Workspace, folder: Path, wish: dict[str, str]
) -> None:
    with pytest.raises(api.ImpossibleWishError) as caught:
        bench.plan_curve(workspace.experiment, bench.wishes_of(wish))
    error = caught.value
    assert len(error.wished) == len(wish)
    answer = alone.get("/api/plan", params=wish)
    assert answer.status_code == 400
    told = answer.json()["error"]
    assert (told["code"], told["do"]) == ("impossible-wish", "")
    assert told["message"] == with_labels(by_command(folder, wish), error, workspace)
    assert "--" not in told["message"]
    page = html.unescape(alone.get("/plan", params={"go": "1", **wish}).text)
    assert told["message"] in page


def test_a_row_beyond_the_model_names_sliders_on_its_page(folder: Path) -> None:
    """The nearest that works was told with options of the command line, on the page too."""
    definition = folder / "experiment.toml"
    text = definition.read_text(encoding="utf-8")
    assert "nominal_g = 1.500" in text
    definition.write_text(text.replace("nominal_g = 1.500", "nominal_g = 30"), encoding="utf-8")
    command = by_command(folder, {})
    with bench.open_workspace(folder, workers=False) as strong:
        with pytest.raises(api.PlanBeyondModelError) as caught:
            api.plan(folder)
        how = bench.spoken(strong.experiment)
        page = bench.refused_on_page(strong, caught.value, how)
        with pytest.raises(api.PlanBeyondModelError) as at_once:
            bench.plan_curve(strong.experiment, bench.wishes_of({}))
    assert "--sample-g" in command
    assert "“Sample in each cup”" in page
    assert "--" not in page
    assert bench.refused_on_page(strong, at_once.value, how).endswith(" Ask for less.")
