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
    where : str
        The run and the reading; empty for the whole series.
    """

    severity: str
    code: str
    where: str
    message: str
    do: str
    evidence: str


def warning(findings: tuple[Finding, ...]) -> str:
    """Return the sentence that stands beside a result; empty if no finding says stop."""
    stops = [finding for finding in findings if finding.severity is Severity.STOP]
    if not stops:
        return ""
    many = f"{len(stops)} findings say" if len(stops) > 1 else "A finding says"
    settled = "they are" if len(stops) > 1 else "it is"
    return f"{many} stop: do not rely on the result until {settled} settled."


def message(finding: Finding, how: Writing, *, names_run: bool = True) -> str:
    """Return what a finding says, its run before it unless that is seen anyway."""
    said = how.say(finding.phrase)
    if finding.run and names_run:
        return how.say(Phrase.of("of-run", run=finding.run, said=said))
    return said[:1].upper() + said[1:]


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
    where, said = (f"run {first.run}" if first.run else ""), message(first, how)
    if len(same) > 1:
        runs = tuple(finding.run for finding in same)
        said = how.say(Phrase.of("of-runs", runs=runs, said=how.say(first.phrase)))
        where = how.say(Phrase.of("runs", n=len(runs), runs=runs))
    return Said(
        severity=first.severity.value,
        code=first.code,
        where=", ".join(filter(None, (where, first.reading))) or "whole series",
        message=said,
        do=to_do(first, how),
        evidence="; ".join(in_words(first.evidence, how.style)),
    )
