"""What many clean series of a laboratory come to, held against the bounds."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from scipy.stats import binom
from scripts.study_laboratories.series import One

MOST_STOPS, MOST_LOOKS = 0.01, 0.05
"""Parts of clean series that may get a stop, and a look."""

BIAS, BIAS_IN_U = 0.005, 0.2
"""Bias that is allowed: relative, or in standard uncertainties, whichever is larger."""

COVERAGE = (0.93, 0.975)
"""Part of the 95 % intervals that hold the truth."""

SURE = 0.001
"""A bound counts as broken if chance alone does as much less often: many bounds are looked at."""


class Verdict(StrEnum):
    """Of a figure against its bound."""

    MET = "met"
    CHANCE = "by chance"
    """Outside, but so few series say no more."""
    BROKEN = "broken"


@dataclass(frozen=True, slots=True)
class Line:
    """What the series of one laboratory and one physics came to.

    Attributes
    ----------
    laboratory, physics : str
    n, n_results : int
        Series, and those for which the full model states a content.
    stops, looks : int
        Series with at least one stop; with at least one look and no stop.
    stop_codes, look_codes : Counter of str
        Series in which each code was said.
    reasons : Counter of str
        Why there was no content.
    bias, bias_se, u, sd : float, [1]
        Relative to the true content: the mean error, its standard error, the root mean square of
        the stated u, the standard deviation of the errors.
    covered : int
        Intervals that hold the truth.
    usual : float, [1]
        Mean relative error of the textbook calculation.
    seconds : float
        For one reduction.
    worst : tuple of int
        Numbers of series worth a look: accused, or farthest off.
    """

    laboratory: str
    physics: str
    n: int
    n_results: int
    stops: int
    looks: int
    stop_codes: Counter[str]
    look_codes: Counter[str]
    reasons: Counter[str]
    bias: float
    bias_se: float
    u: float
    sd: float
    covered: int
    usual: float
    seconds: float
    worst: tuple[int, ...]

    @property
    def coverage(self) -> float:
        """Part of the stated intervals that hold the truth."""
        return self.covered / self.n_results if self.n_results else math.nan

    @property
    def bias_allowed(self) -> float:
        """Largest bias that is allowed, relative."""
        return max(BIAS, BIAS_IN_U * self.u)

    def verdicts(self, *, refused: bool = False) -> dict[str, Verdict]:
        """Return what is to be said of each bound.

        Parameters
        ----------
        refused : bool
            Whether the plan refuses the laboratory: then only the intervals have to hold.
        """
        if refused:
            return {"coverage": self._of_coverage()} if self.n_results > 1 else {}
        found = {
            "stop": _at_most(self.stops, self.n, MOST_STOPS),
            "look": _at_most(self.looks, self.n, MOST_LOOKS),
        }
        if self.n_results > 1:
            found["bias"] = self._of_bias()
            found["coverage"] = self._of_coverage()
        return found

    def _of_bias(self) -> Verdict:
        beyond = abs(self.bias) - self.bias_allowed
        if beyond <= 0.0:
            return Verdict.MET
        # one side of a normal: 3.09 standard errors
        return Verdict.BROKEN if beyond > 3.09 * self.bias_se else Verdict.CHANCE

    def _of_coverage(self) -> Verdict:
        low, high = COVERAGE
        if low <= self.coverage <= high:
            return Verdict.MET
        if self.coverage < low:
            chance = float(binom.cdf(self.covered, self.n_results, low))
        else:
            chance = float(binom.sf(self.covered - 1, self.n_results, high))
        return Verdict.BROKEN if chance < SURE else Verdict.CHANCE


def _at_most(count: int, n: int, part: float) -> Verdict:
    """Return whether so many of n keep to at most a part of them."""
    if count <= part * n:
        return Verdict.MET
    return Verdict.BROKEN if float(binom.sf(count - 1, n, part)) < SURE else Verdict.CHANCE


def line_of(laboratory: str, physics: str, found: Sequence[One]) -> Line:
    """Return what series came to."""
    good = [one for one in found if one.has_result]
    errors = np.array([one.found / one.content - 1.0 for one in good])
    stopped = [one for one in found if one.stops]
    looked = [one for one in found if one.looks and not one.stops]
    some = len(good) > 1
    sd = float(errors.std(ddof=1)) if some else math.nan
    usual = [one.usual / one.content - 1.0 for one in found if not math.isnan(one.usual)]
    far = sorted(good, key=lambda one: -abs(one.found - one.content) / one.u)
    missed = [one for one in far if not one.holds]
    return Line(
        laboratory=laboratory,
        physics=physics,
        n=len(found),
        n_results=len(good),
        stops=len(stopped),
        looks=len(looked),
        stop_codes=_counted(one.stops for one in found),
        look_codes=_counted(one.looks for one in found),
        reasons=Counter(one.why_none for one in found if not one.has_result),
        bias=float(errors.mean()) if some else math.nan,
        bias_se=sd / math.sqrt(len(good)) if some else math.nan,
        u=float(np.sqrt(np.mean([(one.u / one.content) ** 2 for one in good]))) if good else 0.0,
        sd=sd,
        covered=sum(one.holds for one in good),
        usual=float(np.mean(usual)) if usual else math.nan,
        seconds=float(np.mean([one.seconds for one in found])),
        worst=tuple(one.number for one in (*stopped, *looked, *missed))[:12],
    )


def _counted(codes: Iterable[tuple[str, ...]]) -> Counter[str]:
    return Counter(code for some in codes for code in some)
