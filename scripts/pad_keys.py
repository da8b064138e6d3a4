"""Write which messages the pages' scripts can say, and their values, for the check of types.

Run ``python -m scripts.pad_keys`` after a change of ``pad.ftl``; a test holds that it was done.
"""

from __future__ import annotations

from pathlib import Path
from typing import Final

from fluent.syntax import FluentParser, ast, visitor

SOURCE: Final = Path(__file__).parents[1] / "src" / "tarebook"
MESSAGES: Final = SOURCE / "report" / "languages" / "en" / "pad.ftl"
KEYS: Final = SOURCE / "web" / "static" / "bench" / "keys.d.ts"

_HEAD: Final = """\
// Written by scripts/pad_keys.py from pad.ftl: the messages of the scripts and the values of each.

export interface Messages {
"""


class _Values(visitor.Visitor):
    def __init__(self) -> None:
        self.names: set[str] = set()

    def visit_VariableReference(self, node: ast.VariableReference) -> None:  # noqa: N802 (theirs)
        self.names.add(node.id.name)


def keys() -> str:
    """Return the types of the messages."""
    lines = []
    for entry in FluentParser().parse(MESSAGES.read_text(encoding="utf-8")).body:
        if isinstance(entry, ast.Message):
            values = _Values()
            values.visit(entry)
            lines.append(f'  "{entry.id.name}": [{_given(sorted(values.names))}];\n')
    return _HEAD + "".join(lines) + "}\n"


def _given(names: list[str]) -> str:
    if not names:
        return ""
    return f"values: {{ {'; '.join(f'{name}: string | number' for name in names)} }}"


def main() -> None:
    """Write the file."""
    KEYS.write_text(keys(), encoding="utf-8")


if __name__ == "__main__":
    main()
