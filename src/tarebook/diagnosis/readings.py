"""Checks of single readings: missing, impossible, not readable, in another unit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from tarebook.core.arrays import BoolArray
from tarebook.core.phrase import Phrase, Value
from tarebook.core.units import celsius, millilitres
from tarebook.diagnosis.losses import Lost, MostLost, losses, most_lost
from tarebook.diagnosis.parts import check_parts, missing_part
from tarebook.findings.finding import Finding, Severity
from tarebook.findings.instruments import called
from tarebook.measurement.instruments import is_readable
from tarebook.measurement.volumes import SINGLE_MARK
from tarebook.records.instruments import balance_of, ware_of
from tarebook.records.pours import fillings
from tarebook.records.readings import (
    NEEDED,
    VOLUMES,
    Origin,
    Quantity,
    Reading,
    RunTable,
)
from tarebook.series.experiment import Experiment

ROOM_SPAN = (5.0, 40.0)
"""Temperatures of a teaching laboratory in degC; outside it another unit is likely."""

SLACK = 1e-9
"""Part of a capacity that float noise may make of nothing."""

CLEARLY = 4.0
"""Multiples of the standard uncertainty of a difference of weighings beyond which it is no chance:
one good cup in 30 000 on either side."""

THOUSAND_FOLD = (300.0, 3000.0)
"""A ratio to what was asked for within this span, up or down, looks like a thousandfold unit."""


def check_readings(experiment: Experiment, table: RunTable) -> tuple[Finding, ...]:
    """Return what is odd about single readings.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable

    Returns
    -------
    tuple of Finding
        In the order of the sheet.
    """
    return tuple(finding for check in _CHECKS for finding in check(experiment, table))


def _planned(experiment: Experiment, table: RunTable) -> Iterator[Finding]:
    planned = [run.run for run in experiment.planned]
    for run in planned:
        if run not in table.runs:
            yield Finding(
                code="run-missing",
                severity=Severity.LOOK,
                run=run,
            )
    for run in table.runs:
        if run not in planned:
            yield Finding(
                code="run-not-planned",
                severity=Severity.NOTE,
                run=run,
            )


def _missing(experiment: Experiment, table: RunTable) -> Iterator[Finding]:
    for run in table.runs:
        for quantity in NEEDED:
            if not table.of(run, quantity):
                part = missing_part(experiment, table, run, quantity)
                yield Finding(
                    code="reading-missing",
                    severity=Severity.LOOK,
                    run=run,
                    reading=part.value,
                )


def _impossible(experiment: Experiment, table: RunTable) -> Iterator[Finding]:
    for reading in table.readings:
        quantity = reading.quantity
        # The balance may have been set to zero with this vessel on it: the liquid's mass tells.
        may_be_zero = not quantity.is_mass or (
            experiment.sample_asked(reading.run) == 0.0
            if quantity is Quantity.SAMPLE
            else quantity is Quantity.TARE
        )
        too_low = reading.value < 0 or (reading.value == 0 and not may_be_zero)
        if quantity is not Quantity.TEMPERATURE and too_low:
            yield Finding(
                code="reading-impossible",
                severity=Severity.STOP,
                run=reading.run,
                reading=quantity.value,
                evidence={quantity.value: reading.typed},
                values={"why": "too-low", "typed": reading.typed},
            )
        elif quantity in VOLUMES and reading.value > experiment.vessel.capacity * (1 + SLACK):
            capacity = millilitres(experiment.vessel.capacity)
            yield Finding(
                code="reading-impossible",
                severity=Severity.STOP,
                run=reading.run,
                reading=quantity.value,
                evidence={quantity.value: reading.typed, "capacity_mL": capacity},
                values={
                    "why": "too-much",
                    "typed": reading.typed,
                    "vessel": experiment.vessel.name,
                },
            )
    # Of a closed vessel `tarebook.diagnosis.sealed` says more than this.
    found = losses(experiment, table)
    lost = {run: one for run, one in found.items() if not experiment.is_sealed(run)}
    # Less than the whole sample may leave; only beyond that it matters how much water could.
    much = {run: one for run, one in lost.items() if one.lost > one.sample + CLEARLY * one.u}
    most = most_lost(experiment, table, much)
    for run in table.runs:
        yield from _impossible_pair(table, run, lost.get(run), most.get(run))


def _impossible_pair(
    table: RunTable, run: str, found: Lost | None, most: MostLost | None
) -> Iterator[Finding]:
    tare, liquid = table.mean_of(run, Quantity.TARE), table.mean_of(run, Quantity.LIQUID)
    if tare is not None and liquid is not None and liquid <= tare:
        yield Finding(
            code="liquid-below-tare",
            severity=Severity.STOP,
            run=run,
            reading=Quantity.LIQUID.value,
            evidence={"tare_g": tare, "vessel_liquid_g": liquid},
        )
    if found is None:
        return
    lost, u = found.lost, found.u
    if lost < -CLEARLY * u:
        yield Finding(
            code="final-above-start",
            severity=Severity.STOP,
            run=run,
            reading=Quantity.FINAL.value,
            evidence={"gained_g": -lost, "u_g": u},
        )
    elif most is not None and lost > most.could_leave + CLEARLY * u:
        yield Finding(
            code="lost-more-than-sample",
            severity=Severity.STOP,
            run=run,
            reading=Quantity.FINAL.value,
            evidence={"lost_g": lost, "sample_g": most.sample, "could_leave_g": most.could_leave},
            values={"left_g": most.gas + most.water},
        )


def _unit(experiment: Experiment, table: RunTable) -> Iterator[Finding]:
    for reading in table.readings:
        if reading.quantity is Quantity.TEMPERATURE:
            yield from _temperature_unit(reading)
            continue
        asked = _asked(experiment, reading)
        if not asked or not reading.value > 0:
            continue
        ratio = reading.value / asked
        low, high = THOUSAND_FOLD
        if low <= ratio <= high or low <= 1.0 / ratio <= high:
            yield Finding(
                code="unit-mixed-up",
                severity=Severity.STOP,
                run=reading.run,
                reading=reading.quantity.value,
                evidence={reading.quantity.value: reading.typed, "ratio": ratio},
                values={
                    "typed": reading.typed,
                    "was": "smaller" if ratio > 1 else "larger",
                    "kind": "mass" if reading.quantity.is_mass else "volume",
                },
            )


def _asked(experiment: Experiment, reading: Reading) -> float:
    """Return what the plan asks for, in the memory unit; 0 where it asks for nothing."""
    if reading.quantity is Quantity.SAMPLE:
        return experiment.sample_asked(reading.run)
    for run in experiment.planned:
        if run.run == reading.run and reading.quantity is Quantity.REAGENT:
            return run.reagent
        if run.run == reading.run and reading.quantity is Quantity.DILUENT:
            return run.diluent
    return 0.0


def _temperature_unit(reading: Reading) -> Iterator[Finding]:
    value = celsius(reading.value)
    low, high = ROOM_SPAN
    if low <= value <= high:
        return
    guess: dict[str, Value] = {}
    if low <= (value - 32.0) / 1.8 <= high:
        guess = {"kind": "temperature", "was": "fahrenheit", "would_be_C": (value - 32.0) / 1.8}
    elif low <= celsius(value) <= high:
        guess = {"kind": "temperature", "was": "kelvin", "would_be_C": celsius(value)}
    yield Finding(
        code="unit-mixed-up" if guess else "temperature-odd",
        severity=Severity.STOP if guess else Severity.LOOK,
        run=reading.run,
        reading=reading.quantity.value,
        evidence={reading.quantity.value: reading.typed},
        values={"typed": reading.typed, **guess},
    )


def _unreadable(experiment: Experiment, table: RunTable) -> Iterator[Finding]:
    scales = [_finest(experiment, reading) for reading in table.readings]
    readable = _readable(table.readings, [finest for _, finest in scales])
    for reading, (name, finest), is_so in zip(table.readings, scales, readable, strict=True):
        if not is_so:
            step = millilitres(finest) if reading.quantity.unit == "mL" else finest
            yield Finding(
                code="not-readable",
                severity=Severity.LOOK,
                run=reading.run,
                reading=reading.quantity.value,
                evidence={reading.quantity.value: reading.typed, "finest_step": step},
                values={"typed": reading.typed, "instrument": name},
            )


def _readable(readings: Sequence[Reading], finest: Sequence[float]) -> BoolArray:
    """Return which readings their instruments can show, each filling of them; all at once."""
    fillings = [reading.fillings for reading in readings]
    of_reading = np.repeat(np.arange(len(readings)), [len(each) for each in fillings])
    parts = np.array([part for each in fillings for part in each])
    shows = is_readable(parts, np.array(finest)[of_reading])
    hidden = np.bincount(of_reading, weights=~shows, minlength=len(readings))
    readable: BoolArray = hidden == 0.0
    return readable


def _read_often(_experiment: Experiment, table: RunTable) -> Iterator[Finding]:
    for reading in table.readings:
        if reading.times > 1:
            yield Finding(
                code="read-often",
                severity=Severity.NOTE,
                run=reading.run,
                reading=reading.quantity.value,
                evidence={"times": reading.times, reading.quantity.value: reading.typed},
                values={"typed": reading.typed},
            )


def _finest(experiment: Experiment, reading: Reading) -> tuple[Phrase | str, float]:
    """Return the instrument of a reading and the finest step that is read on it.

    On a graduated scale people interpolate to a tenth of a graduation (common practice, no source);
    ware with one mark delivers whole fillings.
    """
    if reading.origin is not Origin.READ:
        return "", 0.0
    if reading.quantity.is_volume:
        ware = ware_of(experiment, reading.quantity)
        return called(ware), ware.capacity if ware.kind in SINGLE_MARK else ware.finest_reading
    if reading.quantity.is_mass:
        balance = balance_of(experiment, reading.quantity)
        return called(balance), balance.finest_reading
    return "", 0.0


def _overfull(experiment: Experiment, table: RunTable) -> Iterator[Finding]:
    for reading in table.readings:
        if not reading.quantity.is_volume:
            yield from _too_heavy(experiment, reading)
            continue
        instrument = ware_of(experiment, reading.quantity)
        fullest = max(_each_filling(experiment, reading), default=0.0)
        if instrument.kind in SINGLE_MARK or fullest <= instrument.capacity * (1 + SLACK):
            continue
        capacity = millilitres(instrument.capacity)
        yield Finding(
            code="above-capacity",
            severity=Severity.NOTE,
            run=reading.run,
            reading=reading.quantity.value,
            evidence={reading.quantity.value: reading.typed, "capacity_mL": capacity},
            values={"typed": reading.typed, "instrument": called(instrument), "capacity": "ware"},
        )


def _each_filling(experiment: Experiment, reading: Reading) -> tuple[float, ...]:
    """Return the fillings of a pour, also those that the plan needs and nobody wrote apart."""
    if reading.quantity not in VOLUMES:
        return reading.fillings
    return fillings(experiment, reading.run, reading.quantity, reading.value, reading)


def _too_heavy(experiment: Experiment, reading: Reading) -> Iterator[Finding]:
    """Yield a finding for a vessel heavier than its balance can show."""
    balance = experiment.equipment.balance
    of_vessel = reading.quantity in (Quantity.TARE, Quantity.LIQUID, Quantity.FINAL)
    if of_vessel and reading.value > balance.capacity:
        yield Finding(
            code="above-capacity",
            severity=Severity.STOP,
            run=reading.run,
            reading=reading.quantity.value,
            evidence={reading.quantity.value: reading.typed, "capacity_g": balance.capacity},
            values={"typed": reading.typed, "instrument": called(balance), "capacity": "balance"},
        )


_CHECKS = (
    _planned,
    _missing,
    _impossible,
    _unit,
    _unreadable,
    _overfull,
    check_parts,
    _read_often,
)
