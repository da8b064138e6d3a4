"""Judge a planned row: the equivalence point must fall inside, everything be weighed and held.

Each rule is a function of the facts about a row and yields findings. `faults` runs them all;
`tarebook.planning.remedies` then looks for the amounts with which they fall silent.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from tarebook.findings.finding import Finding, most_severe_first
from tarebook.planning import rules_bench, rules_row
from tarebook.planning.changes import places_of
from tarebook.planning.contents import ContentRange
from tarebook.planning.facts import Facts, facts
from tarebook.planning.span import ON_EACH_SIDE, equivalence_range
from tarebook.series.experiment import Experiment


def faults(experiment: Experiment, contents: ContentRange) -> tuple[Finding, ...]:
    """Return everything that is wrong or odd with a planned row, the most severe first."""
    known = facts(experiment, contents)
    return most_severe_first(finding for rule in RULES for finding in rule(known))


def placement_is_good(experiment: Experiment, contents: ContentRange) -> bool:
    """Return whether the row spans the equivalence point for every content planned for."""
    low, high = equivalence_range(experiment, contents)
    row = places_of(experiment)
    sides = min(ON_EACH_SIDE, len(row) // 2)
    return bool(np.count_nonzero(row < low) >= sides and np.count_nonzero(row > high) >= sides)


Rule = Callable[[Facts], Iterator[Finding]]

RULES: tuple[Rule, ...] = (
    rules_row.chemistry_unknown,
    rules_row.too_few_runs,
    rules_row.changeover_outside,
    rules_row.changeover_near_edge,
    rules_bench.sample_on_balance,
    rules_bench.loss_on_balance,
    rules_bench.water_rivals_gas,
    rules_bench.vessel_room,
    rules_bench.dissolves,
    rules_row.volumes_readable,
    rules_bench.balance_holds,
    rules_row.strength_sure,
    rules_row.nothing_claimed,
    rules_row.acid_of_the_sample,
)
