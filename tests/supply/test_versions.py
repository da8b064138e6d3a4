"""One version: the program says it, the package takes it from there, the changelog has it first."""

from __future__ import annotations

import datetime as dt
import re
import subprocess
import sys

from packaging.version import Version
from scripts.locks import TOP

from tarebook.core.version import VERSION

CHANGELOG = (TOP / "CHANGELOG.md").read_text(encoding="utf-8")
RELEASED = re.findall(r"^## (\d+\.\d+\.\d+) - (\d{4}-\d{2}-\d{2})$", CHANGELOG, re.M)


def test_the_package_takes_the_version_of_the_program() -> None:
    told = subprocess.run(
        [sys.executable, "-m", "hatchling", "version"],
        cwd=TOP, capture_output=True, text=True, check=True, timeout=120,
    )  # fmt: skip
    assert told.stdout.strip() == VERSION


def test_the_changelog_says_this_version_first_and_knows_its_sections() -> None:
    assert RELEASED[0][0] == VERSION
    heads = re.findall(r"^## (.+)$", CHANGELOG, re.M)
    assert heads == ["Unreleased", *(f"{version} - {date}" for version, date in RELEASED)]


def test_versions_and_days_go_up() -> None:
    versions = [Version(version) for version, _ in RELEASED]
    days = [dt.date.fromisoformat(date) for _, date in RELEASED]
    assert len(versions) > 1
    assert versions == sorted(set(versions), reverse=True)
    assert days == sorted(days, reverse=True)
