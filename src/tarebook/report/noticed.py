"""What was noticed, in words: the findings as a report shows them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from tarebook.diagnosis.findings import Finding, Severity
from tarebook.report import typeset
from tarebook.report.evidence_words import in_words
from tarebook.report.numbers import NumberStyle
from tarebook.report.reasons import in_plain_words


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


def say_all(findings: Iterable[Finding], style: NumberStyle) -> tuple[Said, ...]:
    """Return findings in words; what was noticed of several runs alike is said once.

    Parameters
    ----------
    findings : iterable of Finding
    style : NumberStyle
    """
    alike: dict[tuple[object, ...], list[Finding]] = {}
    for finding in findings:
        alike.setdefault(_likeness(finding), []).append(finding)
    return tuple(_say(tuple(same), style) for same in alike.values())


def _likeness(finding: Finding) -> tuple[object, ...]:
    if finding.evidence or not finding.message.startswith(f"Run {finding.run}: "):
        return (id(finding),)
    return (finding.code, finding.severity, finding.reading, finding.do, _rest(finding))


def _rest(finding: Finding) -> str:
    return finding.message.removeprefix(f"Run {finding.run}: ")


def _say(same: Sequence[Finding], style: NumberStyle) -> Said:
    """Return in words what was noticed of one run, of several alike, or of the series."""
    first, message = same[0], same[0].message
    where = f"run {first.run}" if first.run else ""
    if len(same) > 1:
        runs = typeset.listed([finding.run for finding in same])
        where, message = f"runs {runs}", f"Runs {runs}: {_rest(first)}"
    return Said(
        severity=first.severity.value,
        code=first.code,
        where=", ".join(filter(None, (where, first.reading))) or "whole series",
        message=in_plain_words(message, style),
        do=in_plain_words(first.do, style),
        evidence="; ".join(in_words(first.evidence, style)),
    )
