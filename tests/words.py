"""What a reader sees of a finding or of a reason, for tests of what is said."""

from __future__ import annotations

from tarebook.core.phrase import Phrase
from tarebook.findings.finding import Finding
from tarebook.report import noticed
from tarebook.report.languages.writing import in_files


def said(what: Finding | Phrase | None, *, names_run: bool = True) -> str:
    """Return the sentence of a finding, or the words of a phrase."""
    if isinstance(what, Finding):
        return noticed.message(what, in_files(), names_run=names_run)
    return in_files().say(what)


def to_do(finding: Finding) -> str:
    """Return what a finding says to do."""
    return noticed.to_do(finding, in_files())
