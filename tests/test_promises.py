"""The page of promises names tests that are there, and says openly what has none."""

from __future__ import annotations

import ast
import re
from pathlib import Path

TOP = Path(__file__).parents[1]
PAGE = (TOP / "docs" / "promises.md").read_text(encoding="utf-8")


def _tests_of(path: str) -> set[str]:
    tree = ast.parse((TOP / path).read_text(encoding="utf-8"))
    return {node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}


def test_every_test_that_is_named_is_there() -> None:
    named = set(re.findall(r"`(tests/[^`]+?)::(\w+)`", PAGE))
    assert len(named) > 60
    missing = [f"{path}::{name}" for path, name in sorted(named) if name not in _tests_of(path)]
    assert missing == []


def test_every_promise_has_its_test_or_says_that_it_is_not_held() -> None:
    rows = [line for line in PAGE.splitlines() if line.startswith("| ")]
    bare = [row for row in rows if "::" not in row and "---" not in row and "**not held" not in row]
    # The heads of the tables.
    assert {row.split(" | ")[0] for row in bare} == {"| promise", "| item"}


def test_a_page_that_is_named_is_there() -> None:
    for name in re.findall(r"\]\(([^)#]+)\)", PAGE):
        assert (TOP / "docs" / name).exists(), name


IN_FORCE = {
    "2.2": {1, 2, 3}, "2.3": {1, 2, 3}, "2.4": {1, 2, 3, 4, 5, 6},
    "3.2": {1, 2, 3, 4}, "3.3": {1, 2, 3, 4}, "3.4": {1, 2, 3, 4, 5}, "3.5": {1, 2, 3},
    "4.1": {1, 2, 3, 5}, "4.2": {1, 2}, "4.3": {1, 2, 3},
    "5.1": {1, 2, 3, 4, 5}, "5.2": set(range(1, 9)), "5.3": set(range(1, 11)), "5.5": {1, 2, 3, 4},
    "6.1": {1, 2, 3}, "6.3": {1, 2, 3},
    "7.1": {1, 2, 3, 4}, "7.2": {1, 2}, "7.3": {1, 3, 4}, "7.4": {1, 2, 3},
    "8.2": {1, 2, 3}, "8.3": {1, 2, 3, 4, 5, 6, 7, 8}, "9.1": {1, 2, 3},
    "11.1": {1, 2, 3, 4, 5, 6, 7, 8}, "12.1": {1, 2, 3}, "12.3": {1, 2, 3, 4, 5, 6},
    "12.5": {1, 2}, "13.1": {1, 3, 4, 5}, "13.2": {1, 2, 3, 5, 6},
    "14.2": {1, 2, 3, 4, 5, 6}, "14.4": {1, 2, 3, 4, 5, 6, 7}, "14.5": {1, 2, 3, 4},
}  # fmt: skip
"""Items of OWASP ASVS 4.0.3 that ask for something at level 2, of the sections that are named:
without those struck out as doubles (basis: read)."""


def test_every_item_that_is_named_stands_in_the_standard() -> None:
    table = PAGE[PAGE.index("## OWASP ASVS, level 2") :]
    rows = [line.split(" | ")[0].lstrip("| ") for line in table.splitlines() if line[:1] == "|"]
    found = [one for row in rows for one in re.split(", | - ", row) if one[:1].isdigit()]
    assert len(found) > 60
    wrong = [
        item
        for item in found
        if int(item.rpartition(".")[2]) not in IN_FORCE.get(item.rpartition(".")[0], set())
    ]
    assert wrong == []
