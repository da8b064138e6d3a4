"""Checks of single readings: missing, impossible, not readable, in another unit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from tarebook.core.arrays import BoolArray
from tarebook.core.units import celsius, millilitres
from tarebook.diagnosis.findings import Finding, Severity
from tarebook.diagnosis.losses import Lost, MostLost, losses, most_lost
from tarebook.diagnosis.parts import check_parts, missing_part
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


def shown(reading: Reading) -> str:
    """Return a reading as it was typed, with its unit."""
    return f"{reading.typed} {reading.quantity.unit}"


def _planned(experiment: Experiment, table: RunTable) -> Iterator[Finding]:
    planned = [run.run for run in experiment.planned]
    for run in planned:
        if run not in table.runs:
            yield Finding(
                code="run-missing",
                severity=Severity.LOOK,
                run=run,
                message=f"Run {run} is planned but has no readings.",
                do="Do the run while the bench is set up, or take it out of the plan.",
            )
    for run in table.runs:
        if run not in planned:
            yield Finding(
                code="run-not-planned",
                severity=Severity.NOTE,
                run=run,
                message=f"Run {run} has readings but is not in the plan.",
                do="Nothing, if it was added at the bench; else check the run's name.",
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
                    message=f"Run {run}: {part.words} was not read.",
                    do="Read it now if the cup still stands there; leave it blank if not.",
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
                message=f"Run {reading.run}: {quantity.words} is {shown(reading)}, which "
                "cannot be.",
                do="Look at the sheet again: a sign or a digit is wrong.",
                evidence={quantity.value: reading.typed},
            )
        elif quantity in VOLUMES and reading.value > experiment.vessel.capacity * (1 + SLACK):
            capacity = millilitres(experiment.vessel.capacity)
            yield Finding(
                code="reading-impossible",
                severity=Severity.STOP,
                run=reading.run,
                reading=quantity.value,
                message=f"Run {reading.run}: {quantity.words} is {shown(reading)}, more than the "
                f"whole {experiment.vessel.name} holds ({capacity:g} mL).",
                do="Look at the sheet again: a digit or the decimal point is wrong. Or correct "
                "capacity_mL in the table [vessel] of the definition.",
                evidence={quantity.value: reading.typed, "capacity_mL": capacity},
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
            message=f"Run {run}: the vessel with liquid is not heavier than the empty vessel.",
            do="Weigh the vessel again; was the balance set to zero with the vessel on it?",
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
            message=f"Run {run}: the vessel weighs {-lost:.3g} g more at the end than all that "
            "went into it.",
            do="Weigh it again; a digit may be wrong, or it is another run's vessel.",
            evidence={"gained_g": -lost, "u_g": u},
        )
    elif most is not None and lost > most.could_leave + CLEARLY * u:
        yield Finding(
            code="lost-more-than-sample",
            severity=Severity.STOP,
            run=run,
            reading=Quantity.FINAL.value,
            message=f"Run {run}: {lost:.3g} g were lost, more than the whole sample of "
            f"{most.sample:g} g and than all the gas and water that could leave "
            f"({most.gas + most.water:.2g} g).",
            do="Was anything spilt? Weigh again and check the digits of all four masses.",
            evidence={"lost_g": lost, "sample_g": most.sample, "could_leave_g": most.could_leave},
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
            other = (
                {True: "milligrams", False: "microlitres"}
                if ratio > 1
                else {
                    True: "kilograms",
                    False: "litres",
                }
            )
            yield Finding(
                code="unit-mixed-up",
                severity=Severity.STOP,
                run=reading.run,
                reading=reading.quantity.value,
                message=f"Run {reading.run}: {reading.quantity.words} is {shown(reading)}, a "
                f"thousandfold off what was asked for.",
                do=f"Was it read in {other[reading.quantity.is_mass]}? Write it in "
                f"{reading.quantity.unit}.",
                evidence={reading.quantity.value: reading.typed, "ratio": ratio},
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
    guess = ""
    if low <= (value - 32.0) / 1.8 <= high:
        guess = f"Was it in °F? That would be {(value - 32.0) / 1.8:.1f} °C. "
    elif low <= celsius(value) <= high:
        guess = f"Was it in K? That would be {celsius(value):.1f} °C. "
    yield Finding(
        code="unit-mixed-up" if guess else "temperature-odd",
        severity=Severity.STOP if guess else Severity.LOOK,
        run=reading.run,
        reading=reading.quantity.value,
        message=f"Run {reading.run}: {shown(reading)} is no room temperature.",
        do=f"{guess}Write it in °C.",
        evidence={reading.quantity.value: reading.typed},
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
                message=f"Run {reading.run}: {shown(reading)} cannot be read on the {name}, whose "
                f"finest step is {step:g} {reading.quantity.unit}.",
                do="Write what was seen, no finer; or correct the instrument in the definition.",
                evidence={reading.quantity.value: reading.typed, "finest_step": step},
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
                message=f"Run {reading.run}: {reading.quantity.words} was read {reading.times} "
                f"times; the middle one, {shown(reading)}, stands for all.",
                do="Nothing, if it really was read so often; else withdraw what is no reading.",
                evidence={"times": reading.times, reading.quantity.value: reading.typed},
            )


def _finest(experiment: Experiment, reading: Reading) -> tuple[str, float]:
    """Return the instrument of a reading and the finest step that is read on it.

    On a graduated scale people interpolate to a tenth of a graduation (common practice, no source);
    ware with one mark delivers whole fillings.
    """
    if reading.origin is not Origin.READ:
        return "", 0.0
    if reading.quantity.is_volume:
        ware = ware_of(experiment, reading.quantity)
        return ware.name, ware.capacity if ware.kind in SINGLE_MARK else ware.finest_reading
    if reading.quantity.is_mass:
        balance = balance_of(experiment, reading.quantity)
        return balance.name, balance.finest_reading
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
            message=f"Run {reading.run}: {shown(reading)} is more than the {instrument.name} holds "
            f"({capacity:g} mL).",
            do="If it was poured in several fillings, write them with + between them, as in "
            "20 + 15: each is read anew and leaves liquid behind. If not, check the digits.",
            evidence={reading.quantity.value: reading.typed, "capacity_mL": capacity},
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
            message=f"Run {reading.run}: {shown(reading)} is more than the {balance.name} can show "
            f"({balance.capacity:g} g).",
            do="Look at the sheet again: a digit or the decimal point is wrong. Or correct "
            "capacity_g in the definition.",
            evidence={reading.quantity.value: reading.typed, "capacity_g": balance.capacity},
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
