"""A plan as the renderers get it, and its advices as findings."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from tarebook.findings.finding import Finding, Severity
from tarebook.planning.advice import Advice
from tarebook.planning.plan import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanOutcome:
    """A plan with what the files that show it need besides.

    Attributes
    ----------
    plan : Plan
    seed : int
        Of the draws of what is not known beforehand and of the starts of the search.
    version : str
        Of the program.
    made_on : str
        Date, ISO 8601; empty where a file must not depend on the day.
    """

    plan: Plan
    seed: int
    version: str
    made_on: str


def plan_findings(plan: Plan) -> tuple[Finding, ...]:
    """Return the advices of a plan as findings, the most severe first.

    Parameters
    ----------
    plan : Plan
    """
    return findings_of(plan.advices)


def findings_of(advices: Iterable[Advice]) -> tuple[Finding, ...]:
    """Return advices as findings, in their order."""
    return tuple(
        Finding(
            code=advice.code,
            severity=Severity(advice.severity),
            message=advice.message,
            do=advice.do,
            run=advice.run,
            evidence=_copied(advice.evidence),
        )
        for advice in advices
    )


def _copied(evidence: Mapping[str, float | str]) -> dict[str, float | str]:
    return dict(evidence)
