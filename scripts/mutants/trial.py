"""One fault planted in a copy of the repository, and the tests that reach it run there."""

from __future__ import annotations

import os
import resource
import shutil
import subprocess
import sys
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Final

from scripts.mutants.changes import Change
from scripts.mutants.reached import Reach

LEFT_OUT: Final = (".git", ".venv", ".hypothesis", ".mutants", "*_cache", "__pycache__", "demo")

MEMORY: Final = 12 * 2**30
"""What a fault that fills the memory may have, in bytes of addresses."""

SLOWER: Final = 4.0
STARTS: Final = 30.0
"""How much slower than measured, and how long beside, the tests of a fault may run: seconds of the
processor, so that a busy machine kills nothing."""


class End(StrEnum):
    """What became of a fault."""

    KILLED = "killed"
    ENDLESS = "killed, without end"
    SURVIVED = "survived"
    UNREACHED = "survived, no test reaches it"
    EQUIVALENT = "equivalent"


@dataclass(frozen=True, slots=True)
class Trial:
    """A fault and what became of it.

    Attributes
    ----------
    n_run, n_reach : int
        Of the tests that reach it, and those of them that there was time for.
    by : str
        The test that failed.
    """

    change: Change
    end: End
    n_run: int
    n_reach: int
    by: str = ""


def copied(top: Path, to: Path) -> Path:
    """Return a copy of the repository in which files may be spoilt."""
    shutil.copytree(top, to, ignore=shutil.ignore_patterns(*LEFT_OUT))
    return to


def in_time(reach: Reach, tests: Sequence[str], seconds: float) -> list[str]:
    """Return the tests that there is time for, the fastest first, each file in its turn."""
    spent: dict[str, float] = defaultdict(float)
    order = []
    for test in tests:
        file = test.partition("::")[0]
        spent[file] += reach.seconds[test]
        order.append((spent[file], test))
    chosen: list[str] = []
    total = 0.0
    for _, test in sorted(order):
        total += reach.seconds[test]
        if chosen and total > seconds:
            break
        chosen.append(test)
    return chosen


def run(tree: Path, tests: Sequence[str], *options: str, seconds: float = 600.0) -> tuple[int, str]:
    """Return how pytest ended with these tests in a tree, and what it said.

    Ended by a signal, it ran out of what it may have.
    """
    listed = tree / "tests-to-run"
    listed.write_text("\n".join(tests), encoding="utf-8")
    most = int(SLOWER * seconds + STARTS)

    def bounded() -> None:
        resource.setrlimit(resource.RLIMIT_CPU, (most, most + 5))
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))

    command = [sys.executable, "-m", "pytest", "-q", "-x", "-n", "0", "--no-header", "--tb=no"]
    command += [
        "-p",
        "no:cacheprovider",
        "--hypothesis-profile=mutants",
        "--longest=inf",
        *options,
        f"@{listed}",
    ]
    environment = os.environ | {
        "PYTHONPATH": os.pathsep.join([str(tree / "src"), os.environ.get("PYTHONPATH", "")]),
        "PYTHONDONTWRITEBYTECODE": "1",
        "OPENBLAS_NUM_THREADS": "1",
    }
    try:
        done = subprocess.run(
            command,
            cwd=tree,
            env=environment,
            check=False,
            capture_output=True,
            text=True,
            timeout=20 * most,
            preexec_fn=bounded,
        )
    except subprocess.TimeoutExpired:
        return -1, ""
    return done.returncode, done.stdout + done.stderr


def tried(tree: Path, change: Change, reach: Reach, seconds: float) -> Trial:
    """Return what becomes of a fault; the file is whole again afterwards."""
    reaching = reach.tests_of(change)
    if not reaching:
        return Trial(change, End.UNREACHED, 0, 0)
    tests = in_time(reach, reaching, seconds)
    file = tree / change.file
    whole = file.read_bytes()
    file.write_bytes(change.applied(whole))
    try:
        code, said = run(tree, tests, seconds=sum(reach.seconds[test] for test in tests))
    finally:
        file.write_bytes(whole)
        shutil.rmtree(tree / ".hypothesis", ignore_errors=True)
    if code == 0:
        return Trial(change, End.SURVIVED, len(tests), len(reaching))
    end = End.ENDLESS if code < 0 else End.KILLED
    failed = [line.split(" ")[1] for line in said.splitlines() if line.startswith("FAILED ")]
    return Trial(change, end, len(tests), len(reaching), failed[0] if failed else "")
