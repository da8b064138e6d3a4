"""How soon a command begins: beside a program with nothing but the same command line, in pairs."""

from __future__ import annotations

import os
import subprocess
import sys
from statistics import median

from pytest_benchmark.fixture import BenchmarkFixture

BARE = """
import click
@click.group()
def main(): pass
main(['--help'])
"""
OURS = "from tarebook.cli import main; main(['--help'])"
PAIRS = 15


def processor_time(code: str) -> float:
    """Return the time on the processor of a program of its own, s."""
    before = os.times()
    subprocess.run([sys.executable, "-c", code], check=True, stdout=subprocess.DEVNULL, timeout=60)
    after = os.times()
    return after.children_user + after.children_system - before[2] - before[3]


def test_help(benchmark: BenchmarkFixture) -> None:
    """`tarebook --help` beside bare click."""
    benchmark.pedantic(processor_time, args=(OURS,), rounds=3)  # type: ignore[no-untyped-call] # half typed
    pairs = [(processor_time(OURS), processor_time(BARE)) for _ in range(PAIRS)]
    ratio = median(ours / bare for ours, bare in pairs)
    benchmark.extra_info["times bare click"] = round(ratio, 2)
    print(f"\ntarebook --help: {ratio:.2f} times bare click")
