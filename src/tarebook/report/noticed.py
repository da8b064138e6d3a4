"""What was noticed, in words: the findings as they are shown."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from tarebook.core.phrase import Phrase
from tarebook.findings.finding import Finding, Severity
from tarebook.report.evidence_words import in_words
from tarebook.report.languages.writing import Writing


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A finding in words.

    Attributes
    ----------
    severity : str
        ``"stop"``, ``"look"`` or ``"note"``.
    word : str
        The same in words.
    where : str
        The run and the reading; empty for the whole series.
    """

    severity: str
    word: str
    code: str
    where: str
    message: str
    do: str
    evidence: str


def warning(findings: tuple[Finding, ...], how: Writing) -> str:
    """Return the sentence that stands beside a result; empty if no finding says stop."""
    n = sum(finding.severity is Severity.STOP for finding in findings)
    return how("report.warning", n=n) if n else ""


def message(finding: Finding, how: Writing, *, names_run: bool = True) -> str:
    """Return what a finding says, its run before it unless that is seen anyway."""
    said = how.say(finding.phrase)
    if finding.run and names_run:
        return how.say(Phrase.of("of-run", run=finding.run, said=said))
    return said[:1].upper() + said[1:]


def runs_named(runs: tuple[str, ...], how: Writing) -> str:
    """Return runs by their names: run 3, or runs 1, 2 and 5."""
    return how.say(Phrase.of("runs", n=len(runs), runs=runs))


def to_do(finding: Finding, how: Writing) -> str:
    """Return what to do about a finding; empty where there is nothing to say."""
    return how.say(finding.do) if finding.do else how.also(finding.phrase, "do")


def say_all(findings: Iterable[Finding], how: Writing) -> tuple[Said, ...]:
    """Return findings in words; what was noticed of several runs alike is said once.

    Parameters
    ----------
    findings : iterable of Finding
    how : Writing
    """
    alike: dict[object, list[Finding]] = {}
    for finding in findings:
        alike.setdefault(_likeness(finding), []).append(finding)
    return tuple(_say(tuple(same), how) for same in alike.values())


def _likeness(finding: Finding) -> object:
    """Return what two findings that differ in their run alone have in common."""
    if finding.evidence or not finding.run:
        return id(finding)
    values = tuple(sorted(finding.values.items()))
    return (finding.code, finding.severity, finding.reading, values, finding.do)


def _say(same: Sequence[Finding], how: Writing) -> Said:
    """Return in words what was noticed of one run, of several alike, or of the series."""
    first = same[0]
    runs = tuple(finding.run for finding in same if finding.run)
    said, where = message(first, how), runs_named(runs, how) if runs else ""
    if len(same) > 1:
        said = how.say(Phrase.of("of-runs", runs=runs, said=how.say(first.phrase)))
    return Said(
        severity=first.severity.value,
        word=how(f"report.severity_{first.severity.value}"),
        code=first.code,
        where=", ".join(filter(None, (where, first.reading))) or how("report.whole_row"),
        message=said,
        do=to_do(first, how),
        evidence="; ".join(in_words(first.evidence, how)),
    )
