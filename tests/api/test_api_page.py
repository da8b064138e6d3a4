"""docs/api.md: its examples are run, and every public name has its line."""

from __future__ import annotations

import doctest
import re
from importlib import import_module
from pathlib import Path

import pytest

from tarebook import api

PAGE = Path(__file__).parents[2] / "docs" / "api.md"
TEXT = PAGE.read_text(encoding="utf-8")


def test_the_walk_is_as_it_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    done = doctest.testfile(str(PAGE), module_relative=False, encoding="utf-8")
    assert done.attempted > 30
    assert done.failed == 0


def test_every_name_has_its_line_and_no_other_has() -> None:
    table = TEXT.partition("## Every name")[2]
    first = [row.split(" | ")[0] for row in re.findall(r"^\| (.*) \|$", table, re.M)]
    named = [name for cell in first for name in re.findall(r"`(\w+)`", cell)]
    assert len(named) == len(set(named))
    assert set(named) == set(api.__all__)


def test_the_modules_beside_are_there() -> None:
    names = set(re.findall(r"`(tarebook\.api\.\w+)`", TEXT))
    assert len(names) > 3
    for name in names:
        import_module(name)
