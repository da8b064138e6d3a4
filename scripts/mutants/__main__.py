"""Plant a sample of faults, run the tests that reach them, and print the share that is killed."""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
import tomllib
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import asdict
from pathlib import Path
from queue import SimpleQueue
from typing import Final

from scripts.mutants.branches import fallen, shares
from scripts.mutants.changes import Change, changes
from scripts.mutants.reach import GOES_TO
from scripts.mutants.reached import Reach, read
from scripts.mutants.trial import End, Trial, copied, run, tried

TOP: Final = Path(__file__).parents[2]
RESULTS: Final = TOP / ".mutants"
EQUIVALENT: Final = Path(__file__).with_name("equivalents.toml")

PACKAGES: Final = (
    "chemistry",
    "measurement",
    "records",
    "model",
    "reduction",
    "planning",
    "diagnosis",
)
"""Where faults are planted: what makes numbers and keeps them."""

BESIDE: Final = ("core", "series")
"""Packages whose tests are asked too."""

MEASURING: Final = ("--hypothesis-profile=mutants", "--longest=inf")
"""Options of a run that is slowed down by being measured."""

ASKED: Final = 0.9
"""The share that is to be killed."""


def all_changes(packages: Iterable[str]) -> dict[str, list[Change]]:
    """Return every fault that can be planted in some packages."""
    found: dict[str, list[Change]] = {}
    for package in packages:
        files = sorted((TOP / "src" / "tarebook" / package).rglob("*.py"))
        found[package] = [
            change
            for file in files
            for change in changes(
                file.relative_to(TOP).as_posix(), file.read_text(encoding="utf-8")
            )
        ]
    return found


def sample(found: dict[str, list[Change]], number: int, seed: int) -> list[Change]:
    """Return a number of faults, of each package as many as it has of all.

    A fault is drawn by its own name, so that a change elsewhere draws no others.
    """
    total = sum(map(len, found.values()))
    chosen = []
    for of_package in found.values():
        share = max(round(number * len(of_package) / total), 1)
        seen: Counter[str] = Counter()
        drawn = []
        for change in of_package:
            seen[change.key] += 1
            name = f"{seed} {change.key} {seen[change.key]}"
            drawn.append((hashlib.sha256(name.encode()).digest(), change))
        chosen += [change for _, change in sorted(drawn, key=lambda pair: pair[0])[:share]]
    return chosen


def measured(packages: Sequence[str], workers: int) -> Path:
    """Return the folder of what each test reaches: measured before, if no file changed since."""
    of_packages = [f"tests/{name}" for name in (*BESIDE, *packages, "published", "contract")]
    doctests = [f"src/tarebook/{name}" for name in (*BESIDE, *packages)]
    files = sorted(
        file
        for part in ("src", "tests", "scripts/mutants/reach.py")
        for file in ([TOP / part] if (TOP / part).is_file() else (TOP / part).rglob("*"))
        if file.suffix in (".py", ".toml", ".csv")
    )
    what = [" ".join(packages).encode(), *(file.read_bytes() for file in files)]
    digest = hashlib.sha256(b"".join(what)).hexdigest()[:16]
    folder = RESULTS / f"reach-{digest}"
    if not (folder / "whole").exists():
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir(parents=True)
        print("Measuring what each test reaches.", flush=True)
        command = [sys.executable, "-m", "pytest", "-q", "-n", str(workers), "--dist", "loadfile"]
        command += [
            "-p",
            "scripts.mutants.reach",
            "--hypothesis-profile=mutants",
            *of_packages,
            *doctests,
        ]
        environment = os.environ | {GOES_TO: str(folder)}
        done = subprocess.run(command, cwd=TOP, env=environment, check=False)
        if done.returncode:
            sys.exit("The tests do not pass as they are, so no fault can be told by them.")
        (folder / "whole").touch()
    return folder


def equivalents() -> dict[str, str]:
    """Return the faults that change nothing that can be seen, each with the reason."""
    text = EQUIVALENT.read_text(encoding="utf-8")
    return {row["fault"]: row["why"] for row in tomllib.loads(text)["equivalent"]}


def _try_all(chosen: list[Change], reach: Reach, workers: int, seconds: float) -> list[Trial]:
    known = equivalents()
    with tempfile.TemporaryDirectory(prefix="tarebook-mutants-") as folder:
        trees: SimpleQueue[Path] = SimpleQueue()
        for place in range(workers):
            trees.put(copied(TOP, Path(folder) / str(place)))

        def one(change: Change) -> Trial:
            if change.key in known:
                return Trial(change, End.EQUIVALENT, 0, 0)
            tree = trees.get()
            try:
                trial = tried(tree, change, reach, seconds)
            finally:
                trees.put(tree)
            print(f"{change.file}:{change.line} {change.kind}: {trial.end}", flush=True)
            return trial

        _check_names(Path(folder) / "0", chosen, reach)
        with ThreadPoolExecutor(workers) as pool:
            return list(pool.map(one, chosen))


def _check_names(tree: Path, chosen: list[Change], reach: Reach) -> None:
    """End if some test cannot be asked for by its name: it would seem to kill every fault."""
    tests = sorted({test for change in chosen for test in reach.tests_of(change)})
    code, said = run(tree, tests, "--collect-only")
    if tests and code:
        sys.exit(f"Not all tests can be asked for by name.\n{said[-2000:]}")


def told(trials: list[Trial]) -> float:
    """Print the share killed of each package and what survived; return the share of all."""
    by_package: dict[str, list[Trial]] = defaultdict(list)
    for trial in trials:
        by_package[trial.change.file.split("/")[2]].append(trial)
    killed = {End.KILLED, End.ENDLESS}
    print("\npackage        planted  killed  share")
    total = dead = 0
    for package, of_package in by_package.items():
        counted = [trial for trial in of_package if trial.end is not End.EQUIVALENT]
        n = sum(trial.end in killed for trial in counted)
        total, dead = total + len(counted), dead + n
        print(f"{package:<14} {len(counted):>7} {n:>7} {n / max(len(counted), 1):>6.0%}")
    print(f"{'all':<14} {total:>7} {dead:>7} {dead / max(total, 1):>6.0%}")
    for trial in trials:
        if trial.end in (End.SURVIVED, End.UNREACHED):
            change = trial.change
            print(f"\n{change.file}:{change.line} ({change.within}) {change.kind}: {trial.end}")
            print(f"  {trial.n_run} of {trial.n_reach} tests that reach it were run")
            print(f"  {' '.join(change.was.split())}\n  -> {change.becomes}")
    return dead / max(total, 1)


def main() -> int:
    """Plant faults; 1 if fewer are killed than asked for."""
    parser = argparse.ArgumentParser(prog="python -m scripts.mutants", description=__doc__)
    parser.add_argument("--number", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--seconds", type=float, default=60.0, help="of tests for one fault")
    parser.add_argument("--branches", action="store_true", help="only the branches that are taken")
    parser.add_argument("--package", choices=PACKAGES, action="append")
    given = parser.parse_args()
    packages = tuple(given.package or PACKAGES)
    folder = measured(packages, given.workers)
    below = fallen(shares(folder, TOP, packages))
    if below or given.branches:
        print(f"Below its floor: {', '.join(below)}." if below else "No share has fallen.")
        return 1 if below else 0
    chosen = sample(all_changes(packages), given.number, given.seed)
    trials = _try_all(chosen, read(folder, TOP), given.workers, given.seconds)
    share = told(trials)
    text = json.dumps([asdict(trial) for trial in trials], indent=1)
    (RESULTS / "last.json").write_text(text, encoding="utf-8")
    return 0 if share >= ASKED else 1


if __name__ == "__main__":
    sys.exit(main())
