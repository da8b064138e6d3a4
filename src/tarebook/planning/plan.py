"""A whole plan: the row judged, better rows beside it, how exact it must be, and what if."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.findings.finding import Finding, Severity, most_severe_first
from tarebook.planning.changes import (
    TWO_DIGITS,
    other_samples,
    places_of,
    row_of,
    samples_of,
    with_row,
    with_sample,
)
from tarebook.planning.contents import ContentRange, content_range
from tarebook.planning.exactness import Exactness, exactness
from tarebook.planning.expected import Expected, expect
from tarebook.planning.feasible import beyond, granted, nearest_that_works
from tarebook.planning.information import candidates, scenario, uncertainties
from tarebook.planning.judge import faults
from tarebook.planning.refusals import PlanBeyondModelError
from tarebook.planning.remedies import Judged, Remedy, with_remedies, works
from tarebook.planning.rows import Best, Row, best_row, described, equal_steps, even_row
from tarebook.planning.rules_content import content_unsure
from tarebook.planning.rules_gas import gas_findings
from tarebook.planning.rules_row import FEWEST_RUNS
from tarebook.planning.variants import Upgrade, Variant, upgrades, variants
from tarebook.planning.wishes import Wishes
from tarebook.series.experiment import Experiment

SAMPLE_RANGE = (0.4, 2.5)
"""Sample masses looked at for the best one, as multiples of the nominal mass."""

MOST_SAMPLES = 16
LONG_ROW = 24


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """What one run teaches: how much u would grow without it.

    Attributes
    ----------
    run : str
    content, equivalence : float, [1]
        Relative growth of the standard uncertainties.
    """

    run: str
    content: float
    equivalence: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherSample:
    """The sample mass with which the best row would be best; nothing else is changed.

    Attributes
    ----------
    mass : float, [g]
    row : Row
        The best placement for it.
    """

    mass: float
    row: Row


@dataclass(frozen=True, slots=True, kw_only=True)
class Consumption:
    """What the row takes: [L], [L] and [g]."""

    stock: float
    diluent: float
    sample: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A plan.

    Attributes
    ----------
    experiment : Experiment
        With the row that is judged and the wishes that were granted.
    wishes : Wishes
    laid_out_anew : bool
        Whether the row is ours (a wish changed the amounts) and not the definition's.
    contents : ContentRange
    expected : Expected
    place : float, [1]
        Of the equivalence point between the first (0) and the last run (1).
    between : tuple of str
        Names of the runs on either side of it; empty if it lies outside.
    rows : tuple of Row
        The judged row, equal steps, best, even; the last two only if they exist.
    other_sample : OtherSample or None
    lessons : tuple of Lesson
    exactness : Exactness
    upgrades : tuple of Upgrade
    variants : tuple of Variant
    consumption : Consumption
    findings : tuple of Finding
        The most severe first.
    remedies : mapping of str to tuple of Remedy
        What would mend a finding, by its code.
    works : bool
        No finding says stop.
    """

    experiment: Experiment
    wishes: Wishes
    laid_out_anew: bool
    contents: ContentRange
    expected: Expected
    place: float
    between: tuple[str, ...]
    rows: tuple[Row, ...]
    other_sample: OtherSample | None
    lessons: tuple[Lesson, ...]
    exactness: Exactness
    upgrades: tuple[Upgrade, ...]
    variants: tuple[Variant, ...]
    consumption: Consumption
    findings: tuple[Finding, ...]
    remedies: Mapping[str, tuple[Remedy, ...]]
    works: bool

    @property
    def holds_for_all(self) -> bool:
        """Whether cups lie on both sides of the equivalence point for every content planned for."""
        near = (one.evidence for one in self.findings if one.code == "change-over-near-edge")
        return not any(0.0 in (one["runs_before"], one["runs_after"]) for one in near)

    def row(self, name: str) -> Row | None:
        """Return one of the rows by its name."""
        return next((row for row in self.rows if row.name == name), None)

    def gain(self, name: str) -> float | None:
        """Return by how much u of the wanted number is smaller than with equal steps, [1]."""
        row, plain = self.row(name), self.row("equal steps")
        if row is None or plain is None:
            return None
        return 1.0 - row.u(self.wishes.best) / plain.u(self.wishes.best)


def make_plan(
    experiment: Experiment,
    wishes: Wishes,
    rng: np.random.Generator,
    progress: Callable[[str], None] = lambda _: None,
) -> Plan:
    """Return the plan of an experiment: its row judged, or a new one for the wishes.

    Parameters
    ----------
    experiment : Experiment
    wishes : Wishes
    rng : numpy.random.Generator
        Of the draws of what is not known and of the starts of the search.
    progress : callable of str
        Told the step that begins.

    Raises
    ------
    ImpossibleWishError
        If a wish cannot be fulfilled, with the nearest that can.
    PlanBeyondModelError
        If the model cannot say anything about the row.
    """
    progress("looking at the wishes")
    experiment = granted(experiment, wishes)
    try:
        return _made(experiment, wishes, rng, progress)
    except OutOfRangeError as error:
        n_runs = max(len(experiment.planned), FEWEST_RUNS)
        raise PlanBeyondModelError(
            beyond(error),
            nearest_that_works(experiment, n_runs, wishes),
            tuple(one for one in gas_findings(experiment) if one.severity is Severity.STOP),
            runs_beyond_model(experiment),
        ) from error


def runs_beyond_model(experiment: Experiment) -> tuple[str, ...]:
    """Return the planned runs of which the model says nothing at some content of the sample."""
    contents = content_range(experiment).scenarios
    row, sample = row_of(experiment), samples_of(experiment)
    beyond_it = []
    for i, planned in enumerate(experiment.planned):
        try:
            for content in contents:
                scenario(experiment, row[i : i + 1], float(content), sample[i : i + 1])
        except OutOfRangeError:
            beyond_it.append(planned.run)
    return tuple(beyond_it)


def _made(
    experiment: Experiment,
    wishes: Wishes,
    rng: np.random.Generator,
    progress: Callable[[str], None],
) -> Plan:
    contents = content_range(experiment)
    progress("judging the row")
    expected = expect(experiment, contents, rng)
    about_row = judged(experiment, contents, wishes.best)
    # What has to be said of the gas comes before all else of its severity.
    findings = most_severe_first((*gas_findings(experiment), *about_row.findings))
    progress("placing the runs")
    rows = _rows(experiment, contents, wishes, rng)
    progress("trying other sample masses")
    other = None
    if wishes.sample_mass is None and experiment.grows == "reagent":
        other = _other_sample(experiment, contents, wishes, rng, rows)
    progress("asking how exact each reading must be")
    care = exactness(experiment, contents, wishes.best)
    better = upgrades(experiment, contents, wishes.best)
    row = row_of(experiment)
    place, between = _place(experiment, expected.equivalence.value)
    return Plan(
        experiment=experiment,
        wishes=wishes,
        laid_out_anew=bool(wishes.amounts),
        contents=contents,
        expected=expected,
        place=place,
        between=between,
        rows=rows,
        other_sample=other,
        lessons=_lessons(experiment, contents),
        exactness=care,
        upgrades=better,
        variants=variants(experiment, contents),
        consumption=Consumption(
            stock=float(row.sum()),
            diluent=float((experiment.total_volume - row).sum()),
            sample=float(samples_of(experiment).sum()),
        ),
        findings=findings,
        remedies=about_row.remedies,
        works=not any(finding.severity is Severity.STOP for finding in findings),
    )


def judged(experiment: Experiment, contents: ContentRange, best: Best = Best.CONTENT) -> Judged:
    """Return what a look at the row itself found, with what would mend it.

    Parameters
    ----------
    experiment : Experiment
    contents : ContentRange
    best : Best
        What the row is to be best for.

    Raises
    ------
    OutOfRangeError
        If the model cannot be used for these amounts.
    """
    found = with_remedies(experiment, contents, best, faults(experiment, contents))
    if any(finding.code == "change-over-outside" for finding in found.findings):
        return found
    unsure = content_unsure(experiment, contents)
    return Judged(findings=(*found.findings, *unsure), remedies=found.remedies)


def _rows(
    experiment: Experiment, contents: ContentRange, wishes: Wishes, rng: np.random.Generator
) -> tuple[Row, ...]:
    row, best = row_of(experiment), wishes.best
    n = max(len(row), FEWEST_RUNS)
    given = described(experiment, "given", row, contents, samples_of(experiment))
    placed: dict[str, FloatArray | None] = {}
    if experiment.grows == "sample":
        return (given,)
    try:
        placed["equal steps"] = equal_steps(experiment, n)
        placed["best"] = best_row(experiment, n, contents, best, rng)
        placed["even"] = even_row(experiment, n, contents, best)
    except OutOfRangeError:
        # Nowhere on this ware can a row be laid out; the finding about the row says why.
        placed = {}
    return (
        given,
        *(
            described(experiment, name, volumes, contents)
            for name, volumes in placed.items()
            if volumes is not None
        ),
    )


def _other_sample(
    experiment: Experiment,
    contents: ContentRange,
    wishes: Wishes,
    rng: np.random.Generator,
    rows: tuple[Row, ...],
) -> OtherSample | None:
    """Return the sample mass of the smallest u; None if that is the mass as it is."""
    nominal, n = experiment.sample.nominal_mass, max(len(experiment.planned), FEWEST_RUNS)
    low, high = SAMPLE_RANGE
    masses = [m for m in other_samples(experiment, TWO_DIGITS) if low <= m / nominal <= high]
    thinned = sorted(masses)[:: max(len(masses) // MOST_SAMPLES, 1)]
    # A glance at each mass is enough to choose one; long rows are placed much alike anyway.
    starts = 2 if n <= LONG_ROW else 1
    now = next((row for row in rows if row.name == "best"), None)
    found = [] if now is None else [OtherSample(mass=nominal, row=now)]
    for mass in thinned:
        changed = with_sample(experiment, mass)
        try:
            volumes = best_row(changed, n, contents, wishes.best, rng, starts)
        except OutOfRangeError:
            continue  # Beyond what the model's constants hold for.
        if volumes is None or not works(with_row(changed, volumes), contents, "vessel-rather-full"):
            continue
        found.append(OtherSample(mass=mass, row=described(changed, "best", volumes, contents)))
    if not found:
        return None

    # The equivalence point moves with the mass: compare how well it is known relative to it.
    def relative(other: OtherSample) -> float:
        u = other.row.u(wishes.best)
        return u if wishes.best is Best.CONTENT else u / other.mass

    winner = min(found, key=relative)
    if winner.mass == nominal:
        return None
    changed = with_sample(experiment, winner.mass)
    again = best_row(changed, n, contents, wishes.best, rng)
    if again is None:
        return winner
    with_more_starts = OtherSample(
        mass=winner.mass, row=described(changed, "best", again, contents)
    )
    return min(winner, with_more_starts, key=relative)


def _lessons(experiment: Experiment, contents: ContentRange) -> tuple[Lesson, ...]:
    sample = samples_of(experiment)
    every = candidates(experiment, row_of(experiment), contents.scenarios, sample)
    whole = uncertainties(every)
    lessons = []
    for index, planned in enumerate(experiment.planned):
        without = uncertainties(every, left_out=index)
        lessons.append(
            Lesson(
                run=planned.run,
                content=without.content / whole.content - 1.0,
                equivalence=without.equivalence / whole.equivalence - 1.0,
            )
        )
    return tuple(lessons)


def _place(experiment: Experiment, at: float) -> tuple[float, tuple[str, ...]]:
    runs = [
        run.run for run in experiment.planned if not (run.is_blank or experiment.is_sealed(run.run))
    ]
    ordered = sorted(zip(places_of(experiment), runs, strict=True), key=lambda pair: pair[0])
    first, last = float(ordered[0][0]), float(ordered[-1][0])
    place = (at - first) / (last - first) if last > first else math.inf
    below = [run for where, run in ordered if where <= at]
    above = [run for where, run in ordered if where > at]
    between = (below[-1], above[0]) if below and above else ()
    # Of a row in which the sample grows the larger portion has the smaller place.
    return place, between[::-1] if experiment.grows == "sample" else between
