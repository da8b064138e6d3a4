"""A plan as the renderers get it."""

from __future__ import annotations

from dataclasses import dataclass

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
