"""Where the readings come from: our own model of the cup, or a physics that is not ours."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from scripts.study_laboratories.laboratory import Laboratory
from scripts.study_laboratories.metals import HEAT, warm_cups
from scripts.study_laboratories.pairs import with_pairs

from tarebook.model.cup import Contents, CupState, cup_state
from tarebook.model.effects import CupEffect
from tarebook.model.parameters import Parameters
from tarebook.model.simulate import Cups, Simulated, simulate
from tarebook.series.experiment import Experiment

CupsOf: TypeAlias = Callable[[Experiment, np.random.Generator], Cups]
"""From what is really so to what works out the cups."""


@dataclass(frozen=True, slots=True)
class Physics:
    """A way in which cups behave.

    Attributes
    ----------
    name, words : str
    cups_of : CupsOf
    elsewhere : bool
        Whether it is not our own, so that truths are drawn from `[elsewhere]` too.
    """

    name: str
    words: str
    cups_of: CupsOf
    elsewhere: bool

    def series(
        self, laboratory: Laboratory, rng: np.random.Generator
    ) -> tuple[Parameters, Simulated]:
        """Return a truth and the clean readings that come of it."""
        truth = laboratory.drawn(rng, elsewhere=self.elsewhere)
        cups = self.cups_of(laboratory.really, rng)
        return truth, simulate(laboratory.really, truth, rng, cups=cups)


def elsewhere(of: Experiment, rng: np.random.Generator) -> Cups:
    """Return what works out the cups of a physics that is not ours."""
    if of.reaction.analyte in HEAT:
        return warm_cups(rng)

    def cups(
        of: Experiment, parameters: Parameters, contents: Contents, effects: frozenset[CupEffect]
    ) -> CupState:
        # Gas leaves the faster the more there is of it, by collisions of bubbles: the pressure
        # falls as 1 / (1 + k t). For each cup that is some rate of our own law.
        minutes = np.maximum(contents.minutes, 1e-6)
        rate = np.log1p(parameters.degassing * minutes) / minutes
        slower = parameters.with_values(degassing=rate)
        return cup_state(of, slower, contents, effects, with_pairs)

    return cups


OWN = Physics("own", "Readings by our own model of the cup", lambda *_: cup_state, elsewhere=False)
OTHER = Physics("other", "Readings by a physics that is not ours", elsewhere, elsewhere=True)
PHYSICS = {physics.name: physics for physics in (OWN, OTHER)}
