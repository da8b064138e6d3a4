"""The action and the command: what they read, print, write and refuse."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from tarebook import api
from tarebook.cli import main

pytestmark = pytest.mark.slow

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = ("clean-pool-granules", "messy-pool-granules", "weak-acid-foot-bath")


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["plan", *arguments])


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A definition and no readings at all."""
    shutil.copy(EXAMPLES / "clean-pool-granules" / "experiment.toml", tmp_path)
    return tmp_path


@pytest.mark.parametrize("name", NAMES)
def test_examples_can_be_planned(name: str) -> None:
    done = run(str(EXAMPLES / name))
    assert done.exit_code == 0
    assert done.stdout.startswith("This plan works: the equivalence point falls at ")
    assert max(len(line) for line in done.stdout.splitlines()) <= 80
    assert "…" not in done.stdout


def test_new_folder_can_be_planned(tmp_path: Path) -> None:
    api.start(tmp_path / "mine")
    done = run(str(tmp_path / "mine"))
    assert done.exit_code == 0
    assert done.stdout.startswith("This plan works, with a caution:")


@pytest.mark.parametrize("readings", [None, "", "nonsense\x00"])
def test_readings_are_not_looked_at(folder: Path, readings: str | None) -> None:
    if readings is not None:
        (folder / "readings.csv").write_text(readings, encoding="utf-8")
    assert run(str(folder)).exit_code == 0
    assert not (folder / "out").exists()


def test_json_is_one_object_without_surprises(folder: Path) -> None:
    done = run(str(folder), "--json")
    found = json.loads(done.stdout, parse_constant=lambda name: pytest.fail(name))
    assert found["works"] is True
    assert found["equivalence_mL"]["between_runs"] == ["5", "6"]
    assert len(found["runs"]) == 8
    assert {row["name"] for row in found["rows"]} == {"given", "equal steps", "best", "even"}
    assert found["rows"][1]["gain_over_equal_steps"] == 0.0
    assert len(found["exactness"]["readings"]) == 8 * 8
    assert found["what_if"][0]["what"] == "as planned"
    assert found["method"]["seed"] == 20
    assert run(str(folder), "--json").stdout == done.stdout


def test_wishes_reach_the_plan(folder: Path) -> None:
    done = run(str(folder), "--runs", "6", "--total-mL", "45", "--sample-g", "1.6",
               "--stock-mol-per-L", "0.8", "--best", "equivalence", "--json")  # fmt: skip
    found = json.loads(done.stdout)
    assert (found["total_mL"], found["sample_g"], found["stock_mol_per_L"]) == (45.0, 1.6, 0.8)
    assert len(found["runs"]) == 6
    assert found["laid_out_anew"] is True
    assert found["exactness"]["u"]["of"] == "equivalence"


@pytest.mark.parametrize(
    "wish",
    [
        ("--stock-mol-per-L", "0.1"),
        ("--sample-g", "0.01"),
        ("--total-mL", "500"),
        ("--runs", "2"),
        ("--runs", "0"),
        ("--sample-g", "nan"),
        ("--total-mL", "inf"),
    ],
)
def test_impossible_wish_exits_2_and_writes_nothing(folder: Path, wish: tuple[str, str]) -> None:
    done = run(str(folder), "--write", *wish)
    assert done.exit_code == 2
    assert done.stdout == ""
    assert done.stderr.startswith(f"{wish[0]} {wish[1]} is not possible. ")
    assert [path.name for path in folder.iterdir()] == ["experiment.toml"]


def test_definition_that_cannot_work_exits_1_with_a_way_out(folder: Path) -> None:
    place = folder / "experiment.toml"
    text = place.read_text(encoding="utf-8")
    place.write_text(text.replace("nominal_g = 1.500", "nominal_g = 2.7"), encoding="utf-8")
    done = run(str(folder))
    assert done.exit_code == 1
    assert done.stdout.startswith("This plan does not work. The equivalence point lies at 40.9 mL")
    assert "Do: Use 1.2 mol/L dilute hydrochloric acid or 1." in " ".join(done.stdout.split())


def test_faulty_definition_exits_2(folder: Path) -> None:
    (folder / "experiment.toml").write_text("title = 1\n", encoding="utf-8")
    assert run(str(folder)).exit_code == 2


def test_write_makes_page_and_charts(folder: Path) -> None:
    done = run(str(folder), "--write", "--paper", "letter")
    assert done.exit_code == 0
    out = folder / "out"
    assert {path.name for path in out.iterdir()} == {
        "plan.pdf",
        *(f"plan-{name}.{end}" for name in ("curve", "rows", "upgrades") for end in ("svg", "png")),
    }
    assert (out / "plan.pdf").read_bytes().startswith(b"%PDF")
    assert (out / "plan-rows.png").read_bytes().startswith(b"\x89PNG")
    for path in out.iterdir():
        assert path.name in done.stdout


def test_seed_has_bounds(folder: Path) -> None:
    assert run(str(folder), "--seed", "-1").exit_code == 2


def test_plan_is_quick(folder: Path) -> None:
    """Asked for: under 5 s with everything but the drawing."""
    steps: list[str] = []
    made = api.plan(folder, today=False, progress=steps.append)
    assert made.plan.works
    assert made.made_on == ""
    assert steps[0] == "reading the definition"
    assert len(steps) > 4
