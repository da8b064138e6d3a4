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
