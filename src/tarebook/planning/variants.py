"""What a better instrument buys, and what happens if something else changes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from tarebook.core.errors import TarebookError
from tarebook.core.phrase import Phrase
from tarebook.core.tables import reference_table
from tarebook.findings.instruments import called
from tarebook.measurement.instruments import balance, volume_instrument
from tarebook.measurement.volumes import VolumeInstrument, VolumeKind
from tarebook.measurement.weighing import Balance
from tarebook.planning.changes import (
    TWO_DIGITS,
    other_samples,
    row_of,
    samples_of,
    strongest_stock,
    with_balances,
    with_room,
    with_row,
    with_sample,
    with_stock,
    with_strength_u,
    with_ware,
)
from tarebook.planning.contents import ContentRange
from tarebook.planning.facts import facts
from tarebook.planning.information import expected_u
from tarebook.planning.remedies import balance_phrase, finer_balances
from tarebook.planning.rows import Best
from tarebook.series.experiment import Experiment

STRONGER, WEAKER = 1.25, 0.8
LARGER, SMALLER = 1.25, 0.8
WARMER = 6.0
"""Steps of the table, [1], [1] and [K]."""

MORE_RUNS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Upgrade:
    """What one better instrument would buy.

    Attributes
    ----------
    what : Phrase
        The instrument.
    replaces : str
        The one that it takes the place of.
    u : float
        Expected standard uncertainty of the wanted number with it.
    gain : float, [1]
        Relative fall of u: 0.1 is 10 % smaller.
    """

    what: Phrase
    replaces: str
    u: float
    gain: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """The row if one thing were different; the first one is the row as it is.

    Attributes
    ----------
    what : Phrase
        What is different.
    u_content : float, [g/g]
    u_equivalence : float, [L]
    equivalence : float, [L]
    place : float, [1]
        Of the equivalence point between first (0) and last run (1).
    lost : float, [g]
        Largest mass lost of the row.
    runs : int
    stock : float, [L]
        Stock that the row takes.
    sample : float, [g]
        Sample that the row takes.
    """

    what: Phrase
    u_content: float
    u_equivalence: float
    equivalence: float
    place: float
    lost: float
    runs: int
    stock: float
    sample: float


def upgrades(experiment: Experiment, contents: ContentRange, best: Best) -> tuple[Upgrade, ...]:
    """Return what the next better instruments of the tables would buy, the most useful first.

    Parameters
    ----------
    experiment : Experiment
    contents : ContentRange
    best : Best
    """
    now = _u(experiment, contents, best)
    found = []
    for what, replaces, changed in _better(experiment):
        u = _u(changed, contents, best)
        if u < now:
            found.append(Upgrade(what=what, replaces=replaces, u=u, gain=1.0 - u / now))
    return tuple(sorted(found, key=lambda upgrade: -upgrade.gain))


def _u(experiment: Experiment, contents: ContentRange, best: Best) -> float:
    row, sample = row_of(experiment), samples_of(experiment)
    u = expected_u(experiment, row, contents.scenarios, sample)
    return u.content if best is Best.CONTENT else u.equivalence


def _better(experiment: Experiment) -> Iterator[tuple[Phrase, str, Experiment]]:
    equipment = experiment.equipment
    for better in _better_ware(equipment.reagent):
        changed = with_ware(experiment, reagent=better)
        yield _ware(better, "reagent"), equipment.reagent.name, changed
    for better in _better_ware(equipment.diluent):
        changed = with_ware(experiment, diluent=better)
        yield _ware(better, "diluent"), equipment.diluent.name, changed
    own, main = equipment.sample_balance, equipment.balance
    same = own == main
    for finer in finer_balances(main):
        what = _balance(finer, "all" if same else "cups")
        yield what, main.name, with_balances(experiment, main=finer, own=finer if same else None)
        break
    for finer in finer_balances(own):
        yield _balance(finer, "sample"), own.name, with_balances(experiment, own=finer)
        break
    if experiment.reagent.concentration.u > 0:
        what = Phrase.of("upgrade-strength")
        yield what, experiment.reagent.name, with_strength_u(experiment, 0.5)


def _ware(better: VolumeInstrument, liquid: str) -> Phrase:
    return Phrase.of("upgrade-ware", ware=called(better), liquid=Phrase(f"liquid-{liquid}"))


def _balance(finer: Balance, weighs: str) -> Phrase:
    return Phrase.of("upgrade-balance", balance=balance_phrase(finer), weighs=weighs)


def _better_ware(now: VolumeInstrument) -> Iterator[VolumeInstrument]:
    """Yield the same piece in class A, and a burette."""
    size = now.capacity
    if now.kind is VolumeKind.BURETTE:
        options = [(VolumeKind.BURETTE, size)]
    else:
        burettes = (0.01, 0.025, 0.05, 0.1)
        fitting = next((b for b in burettes if b >= size * (1 - 1e-9)), burettes[-1])
        options = [(now.kind, size), (VolumeKind.BURETTE, fitting)]
    for kind, capacity in options:
        try:
            better = volume_instrument(kind, capacity, grade="A")
        except TarebookError:
            continue  # No standard lists this size: there is no class A of it.
        if better.tolerance_u + better.reading_u < (now.tolerance_u + now.reading_u) * (1 - 1e-9):
            yield better


def variants(experiment: Experiment, contents: ContentRange) -> tuple[Variant, ...]:
    """Return the row as it is and with one thing different; what the model cannot do is left out.

    Parameters
    ----------
    experiment : Experiment
    contents : ContentRange
    """
    found = []
    for what, changed in _different(experiment):
        try:
            found.append(_variant(what, changed, contents))
        except TarebookError:
            continue  # Beyond what the constants hold for; the table says nothing of it.
    return tuple(found)


def _different(experiment: Experiment) -> Iterator[tuple[Phrase, Experiment]]:
    yield Phrase.of("variant-as-planned"), experiment
    strength, mass = experiment.reagent.concentration.value, experiment.sample.nominal_mass
    for way, factor in (("stronger", STRONGER), ("weaker", WEAKER)):
        other = float(f"{factor * strength:.2g}")
        if other <= strongest_stock(experiment):
            what = Phrase.of("variant-stock", way=way, strength_mol_per_L=other)
            yield what, with_stock(experiment, other)
    near = other_samples(experiment, TWO_DIGITS)
    more = [other for other in near if other > mass * (1.0 + 1e-9)]
    less = [other for other in near if other < mass * (1.0 - 1e-9)]
    for way, factor, others in (("larger", LARGER, more), ("smaller", SMALLER, less)):
        if others:
            other = min(others, key=lambda m: abs(m - factor * mass))
            what = Phrase.of("variant-sample", way=way, sample_g=other)
            yield what, with_sample(experiment, other)
    yield from _other_balances(experiment)
    for way, shift in (("colder", -WARMER), ("warmer", WARMER)):
        what = Phrase.of("variant-room", way=way, by_K=WARMER)
        yield what, with_room(experiment, experiment.room.temperature + shift)
    row = row_of(experiment)
    denser = np.linspace(row.min(), row.max(), len(row) + MORE_RUNS)
    yield Phrase.of("variant-runs", more=MORE_RUNS), with_row(experiment, denser)


def _other_balances(experiment: Experiment) -> Iterator[tuple[Phrase, Experiment]]:
    equipment = experiment.equipment
    main = equipment.balance
    same = equipment.sample_balance == main
    steps = sorted(
        float(row["readability_g"])
        for row in reference_table("tarebook.measurement", "balances")["rows"]
    )
    coarser = [step for step in steps if step > main.readability * (1 + 1e-9)]
    others: list[tuple[str, Balance]] = []
    if coarser:
        others.append(("coarser", balance(coarser[0])))
    others += [("finer", finer) for finer in list(finer_balances(main))[:1]]
    for way, other in others:
        changed = with_balances(experiment, main=other, own=other if same else None)
        yield Phrase.of("variant-balance", way=way, step_g=other.readability), changed


def _variant(what: Phrase, experiment: Experiment, contents: ContentRange) -> Variant:
    row = row_of(experiment)
    sample = samples_of(experiment)
    u = expected_u(experiment, row, contents.scenarios, sample)
    known = facts(experiment, contents)
    return Variant(
        what=what,
        u_content=u.content,
        u_equivalence=u.equivalence,
        equivalence=known.at,
        place=known.place,
        lost=float(known.lost.max()),
        runs=len(row),
        stock=float(row.sum()),
        sample=float(sample.sum()),
    )
