"""The small faults that can be planted in a file: each is one expression or statement changed.

What only speaks (strings, errors that are raised, what a finding says) and what only names types is
left alone: a sentence is for the eye, and types have a checker of their own. So is what any run at
all would stop at, an argument that must be there and a value that no branch returns.
"""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

SKIPPED: Final = (ast.JoinedStr, ast.Raise, ast.Import, ast.ImportFrom, ast.Assert)
"""What says something to a person, or what is not the work itself."""

SAID: Final = ("message", "do", "found", "allowed", "where", "fix", "help")
"""Arguments that hold a sentence or a part of one."""

GUARDS: Final = ("strict",)
"""Arguments that only refuse what never comes."""

BINARY: Final[dict[type[ast.operator], type[ast.operator]]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
    ast.Pow: ast.Mult,
    ast.MatMult: ast.Mult,
    ast.BitAnd: ast.BitOr,
    ast.BitOr: ast.BitAnd,
}

COMPARED: Final[dict[type[ast.cmpop], type[ast.cmpop]]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}

NAMES: Final = {
    "min": "max",
    "max": "min",
    "any": "all",
    "all": "any",
    "minimum": "maximum",
    "maximum": "minimum",
    "floor": "ceil",
    "ceil": "floor",
    "argmin": "argmax",
    "argmax": "argmin",
}
"""Functions that are taken for one another."""

NUDGE: Final = 1.1
"""Factor of a number with a point."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One fault that can be planted.

    Attributes
    ----------
    file : str
        From the top of the repository.
    within : str
        The function or class around it; empty at the top of a module.
    line, last_line : int
        Of what is changed.
    start, end : int
        Of what is changed, in bytes of the file.
    kind : str
    was, becomes : str
    """

    file: str
    within: str
    line: int
    last_line: int
    start: int
    end: int
    kind: str
    was: str
    becomes: str

    @property
    def key(self) -> str:
        """What names it whatever stands before it in the file."""
        was = " ".join(self.was.split())
        return f"{self.file} {self.within}: {was} -> {self.becomes}"

    def applied(self, source: bytes) -> bytes:
        """Return the file with the fault in it, which is still a program."""
        spoilt = source[: self.start] + self.becomes.encode() + source[self.end :]
        ast.parse(spoilt)
        return spoilt


Found = Iterator[tuple[str, ast.AST, str]]
"""The kind, what is replaced, and by what."""


def changes(file: str, source: str) -> list[Change]:
    """Return every fault that can be planted in a file, in the order of its lines."""
    tree = ast.parse(source)
    raw = source.encode()
    starts = [0]
    for line in raw.splitlines(keepends=True):
        starts.append(starts[-1] + len(line))
    found = []
    for kind, node, becomes, within in _in(tree, ()):
        # `_in` yields expressions and statements alone, which all have a place.
        start = starts[node.lineno - 1] + node.col_offset  # type: ignore[attr-defined]
        end = starts[node.end_lineno - 1] + node.end_col_offset  # type: ignore[attr-defined]
        found.append(
            Change(
                file=file,
                within=within,
                line=node.lineno,  # type: ignore[attr-defined]
                last_line=node.end_lineno,  # type: ignore[attr-defined]
                start=start,
                end=end,
                kind=kind,
                was=raw[start:end].decode(),
                becomes=becomes,
            )
        )
    return sorted(found, key=lambda change: (change.start, change.end, change.becomes))


def _in(
    node: ast.AST, around: tuple[str, ...], function: ast.FunctionDef | None = None
) -> Iterator[tuple[str, ast.AST, str, str]]:
    """Yield the faults of a node and of all below it, with the name of what is around."""
    if isinstance(node, ast.FunctionDef | ast.ClassDef):
        around = (*around, node.name)
        function = node if isinstance(node, ast.FunctionDef) else None
    for find in FINDERS:
        for fault in find(node):
            yield *fault, ".".join(around)
    if isinstance(node, ast.Return) and function is not None:
        for fault in _returned(node, function):
            yield *fault, ".".join(around)
    for child in _work_of(node):
        yield from _in(child, around, function)


def _work_of(node: ast.AST) -> Iterator[ast.AST]:
    """Yield the children that do something: no types, no sentences."""
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "returns", "decorator_list", "bases", "type_params"):
            continue
        if isinstance(node, ast.arguments) and name not in ("defaults", "kw_defaults"):
            continue
        # A type that stands in for the name of a value: Final[...], cast(...).
        if isinstance(node, ast.Subscript) and name == "slice" and _is_type(node.value):
            continue
        if isinstance(node, ast.keyword) and node.arg in (*SAID, *GUARDS):
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.AST) and not isinstance(child, SKIPPED):
                yield child


def _is_type(node: ast.expr) -> bool:
    return isinstance(node, ast.Name) and node.id in ("Callable", "Literal", "Iterator", "Walk")


def _put(node: ast.expr) -> str:
    text = ast.unparse(node)
    return text if isinstance(node, ast.Name | ast.Constant | ast.Call) else f"({text})"


def _is_text_or_type(node: ast.expr) -> bool:
    if isinstance(node, ast.BinOp):
        return _is_text_or_type(node.left) or _is_text_or_type(node.right)
    if isinstance(node, ast.JoinedStr) or (
        isinstance(node, ast.Constant) and isinstance(node.value, str | None)
    ):
        return True
    name = node.attr if isinstance(node, ast.Attribute) else getattr(node, "id", "")
    return isinstance(node, ast.Name | ast.Attribute) and (
        name in ("int", "float", "str", "bool") or (name[0].isupper() and not name.isupper())
    )


def _operators(node: ast.AST) -> Found:
    if isinstance(node, ast.BinOp) and type(node.op) in BINARY:
        if _is_text_or_type(node):
            return
        other = BINARY[type(node.op)]()
        yield "operator", node, _put(ast.BinOp(node.left, other, node.right))
    elif isinstance(node, ast.AugAssign) and type(node.op) in BINARY:
        other = BINARY[type(node.op)]()
        yield "operator", node, ast.unparse(ast.AugAssign(node.target, other, node.value))
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub | ast.Not | ast.Invert):
        yield "sign", node, _put(node.operand)


def _comparisons(node: ast.AST) -> Found:
    if isinstance(node, ast.Compare):
        for place, operator in enumerate(node.ops):
            ops = list(node.ops)
            ops[place] = COMPARED[type(operator)]()
            yield "comparison", node, _put(ast.Compare(node.left, ops, node.comparators))
    elif isinstance(node, ast.BoolOp):
        other = ast.Or() if isinstance(node.op, ast.And) else ast.And()
        yield "and/or", node, _put(ast.BoolOp(other, node.values))


def _conditions(node: ast.AST) -> Found:
    tests: list[ast.expr] = []
    if isinstance(node, ast.If | ast.While | ast.IfExp):
        tests = [node.test]
    elif isinstance(node, ast.comprehension):
        tests = node.ifs
    for test in tests:
        yield "condition", test, f"(not ({ast.unparse(test)}))"


def _constants(node: ast.AST) -> Found:
    if not isinstance(node, ast.Constant):
        return
    value = node.value
    if isinstance(value, bool):
        yield "constant", node, repr(not value)
    elif isinstance(value, int):
        yield "constant", node, repr(value + 1)
    elif isinstance(value, float):
        yield "constant", node, repr(value * NUDGE if value else 0.1)


def _calls(node: ast.AST) -> Found:
    if not isinstance(node, ast.Call):
        return
    if isinstance(node.func, ast.Name) and node.func.id in NAMES:
        yield "function", node.func, NAMES[node.func.id]
    if isinstance(node.func, ast.Attribute) and node.func.attr in NAMES:
        other = ast.Attribute(node.func.value, NAMES[node.func.attr], ast.Load())
        yield "function", node.func, ast.unparse(other)
    name = ast.unparse(node.func).rpartition(".")[2].lstrip("_")
    last = node.keywords[-1].arg if node.keywords else None
    if last and last not in GUARDS and name[:1].islower():
        fewer = ast.Call(node.func, node.args, node.keywords[:-1])
        yield "argument", node, ast.unparse(fewer)


def _statements(node: ast.AST) -> Found:
    called = isinstance(node, ast.Expr) and isinstance(node.value, ast.Call)
    if called or isinstance(node, ast.AugAssign | ast.Continue | ast.Break):
        yield "statement", node, "pass"


FINDERS: Final[tuple[Callable[[ast.AST], Found], ...]] = (
    _operators,
    _comparisons,
    _conditions,
    _constants,
    _calls,
    _statements,
)


def _returned(node: ast.Return, function: ast.FunctionDef) -> Found:
    """Yield what another branch returns in place of a value."""
    if node.value is None:
        return
    own = ast.unparse(node.value)
    for other in ast.walk(function):
        if (
            isinstance(other, ast.Return)
            and isinstance(other.value, ast.Constant | ast.Name | ast.Attribute | ast.Tuple)
            and ast.unparse(other.value) != own
        ):
            yield "return", node.value, ast.unparse(other.value)
            return
