"""Readings that nobody took: where that is said, where there are none, and fit to reduce."""

from __future__ import annotations

from pathlib import Path

import pytest

from tarebook import api


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    folder = tmp_path / "row"
    api.start(folder, like="clean-pool-granules")
    (folder / "readings.csv").unlink()
    return folder


@pytest.mark.parametrize("like", api.example_names())
def test_a_row_of_each_kind_finds_what_it_was_made_from(tmp_path: Path, like: str) -> None:
    folder = tmp_path / "row"
    api.start(folder, like=like)
    (folder / "readings.csv").unlink()
    assert api.simulate(folder, seed=1) == folder / "readings.csv"
    outcome = api.reduce(folder, draws=1_000)
    assert not api.must_stop(outcome.findings)
    assert outcome.series is not None
    claimed = outcome.experiment.sample.claimed_mass_fraction
    assert claimed is not None
    found = outcome.series.sample_mass_fraction
    # The sample holds what is claimed; one row in a million lies further off.
    assert abs(found.value - claimed.value) < 5.0 * found.u


def test_the_seed_makes_the_readings(folder: Path) -> None:
    first = api.simulate(folder, seed=3).read_bytes()
    for seed, same in ((3, True), (4, False)):
        (folder / "readings.csv").unlink()
        assert (api.simulate(folder, seed=seed).read_bytes() == first) is same


def test_what_is_there_is_never_written_over(folder: Path) -> None:
    sheet = api.simulate(folder)
    before = sheet.read_bytes()
    with pytest.raises(api.InputError, match="a folder without any"):
        api.simulate(folder)
    assert sheet.read_bytes() == before


def test_a_blank_sheet_is_filled(folder: Path) -> None:
    sheet = api.simulate(folder)
    head, *_ = sheet.read_text(encoding="utf-8").splitlines()
    sheet.write_text(head + "\n1" + "," * head.count(",") + "\n", encoding="utf-8")
    assert api.simulate(folder) == sheet
    assert len(sheet.read_text(encoding="utf-8").splitlines()) == 9


def test_all_that_is_against_it_is_said_at_once(folder: Path) -> None:
    api.simulate(folder)
    definition = folder / "experiment.toml"
    lines = definition.read_text(encoding="utf-8").splitlines()
    kept = [line for line in lines if not line.startswith("invented")]
    assert len(kept) == len(lines) - 1
    definition.write_text("\n".join(kept) + "\n", encoding="utf-8")
    with pytest.raises(api.InputError) as raised:
        api.simulate(folder, seed=-1)
    assert [fault.found for fault in raised.value.faults] == ["-1", "nothing", "readings"]
