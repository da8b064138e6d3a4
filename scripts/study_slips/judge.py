"""One series made, checked and judged."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scripts.study_slips.plant import OF_ALL, OF_ONE_RUN, plant
from scripts.study_slips.series import EXAMPLES, Planted, Slipped, drawn, experiment
from scripts.study_slips.size import (
    BY_KIND,
    WEIGHINGS,
    effect,
    number_is_telling,
    seen_clean,
    shows_in_gas_alone,
)
from scripts.study_slips.worlds import WORLDS

from tarebook.diagnosis.slips.check import check_slips
from tarebook.diagnosis.slips.kinds import NOT_TOLD_APART, PREFIX, SlipKind
from tarebook.findings.finding import Finding, Severity, most_severe_first
from tarebook.records.readings import Quantity, Reading, RunTable

LARGE = (5.0, float("inf"))
SMALL = (1.0, 5.0)
"""Effects of a planted slip, in the uncertainty of what it changes."""


@dataclass(frozen=True, slots=True)
class Asked:
    """Which series to make: the same again for the same seed and number."""

    world: str
    n_slips: int
    seed: int
    number: int
    sizes: tuple[float, float] = LARGE


@dataclass(frozen=True, slots=True)
class Outcome:
    """What the check made of one series.

    Attributes
    ----------
    kinds : tuple of SlipKind
        That were planted.
    effect : float
        Of the first one, in u.
    stops, looks : int
        Number of findings of each severity.
    named : str
        Code of the finding shown first, without its prefix; empty without any.
    found : bool
        Whether a finding names a run that carries the slip.
    all_named : bool
        Whether every slip has a finding that names one of its runs.
    blamed : bool
        Whether a finding names a run that carries none.
    run, reading, carrier : bool
        Whether the finding shown first names the runs of the slip and no other; and a reading in
        which it shows; and the very reading that carries it.
    weighing : bool
        As `reading`, all weighings being one where the slip shows in the gas alone.
    kind, alike : bool
        Whether run, reading and kind are right; or the kind is one that cannot be told from it.
    kind_tells, number_tells : bool
        Whether the kind can be told apart at all, and the number in this case too.
    """

    kinds: tuple[SlipKind, ...]
    effect: float
    stops: int
    looks: int
    named: str
    found: bool
    all_named: bool
    blamed: bool
    run: bool = False
    reading: bool = False
    carrier: bool = False
    weighing: bool = False
    kind: bool = False
    alike: bool = False
    kind_tells: bool = False
    number_tells: bool = False


def make(asked: Asked) -> tuple[Slipped, float]:
    """Return a simulated series with slips of random kinds, and the effect of the first."""
    world, n_slips = WORLDS[asked.world], asked.n_slips
    stream = np.random.SeedSequence([asked.seed, n_slips, asked.number])
    rng = np.random.Generator(np.random.SFC64(stream))
    of = experiment(EXAMPLES[asked.number % len(EXAMPLES)])
    kinds = OF_ALL if n_slips == 1 else OF_ONE_RUN
    low, high = asked.sizes
    while True:
        series = world.simulate(of, drawn(of, rng), rng)
        clean = table = series.table
        if not n_slips:
            return Slipped(of, clean, table, ()), 0.0
        weights = seen_clean(of, clean)
        planted: list[Planted] = []
        sizes: list[float] = []
        for _ in range(n_slips):
            done = plant(kinds[int(rng.integers(len(kinds)))], series, of, world, rng)
            if done is None or any(set(p.runs) & set(done[1].runs) for p in planted):
                break
            size = effect(weights, done[0])
            if not low <= size < high:
                break
            planted.append(done[1])
            sizes.append(size)
            table = _together(clean, table, done[0])
        if len(planted) == n_slips:
            return Slipped(of, clean, table, tuple(planted)), sizes[0]


def _together(clean: RunTable, one: RunTable, other: RunTable) -> RunTable:
    """Return readings with the changes that two tables make to the clean one."""

    def pick(a: Reading, b: Reading, c: Reading) -> Reading:
        return c if c.typed != a.typed else b

    readings = tuple(map(pick, clean.readings, one.readings, other.readings))
    return replace(one, readings=readings)


def judge(asked: Asked) -> Outcome:
    """Return what the check makes of one series, the findings in the order in which they are
    shown."""
    series, size = make(asked)
    found = [
        finding
        for finding in most_severe_first(check_slips(series.experiment, series.table))
        if finding.severity is not Severity.NOTE
    ]
    named = {run for finding in found for run in finding.all_runs}
    slipped = {run for planted in series.planted for run in planted.runs}
    outcome = Outcome(
        kinds=tuple(planted.kind for planted in series.planted),
        effect=size,
        stops=sum(finding.severity is Severity.STOP for finding in found),
        looks=sum(finding.severity is Severity.LOOK for finding in found),
        named=found[0].code.removeprefix(PREFIX) if found else "",
        found=bool(named & slipped),
        all_named=all(set(planted.runs) & named for planted in series.planted),
        blamed=bool(named - slipped),
    )
    if len(series.planted) != 1:
        return outcome
    return _with_first(outcome, series, found[0] if found else None)


def _with_first(outcome: Outcome, series: Slipped, first: Finding | None) -> Outcome:
    """Return an outcome with what the finding shown first says of the one slip."""
    (planted,) = series.planted
    weights = seen_clean(series.experiment, series.clean)
    outcome = replace(
        outcome,
        kind_tells=planted.kind not in BY_KIND,
        number_tells=planted.kind not in BY_KIND
        and number_is_telling(weights, series.table, planted),
    )
    if first is None or not set(first.all_runs) <= set(planted.runs):
        return outcome
    quantities = {quantity.value for quantity in planted.quantities}
    reading = first.reading in quantities
    weighing = reading or (
        first.reading != ""
        and Quantity(first.reading) in WEIGHINGS
        and shows_in_gas_alone(weights, series.table, planted)
    )
    kind = reading and first.code == PREFIX + planted.kind.value
    alike = {k for group in NOT_TOLD_APART if planted.kind in group for k in group}
    return replace(
        outcome,
        run=True,
        reading=reading,
        carrier=first.reading == planted.quantities[0].value,
        weighing=weighing,
        kind=kind,
        alike=kind or (weighing and outcome.named in {k.value for k in alike}),
    )
