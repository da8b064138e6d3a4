"""Does the placement gain what the plan says? Simulated series, fitted blind; writes a page.

Run it from the top of the repository: python scripts/study_placement.py

For each example three rows are simulated with the same truths: equal steps, the placement that the
plan proposes for the content, and the one it proposes for the equivalence point. The same seed
gives the same page.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.units import millilitres
from tarebook.model.effects import ALL_EFFECTS
from tarebook.model.equivalence import equivalence_reading
from tarebook.model.parameters import NAMES, Parameters
from tarebook.model.priors import PHYSICAL, drawn_parameters
from tarebook.model.simulate import simulate
from tarebook.planning.changes import with_row
from tarebook.planning.contents import content_range
from tarebook.planning.plan import Plan, make_plan
from tarebook.planning.rows import Best, best_row, described
from tarebook.planning.wishes import Wishes
from tarebook.reduction.joint.determined import OpenContentError, require_content
from tarebook.reduction.joint.problem import joint_problem, parameters_of
from tarebook.reduction.joint.solution import NoFitError
from tarebook.reduction.joint.solve import solve
from tarebook.reduction.joint.trial import CONTENT
from tarebook.report.plan_words import row_words
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

TOP = Path(__file__).parents[1]
PAGE = TOP / "docs" / "studies" / "placement.md"
EXAMPLES = ("clean-pool-granules", "messy-pool-granules", "weak-acid-foot-bath")

SEED, SERIES = 20, 2000
AGREES = 3.0
"""A realised ratio within three of its standard errors of the stated one counts as agreement."""

MOST_U = 8.0
"""A fit that is off by more of the stated u has found something else than the truth."""

MOST_WITHOUT = 0.005
"""Part of the fits that may state no content."""

DRAWS = 40
"""Truths drawn to find one that is possible: three of four are."""

BLOCK = 25
"""Series that one worker makes at a time."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """One row of one example.

    Attributes
    ----------
    name, words : str
    stated : tuple of float
        u of content and equivalence that the plan states, [g/g] and [L].
    errors : ndarray, shape (n, 2)
        Of the blind fits, nan where a fit did not settle or the readings left the content open.
    inside : bool
        Whether the equivalence point lies inside the row.
    """

    name: str
    words: str
    stated: tuple[float, float]
    errors: FloatArray
    inside: bool

    @property
    def is_far_off(self) -> bool:
        """Whether a fit that states a content is off by more than any uncertainty would have it."""
        return bool(np.nanmax(np.abs(self.errors) / np.array(self.stated)) > MOST_U)

    @property
    def is_mute(self) -> bool:
        """Whether more fits state no content than chance explains."""
        return bool(np.isnan(self.errors[:, 0]).mean() > MOST_WITHOUT)


def definition(example: str) -> Experiment:
    """Return the experiment of an example folder."""
    text = (TOP / "examples" / example / "experiment.toml").read_text(encoding="utf-8")
    return parse_definition(text)


def planned(experiment: Experiment, seed: int) -> tuple[Plan, dict[str, FloatArray]]:
    """Return the plan of an example and the rows that are to be simulated."""
    rng = np.random.Generator(np.random.SFC64(seed))
    plan = make_plan(experiment, Wishes(), rng)
    contents, n = content_range(experiment), len(experiment.planned)
    rows = {}
    for name, words in (("equal steps", "equal steps"), ("best", "best for the content")):
        row = plan.row(name)
        if row is None:
            raise SystemExit(f"{experiment.title}: the plan has no row {name}")
        rows[words] = np.array(row.reagent)
    other = best_row(experiment, n, contents, Best.EQUIVALENCE, rng)
    if other is None:
        raise SystemExit(f"{experiment.title}: no row for the equivalence point")
    rows["best for the equivalence point"] = other
    return plan, rows


def truth(experiment: Experiment, rng: np.random.Generator) -> Parameters:
    """Return the truth of one series: drawn from all that is not known beforehand.

    Of several draws the first is taken that lies inside what is possible. A draw that would have
    had to be cut off there (liquid that stays behind, to nothing at all) is none that the plan
    speaks of: the fit keeps to the same ends and is then better than any linear u can say.
    """
    contents = content_range(experiment)
    drawn = drawn_parameters(experiment, rng, DRAWS)
    inside = np.ones(DRAWS, dtype=np.bool_)
    for name, (low, high) in PHYSICAL.items():
        values = np.ravel(getattr(drawn, name))
        inside &= (values > low) & (values < high)
    first = int(np.argmax(inside))
    content = np.array(rng.uniform(contents.low, contents.high))
    flat = {name: np.array(float(np.ravel(getattr(drawn, name))[first])) for name in NAMES}
    return Parameters(**{**flat, "content": content})


def errors(
    example: str, reagent: Sequence[float], seed: int, numbers: Sequence[int]
) -> list[tuple[float, float]]:
    """Return the errors of content and equivalence of some series of one row, fitted blind."""
    experiment = with_row(definition(example), np.array(reagent))
    found = []
    place = EXAMPLES.index(example)
    for number in numbers:
        # One stream a series, whatever the row: the rows meet the same truth and the same hands.
        rng = np.random.Generator(np.random.SFC64([seed, place, number]))
        true = truth(experiment, rng)
        table = simulate(experiment, true, rng).table
        try:
            problem = joint_problem(experiment, table, table.runs, ALL_EFFECTS)
            fitted = solve(problem)
            require_content(fitted)
        except (NoFitError, OpenContentError):
            found.append((np.nan, np.nan))
            continue
        at = equivalence_reading(experiment, parameters_of(fitted.unknowns[None, :]))
        off = float(np.ravel(at)[0]) - float(equivalence_reading(experiment, true))
        found.append((float(fitted.unknowns[CONTENT]) - float(true.content), off))
    return found


def study(example: str, seed: int, series: int, workers: int) -> tuple[Plan, list[Outcome]]:
    """Simulate and fit all rows of one example."""
    experiment = definition(example)
    contents = content_range(experiment)
    plan, rows = planned(experiment, seed)
    blocks = [range(i, min(i + BLOCK, series)) for i in range(0, series, BLOCK)]
    outcomes = []
    for name, row in rows.items():
        one: Callable[[Sequence[int]], list[tuple[float, float]]] = partial(
            errors, example, row.tolist(), seed
        )
        with ProcessPoolExecutor(workers) as pool:
            found = [pair for block in pool.map(one, blocks) for pair in block]
        stated = described(experiment, name, row, contents)
        at = plan.expected.equivalence.value
        outcomes.append(
            Outcome(
                name=name,
                words=row_words(row.tolist()),
                stated=(stated.u_content, stated.u_equivalence),
                errors=np.array(found),
                inside=bool(row.min() < at < row.max()),
            )
        )
    return plan, outcomes


def ratio(better: Outcome, plain: Outcome, which: int) -> tuple[float, float, float]:
    """Return the stated ratio of u, the realised one of RMS errors, and its standard error.

    The two rows met the same draws, so their errors go together; the standard error is that of
    the mean of paired differences of squares, each over its own mean.
    """
    pairs = np.stack([better.errors[:, which], plain.errors[:, which]])
    pairs = pairs[:, np.isfinite(pairs).all(axis=0)]
    squares = pairs**2
    means = squares.mean(axis=1)
    realised = float(np.sqrt(means[0] / means[1]))
    apart = squares[0] / means[0] - squares[1] / means[1]
    error = 0.5 * realised * float(apart.std(ddof=1)) / float(np.sqrt(len(apart)))
    return better.stated[which] / plain.stated[which], realised, error


def page(found: dict[str, tuple[Plan, list[Outcome]]], seed: int, series: int) -> str:
    """Return the page."""
    first, second = [], []
    for example, (_, outcomes) in found.items():
        plain = outcomes[0]
        for outcome in outcomes:
            rms = np.sqrt(np.nanmean(outcome.errors**2, axis=0))
            settled = int(np.isfinite(outcome.errors[:, 0]).sum())
            first.append(
                f"| {example} | {outcome.name} | {outcome.words} | "
                f"{'yes' if outcome.inside else 'NO'} | {settled} | "
                f"{100 * outcome.stated[0]:.3f} | {100 * rms[0]:.3f} | "
                f"{millilitres(outcome.stated[1]):.4f} | {millilitres(float(rms[1])):.4f} |"
            )
        for outcome, which, words in (
            (outcomes[1], 0, "content"),
            (outcomes[2], 1, "equivalence point"),
        ):
            stated, realised, error = ratio(outcome, plain, which)
            second.append(
                f"| {example} | {words} | {100 * (1 - stated):.1f} | "
                f"{100 * (1 - realised):.1f} ± {100 * error:.1f} | "
                f"{(realised - stated) / error:+.1f} |"
            )
    return TEXT.format(seed=seed, series=series, first="\n".join(first), second="\n".join(second))


TEXT = """# Does the placement gain what the plan says?

Made by scripts/study_placement.py, seed {seed}, {series} series of each row; the same seed gives
the same page. All readings are simulated.

`tarebook plan` states by how much its best placement makes the standard uncertainty smaller than a
row of equal steps with as many runs. Here the statement is put to the test. For each example,
truths are drawn from all that is not known beforehand: the content evenly over the range that the
plan is made for, everything else from its prior as far as it is possible. With each truth three
rows are simulated, every error of every instrument drawn, pours missing their targets and readings
rounded as instruments round: equal steps, the placement proposed for the content, and that proposed
for the equivalence point. Each series is fitted by the joint fit, which sees the readings and
nothing else.

## Stated uncertainty and realised error

*u* is what the plan states (root mean square over the contents planned for), *RMS* the root mean
square of the errors that the fits really made: of the content in per cent (g in 100 g), of the
equivalence point (eq.) in mL. *inside* says whether the equivalence point lies inside the row,
*fits* how many of the fits state a content. One that does not settle is left out, and so is a
series whose readings leave the content open, as where far more liquid stays behind than usual and
the reagent limits in every cup: there nobody is told a content either. A vessel filled from one
measuring vessel alone makes no trouble: of nothing poured nothing stays behind, and nobody
misreads it.

| example | row | reagent, mL | inside | fits | content u | RMS | eq. u | RMS |
| --- | --- | --- | --- | --: | --: | --: | --: | --: |
{first}

## Stated and realised gain over equal steps

The rows met the same truths and the same draws of the instruments' errors, so much of their error
is common and the ratio is known better than either; its standard error is given. The first two
examples have one definition; they met truths of their own. The last column is the difference over
that standard error.

| example | of | stated gain, % | realised gain, % | difference / se |
| --- | --- | --: | --: | --: |
{second}
"""


def main() -> int:
    """Run the study and write the page; 1 if a stated gain is not confirmed."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--series", type=int, default=SERIES, help="of each row")
    arguments.add_argument("--seed", type=int, default=SEED)
    arguments.add_argument("--workers", type=int, default=2)
    given = arguments.parse_args()
    found = {e: study(e, given.seed, given.series, given.workers) for e in EXAMPLES}
    PAGE.parent.mkdir(parents=True, exist_ok=True)
    PAGE.write_text(page(found, given.seed, given.series), encoding="utf-8")
    wrong = []
    for example, (_, outcomes) in found.items():
        wrong += [
            f"{example}: {o.name} misses the equivalence point" for o in outcomes if not o.inside
        ]
        wrong += [f"{example}: {o.name} is far off" for o in outcomes if o.is_far_off]
        wrong += [f"{example}: {o.name} often says nothing" for o in outcomes if o.is_mute]
        for outcome, which in ((outcomes[1], 0), (outcomes[2], 1)):
            stated, realised, error = ratio(outcome, outcomes[0], which)
            if abs(realised - stated) > AGREES * error:
                wrong.append(f"{example}, {outcome.name}: {realised:.3f} is not {stated:.3f}")
    print("\n".join(wrong) or f"All stated gains confirmed; {PAGE.relative_to(TOP)} written.")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
