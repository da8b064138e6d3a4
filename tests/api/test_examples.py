"""The examples that ship: made by their script, marked as invented, begun from by `start`."""

from __future__ import annotations

import importlib.util
import shutil
from pathlib import Path

import pytest

from tarebook import api
from tarebook.api.folder import DEFINITION, READINGS
from tarebook.series.definition import parse_definition

TOP = Path(__file__).parents[2]
NAMES = (
    "clean-pool-granules",
    "egg-shells-in-acid",
    "fizzing-tablet-hand-soak",
    "messy-pool-granules",
    "soda-grows-in-acid",
    "washing-soda-crystals",
    "weak-acid-foot-bath",
)


def test_the_script_makes_the_readings_byte_for_byte(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy = tmp_path / "examples"
    for name in NAMES:
        (copy / name).mkdir(parents=True)
        shutil.copy(TOP / "examples" / name / DEFINITION, copy / name)
    spec = importlib.util.spec_from_file_location("made", TOP / "scripts" / "make_examples.py")
    assert spec is not None
    assert spec.loader is not None
    script = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(script)
    monkeypatch.setattr(script, "EXAMPLES", copy)
    script.main()
    for name in NAMES:
        made = (copy / name / READINGS).read_bytes()
        assert made == (TOP / "examples" / name / READINGS).read_bytes(), name


@pytest.mark.parametrize("name", NAMES)
def test_every_example_says_that_it_is_invented(name: str) -> None:
    text = (TOP / "examples" / name / DEFINITION).read_text(encoding="utf-8")
    assert "invented" in parse_definition(text).invented.lower()
    assert "invented scenario" in text.splitlines()[0]


def test_the_names_are_those_of_the_folders() -> None:
    assert api.example_names() == NAMES
    assert sorted(p.name for p in (TOP / "examples").iterdir() if p.is_dir()) == list(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_begin_from_an_example(name: str, tmp_path: Path) -> None:
    made = api.start(tmp_path / "mine", like=name)
    assert [path.name for path in made] == [DEFINITION, READINGS]
    for path in made:
        assert path.read_bytes() == (TOP / "examples" / name / path.name).read_bytes()


def test_begin_from_a_blank_definition(tmp_path: Path) -> None:
    api.start(tmp_path / "a" / "b")
    experiment, table = api.load(tmp_path / "a" / "b")
    assert table.runs == tuple(run.run for run in experiment.planned)
    assert table.readings == ()
    outcome = api.reduce(tmp_path / "a" / "b", draws=1_000)
    assert outcome.usual.runs == ()
    assert outcome.usual.series is None


def test_every_way_to_give_the_strength_in_the_blank_definition_works(tmp_path: Path) -> None:
    """Whoever takes the # away from one of the blocks gets a definition that can be read."""
    (text_path, _) = api.start(tmp_path)
    text = text_path.read_text(encoding="utf-8")
    start = text.index("given_as =")
    end = text.index("[series]")
    blocks = text[start:end].split("\n\n")
    assert len(blocks) >= 6
    for block in blocks:
        lines = [
            line.removeprefix("# ")
            for line in block.splitlines()
            if "tolerance_percent" not in line
        ]
        if not any(line.startswith("given_as") for line in lines):
            continue
        experiment = parse_definition(text[:start] + "\n".join(lines) + "\n\n" + text[end:])
        assert experiment.reagent.concentration.value > 0


def test_an_experiment_that_is_there_is_never_written_over(tmp_path: Path) -> None:
    api.start(tmp_path)
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    with pytest.raises(api.InputError, match="nothing is ever written over"):
        api.start(tmp_path, like=NAMES[0])
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_an_example_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(api.InputError, match="Did you mean clean-pool-granules"):
        api.start(tmp_path / "mine", like="clean-pool")
    assert not (tmp_path / "mine").exists()
