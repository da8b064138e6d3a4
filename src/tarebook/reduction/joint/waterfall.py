"""From the usual result to the full one, effect by effect."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from tarebook.core.errors import OutOfRangeError
from tarebook.model.effects import CupEffect
from tarebook.reduction.joint.results import WaterfallStep
from tarebook.reduction.joint.solution import NoFitError, Solution
from tarebook.reduction.joint.solve import solve
from tarebook.reduction.joint.trial import CONTENT

ORDER: Final = (
    CupEffect.BUOYANCY,
    CupEffect.CALIBRATION,
    CupEffect.HOLD_UP,
    CupEffect.OWN_ACID,
    CupEffect.DISSOLVED_GAS,
    CupEffect.COOLING,
    CupEffect.HEAD_GAS,
    CupEffect.VAPOUR,
    CupEffect.EVAPORATION,
)
"""The order in which the effects are switched on; what each adds depends a little on it."""

USUAL = "usual sum"
NO_EFFECTS = "all readings weighed together"


def waterfall(solution: Solution, usual_content: float | None) -> tuple[WaterfallStep, ...]:
    """Return the content as one effect after the other is taken into account.

    Parameters
    ----------
    solution : Solution
        With all effects; its own are the ones that are switched on one by one.
    usual_content : float or None, [g/g]
        Result of the usual sum; without it the steps begin at the joint fit without effects.
    """
    problem = solution.problem
    steps: list[WaterfallStep] = []
    if usual_content is not None:
        steps.append(WaterfallStep(label=USUAL, content=usual_content, change=0.0))
    on: frozenset[CupEffect] = frozenset()
    start = solution.unknowns
    for effect in (None, *(effect for effect in ORDER if effect in problem.effects)):
        if effect is not None:
            on |= {effect}
        step = replace(problem, effects=on)
        try:
            start = solve(step, start=start, with_covariance=False).unknowns
        except (NoFitError, OutOfRangeError):
            # A step that does not settle, or whose cup is one that the constants do not reach, is
            # left out; the next one carries its change.
            continue
        content = float(start[CONTENT])
        change = content - steps[-1].content if steps else 0.0
        label = NO_EFFECTS if effect is None else effect.value
        steps.append(WaterfallStep(label=label, content=content, change=change))
    return tuple(steps)
