"""What was found, as text for a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from tarebook.core.phrase import Phrase
from tarebook.findings.finding import Finding, Severity
from tarebook.report import noticed
from tarebook.report.handover.text import handover_text
from tarebook.report.languages.writing import in_files
from tarebook.report.outcome import Outcome
from tarebook.report.text import findings_text, text


def as_text(outcome: Outcome, *, colour: bool = False, width: int = 80) -> str:
    """Return a reduced experiment as a table for a terminal."""
    if outcome.handover is not None and not outcome.stage.has_results:
        return handover_text(outcome, outcome.handover, colour=colour, width=width)
    return text(outcome, colour=colour, width=width)


def class_as_text(
    found: Mapping[str, Iterable[Finding]], *, colour: bool = False, width: int = 80
) -> str:
    """Return the findings of all groups as a list for a terminal, notes left out."""
    odd = {
        name: [finding for finding in findings if finding.severity is not Severity.NOTE]
        for name, findings in found.items()
    }
    parts = [
        f"Group {name}\n{findings_as_text(findings, colour=colour, width=width)}"
        for name, findings in odd.items()
        if findings
    ]
    clean = [name for name, findings in odd.items() if not findings]
    if clean:
        parts.append(f"Nothing to stop or to look at: {', '.join(clean)}.\n")
    return "\n".join(parts)


def findings_as_text(findings: Iterable[Finding], *, colour: bool = False, width: int = 80) -> str:
    """Return findings as a list for a terminal."""
    return findings_text(findings, colour=colour, width=width)


def in_words(what: Finding | Phrase) -> str:
    """Return what a finding or a note says, in plain English."""
    if isinstance(what, Finding):
        return noticed.message(what, in_files())
    return in_files().say(what)


def to_do(finding: Finding) -> str:
    """Return what to do about a finding; empty where there is nothing to say."""
    return noticed.to_do(finding, in_files())
