"""The faults that are planted to see what the tests see."""

from __future__ import annotations

import tomllib

import pytest
from scripts.mutants.__main__ import PACKAGES, all_changes, equivalents, sample
from scripts.mutants.branches import FLOORS
from scripts.mutants.changes import Change, changes
from scripts.mutants.reached import Reach
from scripts.mutants.trial import in_time

SOURCE = '''
"""A module of 2 lines."""
LIMIT: Final[dict[int, 3]] = 2.0
def f(x: int = 4) -> float | None:
    """Return 5."""
    if x < LIMIT and not x:
        return None
    total = max(x, LIMIT) * 7
    total += 1
    found(message=f"{x + 1} of 9", n=x - 1)
    raise Error(x + 1)
    zip(x, total, strict=True)
    return total
'''


def planted(source: str = SOURCE) -> set[tuple[str, str, str]]:
    return {(c.kind, c.was, c.becomes) for c in changes("a.py", source)}


def test_what_works_is_changed_and_what_only_speaks_is_not() -> None:
    assert planted() == {
        ("constant", "2.0", "2.2"),
        ("constant", "4", "5"),
        ("condition", "x < LIMIT and not x", "(not (x < LIMIT and (not x)))"),
        ("and/or", "x < LIMIT and not x", "(x < LIMIT or not x)"),
        ("comparison", "x < LIMIT", "(x <= LIMIT)"),
        ("sign", "not x", "x"),
        ("return", "None", "total"),
        ("return", "total", "None"),
        ("function", "max", "min"),
        ("operator", "max(x, LIMIT) * 7", "(max(x, LIMIT) / 7)"),
        ("constant", "7", "8"),
        ("operator", "total += 1", "total -= 1"),
        ("statement", "total += 1", "pass"),
        ("constant", "1", "2"),
        ("argument", 'found(message=f"{x + 1} of 9", n=x - 1)', "found(message=f'{x + 1} of 9')"),
        ("statement", 'found(message=f"{x + 1} of 9", n=x - 1)', "pass"),
        ("operator", "x - 1", "(x + 1)"),
        ("statement", "zip(x, total, strict=True)", "pass"),
    }


def test_one_place_is_changed_and_it_is_still_a_program() -> None:
    for change in changes("a.py", SOURCE):
        spoilt = change.applied(SOURCE.encode()).decode()
        compile(spoilt, "a.py", "exec")
        assert spoilt != SOURCE
        assert len(spoilt.splitlines()) == len(SOURCE.splitlines())
        assert change.within in ("", "f")


def a_change(file: str, line: int) -> Change:
    return Change(
        file=file,
        within="",
        line=line,
        last_line=line,
        start=0,
        end=0,
        kind="constant",
        was="1",
        becomes="2",
    )


def test_the_fastest_tests_come_first_and_each_file_has_its_turn() -> None:
    reach = Reach(FLOORS.parent)
    reach.seconds = {"a::1": 0.1, "a::2": 0.1, "a::3": 0.1, "b::1": 0.25, "b::2": 9.0}
    tests = sorted(reach.seconds, key=lambda test: reach.seconds[test])
    assert in_time(reach, tests, 60.0) == ["a::1", "a::2", "b::1", "a::3", "b::2"]
    assert in_time(reach, tests, 0.5) == ["a::1", "a::2", "b::1"]
    assert in_time(reach, ["b::2"], 1.0) == ["b::2"], "one is run however long it takes"


@pytest.fixture(scope="module")
def all_of_them() -> dict[str, list[Change]]:
    return all_changes(PACKAGES)


def test_a_sample_is_the_same_for_a_seed_whatever_else_changes(
    all_of_them: dict[str, list[Change]],
) -> None:
    first = sample(all_of_them, 200, 1)
    assert 190 <= len(first) <= 210
    assert {change.file.split("/")[2] for change in first} == set(PACKAGES)
    assert sample(all_of_them, 200, 1) == first
    assert sample(all_of_them, 200, 2) != first
    gone = all_of_them | {"model": all_of_them["model"][: len(all_of_them["model"]) // 2]}
    kept = {change.key for change in sample(gone, 200, 1)}
    assert len(kept & {change.key for change in first}) > 170


def test_every_equivalent_is_a_fault_that_can_be_planted_and_has_its_reason(
    all_of_them: dict[str, list[Change]],
) -> None:
    there = {change.key for of_package in all_of_them.values() for change in of_package}
    for fault, why in equivalents().items():
        assert fault in there
        assert len(why) > 20
    assert set(tomllib.loads(FLOORS.read_text(encoding="utf-8"))["branches"]) <= set(PACKAGES)
