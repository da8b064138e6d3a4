"""Which tests reach a line, by what the plugin measured."""

from __future__ import annotations

import ast
import json
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

import coverage
from scripts.mutants.changes import Change
from scripts.mutants.reach import FIXTURE


@dataclass(slots=True)
class Reach:
    """What each test reaches.

    Attributes
    ----------
    seconds : mapping of str to float
        How long each test takes.
    of_line : mapping of file to mapping of line to set of str
        The tests that run a line.
    """

    top: Path
    seconds: dict[str, float] = field(default_factory=dict)
    of_line: dict[str, dict[int, set[str]]] = field(default_factory=dict)
    _names: dict[str, dict[str, set[int]]] = field(default_factory=dict)

    def tests_of(self, change: Change) -> list[str]:
        """Return the tests that reach a change, the fastest first.

        A line that runs when its module is loaded is reached by the tests of what uses its name.
        """
        tests = self._of_lines(change.file, range(change.line, change.last_line + 1))
        if not tests:
            tests = self._of_constant(change)
        return sorted(tests, key=lambda test: (self.seconds[test], test))

    def _of_lines(self, file: str, lines: Iterable[int]) -> set[str]:
        by_line = self.of_line.get(file, {})
        return set().union(*(by_line.get(line, set()) for line in lines))

    def _of_constant(self, change: Change) -> set[str]:
        tree = ast.parse((self.top / change.file).read_text(encoding="utf-8"))
        around = next(
            (
                node
                for node in tree.body
                if node.lineno <= change.line <= (node.end_lineno or node.lineno)
            ),
            None,
        )
        if isinstance(around, ast.Assign | ast.AnnAssign):
            targets = around.targets if isinstance(around, ast.Assign) else [around.target]
            names = [target.id for target in targets if isinstance(target, ast.Name)]
            return set().union(*(self._of_name(name) for name in names))
        if isinstance(around, ast.FunctionDef | ast.ClassDef):
            inside = range(around.lineno, (around.end_lineno or around.lineno) + 1)
            return self._of_lines(change.file, inside) or self._of_name(around.name)
        return set()

    def _of_name(self, name: str) -> set[str]:
        """Return the tests of all lines of functions that mention a name, wherever it is."""
        tests: set[str] = set()
        for file in self.of_line:
            if lines := self._mentions(file).get(name):
                tests |= self._of_lines(file, lines)
        return tests

    def _mentions(self, file: str) -> dict[str, set[int]]:
        if file not in self._names:
            found: dict[str, set[int]] = defaultdict(set)
            for node in ast.walk(ast.parse((self.top / file).read_text(encoding="utf-8"))):
                if isinstance(node, ast.Name):
                    found[node.id].add(node.lineno)
                elif isinstance(node, ast.Attribute):
                    found[node.attr].add(node.lineno)
            self._names[file] = found
        return self._names[file]


def read(folder: Path, top: Path) -> Reach:
    """Return what was measured in a tree, from the folder where the plugin left it."""
    reach = Reach(top)
    of_fixture: dict[str, set[str]] = defaultdict(set)
    for file in sorted(folder.glob("tests.*.json")):
        told = json.loads(file.read_text(encoding="utf-8"))
        reach.seconds |= told["seconds"]
        for test, fixtures in told["fixtures"].items():
            for fixture in fixtures:
                if test in reach.seconds:
                    of_fixture[fixture].add(test)
    for file in sorted(folder.glob("reach.*")):
        data = coverage.CoverageData(basename=str(file))
        data.read()
        for source in data.measured_files():
            name = Path(source).relative_to(top).as_posix()
            by_line = reach.of_line.setdefault(name, defaultdict(set))
            for line, contexts in data.contexts_by_lineno(source).items():
                for context in contexts:
                    if context.startswith(FIXTURE):
                        by_line[line] |= of_fixture[context]
                    elif context in reach.seconds:
                        by_line[line].add(context)
    return reach
