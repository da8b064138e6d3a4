"""Whether a reader who works with the printed numbers comes to the printed result."""

from __future__ import annotations

import ast
import operator
import re
from collections.abc import Callable

from scripts.one_voice.lines import line
from scripts.one_voice.outputs import Outputs
from scripts.one_voice.voices import read_number

_UNITS = re.compile(r"(?<=[0-9)]) (?:mmol/g|mmol|mol/L|g/mol|g/mL|g/g|mL|g)(?![\w/])")
_SUM = re.compile(r"^(?:run .*?: )?(?P<sum>[^=]*[+−×/][^=]*) = (?P<result>[0-9.−]+)(?:±[0-9.]+)?"
                  r"(?P<unit>%| [a-zA-Z]+)")  # fmt: skip
_OPERATORS: dict[type[ast.operator], Callable[[float, float], float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
}


def not_reproduced(out: Outputs, where: str) -> tuple[tuple[str, ...], int]:
    """Return the steps whose result does not follow from what is printed, and how many were done.

    A result may be off by one in its last place: the program does not round on the way; and by
    what half a digit of the strength does, of which no more is printed than is known.

    Parameters
    ----------
    out : Outputs
    where : {"page", "paper"}
    """
    model = out.story.model
    wrong, done = [], 0
    for step in (*out.story.steps, *(model.steps if model else ())):
        found = re.search(line(step.worked).pattern, out.texts[where])
        worked = _SUM.match(found[0]) if found else None
        if worked is None or re.search("[a-z]", _UNITS.sub("", worked["sum"])):
            continue  # Words or a formula: nothing to work out.
        done += 1
        shown, last = read_number(worked["result"])
        factor = _per_unit(worked["sum"], worked["unit"])
        again = factor * calculated(worked["sum"])
        if abs(again - shown) > 1.0001 * last + factor * _of_strength(worked["sum"]):
            wrong.append(f"{worked[0]}, but it comes to {again:.7g}")
    return tuple(wrong), done


def calculated(words: str) -> float:
    """Return what a sum with units comes to, each number in the unit it stands in.

    Examples
    --------
    >>> calculated("(0.27778 − (−0.11456)) / (0.01591 g/mL) × 2 g")
    49.32...
    """
    bare = _UNITS.sub("", words)
    bare = bare.replace("−", "-").replace("×", "*")
    return _value(ast.parse(bare, mode="eval").body)


_STRENGTH = re.compile(r"[0-9.]+(?= mol/L)")


def _of_strength(words: str) -> float:
    """Return how far half a digit of the strength moves a sum."""
    strength = _STRENGTH.search(words)
    if strength is None:
        return 0.0
    value, last = read_number(strength[0])
    more = _STRENGTH.sub(f"{value + 0.5 * last:.12g}", words)
    return abs(calculated(more) - calculated(words))


def _value(node: ast.expr) -> float:
    if isinstance(node, ast.BinOp):
        return _OPERATORS[type(node.op)](_value(node.left), _value(node.right))
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        return -_value(node.operand)
    if isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        return float(node.value)
    raise ValueError(ast.dump(node))


def _per_unit(words: str, unit: str) -> float:
    """Return how many of the result's units the units of a sum make."""
    if unit != "%":
        return 1.0
    # mmol/g times g/mol is a thousandth; p is in g per g already.
    return 0.1 if "mol/L" in words else 100.0
