"""The share of branches that the tests take, by package, held against floors that only rise."""

from __future__ import annotations

import json
import shutil
import tempfile
import tomllib
from collections import defaultdict
from collections.abc import Sequence
from pathlib import Path
from typing import Final

import coverage

FLOORS: Final = Path(__file__).with_name("floors.toml")


def shares(measured: Path, top: Path, packages: Sequence[str]) -> dict[str, float]:
    """Return the share of branches taken of each package, from the folder of a measurement."""
    with tempfile.TemporaryDirectory() as folder:
        parts = [shutil.copy(file, folder) for file in measured.glob("reach.*")]
        whole = coverage.Coverage(
            data_file=str(Path(folder) / "whole"), branch=True, config_file=False, messages=False
        )
        whole.combine(parts)
        report = Path(folder) / "report.json"
        whole.json_report(outfile=str(report))
        told = json.loads(report.read_text(encoding="utf-8"))
    there: dict[str, int] = defaultdict(int)
    taken: dict[str, int] = defaultdict(int)
    for file, numbers in told["files"].items():
        path = top / file
        if not path.is_relative_to(top / "src" / "tarebook"):
            continue
        package = path.relative_to(top / "src" / "tarebook").parts[0]
        there[package] += numbers["summary"]["num_branches"]
        taken[package] += numbers["summary"]["covered_branches"]
    return {package: taken[package] / there[package] for package in packages}


def fallen(found: dict[str, float]) -> list[str]:
    """Print the shares and return the packages that are below their floor."""
    floors = tomllib.loads(FLOORS.read_text(encoding="utf-8"))["branches"]
    print("\npackage        branches taken  floor")
    for package, share in found.items():
        floor = floors.get(package)
        print(f"{package:<14} {share:>14.1%}  {'none yet' if floor is None else f'{floor:.1%}'}")
    return [package for package, share in found.items() if share < floors.get(package, 0.0)]
