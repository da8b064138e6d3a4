"""What a reader sees of a finding or of a reason, for tests of what is said."""

from __future__ import annotations

from pathlib import Path

from fluent.syntax import FluentParser, ast, visitor

from tarebook.core.phrase import Phrase
from tarebook.findings.finding import Finding
from tarebook.report import noticed
from tarebook.report.languages import catalogue
from tarebook.report.languages.catalogue import subjects
from tarebook.report.languages.writing import in_files

FOLDER = Path(catalogue.__file__).parent


def said(what: Finding | Phrase | None, *, names_run: bool = True) -> str:
    """Return the sentence of a finding, or the words of a phrase."""
    if isinstance(what, Finding):
        return noticed.message(what, in_files(), names_run=names_run)
    return in_files().say(what)


def to_do(finding: Finding) -> str:
    """Return what a finding says to do."""
    return noticed.to_do(finding, in_files())


def messages(language: str) -> dict[str, ast.Message]:
    """Return every message of a language, by its key."""
    found: dict[str, ast.Message] = {}
    for subject in sorted(subjects(language)):
        text = (FOLDER / language / f"{subject}.ftl").read_text(encoding="utf-8")
        for entry in FluentParser().parse(text).body:
            assert not isinstance(entry, ast.Junk), entry.content
            if isinstance(entry, ast.Message):
                assert entry.id.name not in found, f"{entry.id.name} stands twice in {language}"
                found[entry.id.name] = entry
    return found


def texts(language: str) -> dict[str, str]:
    """Return the texts of a language that choose nothing, by their key, with ``{places}``."""
    return {
        key: "".join(
            part.value if isinstance(part, ast.TextElement) else f"{{{'+'.join(places(part))}}}"
            for part in message.value.elements
        )
        for key, message in messages(language).items()
        if message.value is not None
    }


def places(node: ast.BaseNode) -> list[str]:
    """Return the values that a message, or a part of one, asks for."""
    found: set[str] = set()

    class Visitor(visitor.Visitor):
        def visit_VariableReference(self, node: ast.VariableReference) -> None:  # noqa: N802
            found.add(node.id.name)

    Visitor().visit(node)
    return sorted(found)
