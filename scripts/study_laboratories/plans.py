"""What the plan says of a laboratory before anything is poured."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scripts.study_laboratories.laboratory import Laboratory

from tarebook.core.errors import TarebookError
from tarebook.findings.finding import Severity
from tarebook.planning.plan import make_plan
from tarebook.planning.wishes import Wishes


@dataclass(frozen=True, slots=True)
class Judgement:
    """A plan's word on a laboratory.

    Attributes
    ----------
    refuses : bool
        Whether it says that this laboratory cannot give the content.
    because : str
        Codes of what it says; empty where it is content.
    u : float, [g/g]
        Standard uncertainty of the content that it promises; nan where it refuses to say.
    """

    refuses: bool
    because: str
    u: float


def judged(laboratory: Laboratory, seed: int) -> Judgement:
    """Return the plan's word on a laboratory.

    Parameters
    ----------
    laboratory : Laboratory
    seed : int
        Of the plan's own draws.
    """
    rng = np.random.Generator(np.random.SFC64(seed))
    try:
        plan = make_plan(laboratory.experiment, Wishes(), rng)
    except TarebookError as error:
        return Judgement(refuses=True, because=error.code, u=float("nan"))
    said = [f for f in plan.findings if f.severity is not Severity.NOTE]
    stops = [f.code for f in said if f.severity is Severity.STOP]
    return Judgement(
        refuses=bool(stops),
        because=", ".join(dict.fromkeys(stops or [f.code for f in said])),
        u=plan.rows[0].u_content,
    )
