"""A fixed part of the fuzz of scripts/fuzz.py: whatever stands in a folder, no command fails us."""

from __future__ import annotations

from scripts.fuzz import run_cases, shown

FOUND = (152, 256, 1074, 2732, 4264, 4525)
"""Cases that failed once."""
PART = (*range(60), *FOUND)
SECONDS = 2.0
"""Of processor time: longer ones are for the whole fuzz, which gives each a minute."""


def test_no_case_meets_what_nobody_foresaw() -> None:
    ended = list(run_cases(PART, seconds=SECONDS))
    faults = [shown(one) for one in ended if one.fault]
    assert not faults, "\n".join(faults)
    assert {one.case.number for one in ended} == set(PART)
    assert sum(one.stopped for one in ended) < len(PART) / 2
