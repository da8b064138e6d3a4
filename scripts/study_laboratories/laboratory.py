"""The laboratories: a definition as a teacher writes it, and what is really so."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import numpy as np
from scripts.study_laboratories.truth import Spread, spread_of

from tarebook.model.parameters import NAMES, Parameters
from tarebook.model.priors import PHYSICAL, drawn_parameters
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

TOP = Path(__file__).parents[2]
LABORATORIES = TOP / "tests" / "laboratories"

EXAMPLES = TOP / "examples"

DEFINITION, REALLY, TRUTH = "experiment.toml", "really.toml", "truth.toml"
"""`really.toml` is there where the cups hold what the teacher's definition does not say. A
laboratory that ships as an example of the same name has its definition there."""

ELSEWHERE = "elsewhere"
"""Table of `truth.toml` with what is so where the readings come of another physics."""


@dataclass(frozen=True)
class Laboratory:
    """A laboratory of the matrix.

    Attributes
    ----------
    name : str
    folder : Path
    """

    name: str
    folder: Path

    @cached_property
    def experiment(self) -> Experiment:
        """The definition by which its readings are reduced."""
        return self._parsed(DEFINITION)

    @cached_property
    def really(self) -> Experiment:
        """The definition by which its readings come about."""
        return self._parsed(REALLY) if (self.folder / REALLY).exists() else self.experiment

    @cached_property
    def truths(self) -> dict[str, Spread]:
        """What the parameters are spread over where what is known beforehand does not say it."""
        return self._spreads(self._table())

    @cached_property
    def truths_elsewhere(self) -> dict[str, Spread]:
        """The same where the readings come of another physics."""
        return self.truths | self._spreads(self._table().get(ELSEWHERE, {}))

    def drawn(self, rng: np.random.Generator, *, elsewhere: bool = False) -> Parameters:
        """Return a truth: drawn from what is known beforehand, but for what `truth.toml` says.

        Parameters
        ----------
        rng : numpy.random.Generator
        elsewhere : bool
            Whether for the other physics.
        """
        many = drawn_parameters(self.really, rng, 1)
        one = {name: np.asarray(getattr(many, name)).reshape(()) for name in NAMES}
        for name, spread in (self.truths_elsewhere if elsewhere else self.truths).items():
            low, high = PHYSICAL.get(name, (-np.inf, np.inf))
            one[name] = np.clip(np.array(spread.drawn(rng)), low, high)
        return Parameters(**one)

    def path(self, file: str) -> Path:
        """Return where a file of the laboratory is."""
        own = self.folder / file
        return own if own.exists() or file != DEFINITION else EXAMPLES / self.name / file

    def _parsed(self, file: str) -> Experiment:
        return parse_definition(self.path(file).read_text(encoding="utf-8"), file)

    def _table(self) -> dict[str, object]:
        return tomllib.loads((self.folder / TRUTH).read_text(encoding="utf-8"))

    def _spreads(self, table: object) -> dict[str, Spread]:
        if not isinstance(table, dict):
            raise TypeError(f"{self.name}: {TRUTH}: [{ELSEWHERE}] is no table")
        rows = {key: row for key, row in table.items() if key != ELSEWHERE}
        return dict(spread_of(f"{self.name}: {TRUTH}", key, row) for key, row in rows.items())


def laboratories(folder: Path = LABORATORIES) -> tuple[Laboratory, ...]:
    """Return the laboratories of a folder, in the order of their names."""
    found = sorted(path for path in folder.iterdir() if (path / TRUTH).exists())
    return tuple(Laboratory(name=path.name, folder=path) for path in found)
