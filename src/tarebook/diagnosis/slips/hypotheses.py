"""The hypotheses about one run: what may have been meant, or what may really be in the cup.

A hypothesis of known size gives the cup that would have been read without the slip. One of free
size gives a direction in which the cup may be off, and how large such slips are.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from typing import Final

import numpy as np

from tarebook.core.units import celsius, millilitres
from tarebook.diagnosis.slips.case import (
    Case,
    as_shown,
    decimals_of,
    same_as,
    step_of,
)
from tarebook.diagnosis.slips.cups import DILUENT, FINAL, LIQUID, REAGENT, SAMPLE, TARE
from tarebook.diagnosis.slips.kinds import OF_A_ROW, SlipKind
from tarebook.diagnosis.slips.numbers import meant_numbers
from tarebook.diagnosis.slips.odds import SlipOdds
from tarebook.measurement.instruments import is_readable
from tarebook.measurement.volumes import SINGLE_MARK, VolumeKind
from tarebook.records.instruments import reading_u, ware_of
from tarebook.records.readings import Quantity, Reading, memory_value
from tarebook.reduction.joint.problem import READ

LINES_OFF: Final = {1: 0.3, -1: 0.3, 10: 0.15, -10: 0.15, 5: 0.05, -5: 0.05}
"""Graduations by which a line is misread and how that is shared out: assumption."""

EDGE_STEPS: Final = range(3, 11)
"""Finest steps between the bottom of the meniscus and its edge: 1 to 3 mm of a cylinder."""

FARTHER_ROW: Final = 0.2
"""Chance of a mass copied from some other row over that from the row above: assumption."""

AWAY: Final = 3.0
"""Standard uncertainties of one reading by which a wrong one lies away from its repeats."""

LATE_MINUTES: Final = (60.0, 120.0, 240.0, 480.0, 1440.0)
SECOND_PORTION_U: Final = 0.02
"""Of a second portion that nobody weighed, relative."""


class Law(Enum):
    """How large a slip of free size is."""

    ANY = "any size, each decade as likely as another"
    LOST = "lost, the less the likelier"
    STILL_COMING = "gas still to come, the less the likelier"
    PART = "any part of it lost"
    REPLACED = "what was written says nothing of what was there"
    STRENGTH = "a factor on the strength"


@dataclass(frozen=True, slots=True, kw_only=True)
class Hypothesis:
    """One way in which this run may have gone wrong.

    Attributes
    ----------
    kind : SlipKind
    quantity : Quantity
        The reading in which it shows.
    rate : float, [1]
        Chance of this slip, made in this way, before the readings are seen.
    meant : str
        The number that would stand on the sheet; empty where none is proposed.
    written : str
        The one of several readings that it is about; empty where that is clear.
    cup : mapping of place in `READ` to float
        Readings as they would be of what is really in the cup; memory units.
    temperature, minutes : float or None
    sample_u : float or None, [g]
    habit : mapping of place in `READ` to float
        Readings that people meant, where they are not those on the sheet.
    law : Law or None
        For slips of free size; `free` is then the place in `READ` that is off.
    free : int
    """

    kind: SlipKind
    quantity: Quantity
    rate: float
    meant: str = ""
    written: str = ""
    cup: tuple[tuple[int, float], ...] = ()
    temperature: float | None = None
    minutes: float | None = None
    sample_u: float | None = None
    habit: tuple[tuple[int, float], ...] = ()
    law: Law | None = None
    free: int = -1


def hypotheses(case: Case) -> tuple[Hypothesis, ...]:
    """Return the hypotheses about a run that are compatible with what stands on its sheet."""
    return (
        *_digits(case),
        *_lines(case),
        *_repeated(case),
        *_of_any_size(case),
        *_liquids(case),
        *_tares(case),
        *_samples(case),
        *_last_weighing(case),
    )


def _digits(case: Case) -> Iterator[Hypothesis]:
    if Quantity.TEMPERATURE in case.typed:
        yield from _temperature(case, case.typed[Quantity.TEMPERATURE])
    for row, mean in case.values.items():
        quantity = READ[row]
        finest = step_of(case.experiment, row)
        for repeat, share in _may_be_wrong(case, row):
            for meant in meant_numbers(repeat.typed):
                value = memory_value(quantity, float(meant.text))
                if not bool(is_readable(np.asarray(value), finest)):
                    continue
                # The cup is judged by the mean of the repeats.
                put_right = mean + (value - repeat.value) * share
                yield Hypothesis(
                    kind=meant.kind,
                    quantity=quantity,
                    rate=case.odds.rate(meant.kind) * meant.chance,
                    meant=as_shown(meant.text, finest, quantity),
                    written=repeat.typed.strip(),
                    cup=((row, put_right),),
                    habit=((row, put_right),),
                )


def _may_be_wrong(case: Case, row: int) -> Iterator[tuple[Reading, float]]:
    """Yield each number of a cell whose digits may be wrong, and its share in the cell's mean.

    A number that was written down again is wrong again. Of numbers that differ one may be wrong if
    it lies away from the others: that two slips of the pen come to the same is out of the question.
    """
    repeats = case.table.written(case.run, READ[row])
    different = {reading.value: reading for reading in repeats}
    for value, reading in different.items():
        away = abs(value - float(np.median(list(different))))
        if len(different) == 1 or away > AWAY * float(
            reading_u(case.experiment, READ[row], np.array(value))
        ):
            yield reading, sum(r.value == value for r in repeats) / len(repeats)


def _temperature(case: Case, text: str) -> Iterator[Hypothesis]:
    """Yield degrees of another scale, for a temperature that no room has."""
    number = float(text)
    for meant in ((number - 32.0) / 1.8, celsius(number)):
        if 5.0 <= meant <= 40.0 and not 5.0 <= number <= 40.0:
            yield Hypothesis(
                kind=SlipKind.OTHER_UNIT,
                quantity=Quantity.TEMPERATURE,
                rate=case.odds.rate(SlipKind.OTHER_UNIT),
                meant=f"{meant:.1f}",
                temperature=memory_value(Quantity.TEMPERATURE, meant),
            )


def _lines(case: Case) -> Iterator[Hypothesis]:
    for row in (REAGENT, DILUENT):
        instrument = ware_of(case.experiment, READ[row])
        if row not in case.values or instrument.kind in SINGLE_MARK or not instrument.graduation:
            continue
        steps = {n * instrument.graduation: share for n, share in LINES_OFF.items()}
        yield from _moved(case, row, SlipKind.LINE_MISREAD, steps)
        if instrument.kind is VolumeKind.GRADUATED_CYLINDER:
            edge = {-n * instrument.finest_reading: 1.0 / len(EDGE_STEPS) for n in EDGE_STEPS}
            yield from _moved(case, row, SlipKind.MENISCUS_EDGE, edge)


def _moved(case: Case, row: int, kind: SlipKind, steps: dict[float, float]) -> Iterator[Hypothesis]:
    capacity = ware_of(case.experiment, READ[row]).capacity
    written = case.typed.get(READ[row], "")
    decimals = len(written.partition(".")[2])
    for step, share in steps.items():
        value = case.values[row] + step
        if not 0.0 < value <= max(capacity, case.values[row]) + 1e-9:
            continue
        yield Hypothesis(
            kind=kind,
            quantity=READ[row],
            rate=case.odds.rate(kind) * share,
            meant=f"{millilitres(value):.{max(decimals, 1)}f}",
            cup=((row, value),),
            habit=((row, value),),
        )


def _repeated(case: Case) -> Iterator[Hypothesis]:
    """Yield what may stand behind a number that is just the one asked for, or the one above."""
    planned = {run.run: run for run in case.experiment.planned}.get(case.run)
    targets = {SAMPLE: case.experiment.sample_asked(case.run)}
    if planned:
        targets |= {REAGENT: planned.reagent, DILUENT: planned.diluent}
    for row, value in case.values.items():
        quantity = READ[row]
        kinds = []
        if row in targets and abs(value - targets[row]) < 1e-9 and value > 0:
            kinds.append(SlipKind.TARGET_WRITTEN)
        # Nothing is the same in every cup into which nothing went.
        copied_from = same_as(case, quantity) if value != 0.0 else ""
        if copied_from:
            kinds.append(SlipKind.COPIED)
        for kind in kinds:
            share = 1.0
            if kind is SlipKind.COPIED and copied_from != case.run_before:
                share = FARTHER_ROW / (len(case.table.runs) - 1)
            yield Hypothesis(
                kind=kind,
                quantity=quantity,
                rate=case.odds.rate(kind) * share,
                law=Law.REPLACED,
                free=row,
            )


def _of_any_size(case: Case) -> Iterator[Hypothesis]:
    for row in case.values:
        kinds = [SlipKind.UNKNOWN]
        if row in (TARE, LIQUID, SAMPLE, FINAL):
            kinds.append(SlipKind.NOT_ZEROED)
        for kind in kinds:
            yield Hypothesis(
                kind=kind, quantity=READ[row], rate=case.odds.rate(kind), law=Law.ANY, free=row
            )


def _liquids(case: Case) -> Iterator[Hypothesis]:
    if REAGENT in case.values and DILUENT in case.values:
        reagent, diluent = case.values[REAGENT], case.values[DILUENT]
        exchanged = ((REAGENT, diluent), (DILUENT, reagent))
        for kind in (SlipKind.LIQUIDS_EXCHANGED, SlipKind.VOLUMES_EXCHANGED):
            on_sheet = kind is SlipKind.VOLUMES_EXCHANGED
            yield Hypothesis(
                kind=kind,
                quantity=Quantity.REAGENT,
                rate=case.odds.rate(kind),
                meant=case.typed.get(Quantity.DILUENT, "") if on_sheet else "",
                cup=exchanged,
                habit=exchanged if on_sheet else (),
            )
    if REAGENT in case.values:
        yield Hypothesis(
            kind=SlipKind.OTHER_STOCK,
            quantity=Quantity.REAGENT,
            rate=case.odds.rate(SlipKind.OTHER_STOCK),
            law=Law.STRENGTH,
            free=REAGENT,
        )


def _tares(case: Case) -> Iterator[Hypothesis]:
    if case.values.get(TARE, 0.0) == 0.0:
        return
    tare, kind = case.values[TARE], SlipKind.TARE_SUBTRACTED
    decimals = decimals_of(step_of(case.experiment, TARE))
    for rows in ((LIQUID,), (FINAL,), (LIQUID, FINAL)):
        if all(row in case.values for row in rows):
            yield Hypothesis(
                kind=kind,
                quantity=READ[rows[0]],
                rate=case.odds.rate(kind) / 3.0,
                meant=f"{case.values[rows[0]] + tare:.{decimals}f}",
                cup=tuple((row, case.values[row] + tare) for row in rows),
            )


def _samples(case: Case) -> Iterator[Hypothesis]:
    if SAMPLE not in case.values or FINAL not in case.values:
        return
    if case.experiment.sample_asked(case.run) == 0.0 == case.values[SAMPLE]:
        # Into a blank cup none was to go.
        return
    mass, nominal = case.values[SAMPLE], case.experiment.sample.nominal_mass
    second = SECOND_PORTION_U * nominal
    if mass <= 0.0:
        return
    for kind, inside, u in (
        (SlipKind.SAMPLE_MISSING, 0.0, None),
        (SlipKind.SAMPLE_TWICE, 2.0 * mass, second),
    ):
        yield Hypothesis(
            kind=kind,
            quantity=Quantity.SAMPLE,
            rate=case.odds.rate(kind),
            cup=((SAMPLE, inside),),
            sample_u=u,
        )
    yield Hypothesis(
        kind=SlipKind.SAMPLE_LOST,
        quantity=Quantity.SAMPLE,
        rate=case.odds.rate(SlipKind.SAMPLE_LOST),
        law=Law.PART,
        free=SAMPLE,
    )


def _last_weighing(case: Case) -> Iterator[Hypothesis]:
    if FINAL not in case.values:
        return
    for kind, law in (
        (SlipKind.LIQUID_LOST, Law.LOST),
        (SlipKind.WEIGHED_EARLY, Law.STILL_COMING),
    ):
        yield Hypothesis(
            kind=kind, quantity=Quantity.FINAL, rate=case.odds.rate(kind), law=law, free=FINAL
        )
    kind = SlipKind.WEIGHED_LATE
    written = case.typed.get(Quantity.MINUTES, "")
    minutes = float(written) if written else case.experiment.procedure.minutes
    later = [m for m in LATE_MINUTES if m > 2.0 * minutes]
    for late in later:
        yield Hypothesis(
            kind=kind,
            quantity=Quantity.FINAL,
            rate=case.odds.rate(kind) / len(later),
            minutes=late,
        )


def log_rate_of_none(odds: SlipOdds) -> float:
    """Return the logarithm of the chance that nothing went wrong with a run."""
    per_run = sum(
        rate
        for kind, rate in odds.rates.items()
        if kind not in OF_A_ROW | {SlipKind.RUNS_EXCHANGED, SlipKind.COLUMN_SHIFTED}
    )
    return math.log1p(-min(per_run, 0.5))
