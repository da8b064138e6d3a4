"""A fixed part of the fuzz of scripts/fuzz.py: whatever stands in a folder, no command fails us."""

from __future__ import annotations

from scripts.fuzz import run_cases, shown

PART = range(15)
"""About as many as a minute of processor time takes."""


def test_no_case_meets_what_nobody_foresaw() -> None:
    faults = [shown(ended) for ended in run_cases(PART) if ended.fault]
    assert not faults, "\n".join(faults)
