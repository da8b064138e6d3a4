"""A part of `make torture`: nothing is lost, doubled or damaged without a word."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from scripts.torture.__main__ import ENDS, PARTS
from scripts.torture.clock import Clock
from scripts.torture.size import Size
from scripts.torture.table import Row, table
from tests.own_thread import in_own_thread

SEED = 20
SIZE = Size(
    kills=4, kills_in_database=2, fills=1, deeds=7, flips=150, cuts=60, flood_seconds=3, devices=60
)


@pytest.mark.parametrize("part", PARTS)
def test_nothing_is_lost_doubled_or_damaged_without_a_word(part: str, tmp_path: Path) -> None:
    rows = in_own_thread(lambda: list(PARTS[part](tmp_path / part, SEED, SIZE, Clock())))
    assert all(row.is_kept for row in rows), f"\n{table(rows)}"
    assert all(row.acknowledged for row in rows)
    for row in rows:
        _did_something(part, row)


def _did_something(part: str, row: Row) -> None:
    """Else nothing would be tested."""
    if part == "flip":
        assert row.noticed > row.times / 2
        assert row.noticed + row.no_effect == row.times
    if part == "replace":
        # Moved, deleted, replaced twice; the rest may have no effect.
        assert row.noticed >= 4
    if part == "disk":
        assert row.noticed == row.times


def _bad_rows() -> Iterator[Row]:
    for fault in ("lost", "doubled", "unnoticed", "errors"):
        yield Row(what=fault, times=1, **{fault: 1})


def test_a_goal_that_is_missed_is_one() -> None:
    assert not any(row.is_kept for row in _bad_rows())
    assert Row(what="", times=1, noticed=9, no_effect=9, acknowledged=9).is_kept
    assert not Row(what="", times=1, p99_ms=150.0).is_quick
    assert not Row(what="", times=1, megabytes=600.0).is_kept


def test_a_part_ends_in_its_time_and_says_what_was_left_out() -> None:
    assert list(Clock(0.0).turns(5)) == [0]
    assert list(Clock().turns(5)) == [0, 1, 2, 3, 4]
    assert Row(what="", times=5, asked=5).is_whole
    assert not Row(what="", times=1, asked=5).is_whole
    assert list(ENDS) == list(PARTS)
    assert list(ENDS.values()) == sorted(ENDS.values())
