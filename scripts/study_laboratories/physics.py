"""Where the readings come from: our own model of the cup, or a physics that is not ours."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from scripts.study_laboratories.laboratory import Laboratory

from tarebook.model.cup import cup_state
from tarebook.model.parameters import Parameters
from tarebook.model.simulate import Cups, Simulated, simulate
from tarebook.series.experiment import Experiment

CupsOf: TypeAlias = Callable[[Experiment, Parameters], Cups]
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
        cups = self.cups_of(laboratory.really, truth)
        return truth, simulate(laboratory.really, truth, rng, cups=cups)


OWN = Physics("own", "Readings by our own model of the cup", lambda *_: cup_state, elsewhere=False)
PHYSICS = {physics.name: physics for physics in (OWN,)}
