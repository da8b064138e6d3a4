"""Can sizes of a definition stand beside one another? Portions, pours, ware, balances, cups.

What a single key may hold stands in `tarebook.series.schema`. Here two of them contradict each
other, as they do where one is in another unit or has its decimal point elsewhere. All bounds are
our own and far outside of what a laboratory has.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import Final

from tarebook.core.errors import Fault
from tarebook.series import schema
from tarebook.series.other_units import unit_of, was_it

MOST_FILLINGS: Final = 300
"""Times that ware is filled for one pour."""

ERROR_OF_WARE: Final = 0.25
"""Part of its capacity by which ware may be off; a beaker is by a tenth."""

LARGEST: Final = {
    "piston pipette": 100.0,
    "burette": 500.0,
    "transfer pipette": 1_000.0,
    "graduated pipette": 1_000.0,
    "dropping pipette": 50.0,
    "syringe": 1_000.0,
    "medicine cup": 500.0,
}
"""mL, by kind of ware: none is made so large, from memory."""

STEPS_OF_SCALE: Final = 20
"""A balance shows at least so many steps."""

REPEATS_WITHIN: Final = 100.0
LINEAR_WITHIN: Final = 300.0
"""Steps by which a balance may scatter and be off along its scale; usual are 1 to 5."""

LIGHTEST_CUP: Final = 0.1
"""g/mL: a balance that shows less than this for a cup's liquid is in another unit. What is only
somewhat too small the plan says."""

SHAPE: Final = (0.05, 40.0)
"""Capacity as a part of opening times height: a cone has a third, a flask with a neck up to 10."""

GONE: Final = 0.2
"""Part of the liquid that may evaporate while a cup waits."""


def impossible_sizes(
    sample: schema.SampleTable | None,
    series: schema.SeriesTable | None,
    instruments: schema.InstrumentsTable | None,
    vessel: schema.VesselTable | None,
    waiting: schema.WaitingTable | None,
) -> Iterator[Fault]:
    """Yield a fault for each size that contradicts another one.

    Parameters
    ----------
    sample, series, instruments, vessel, waiting : tables of the schema
        None for one that cannot be used; its own faults say so.
    """
    if series and sample:
        yield from _portions(sample, series, instruments)
    if instruments:
        for key in ("reagent", "diluent"):
            yield from _ware(f"instruments.{key}", getattr(instruments, key))
        for key in ("balance", "sample_balance"):
            yield from _balance(f"instruments.{key}", getattr(instruments, key))
    if series and instruments:
        yield from _fillings(series, instruments)
        yield from _cups_on_balance(series, instruments.balance)
    if vessel:
        yield from _shape(vessel)
    if series and waiting:
        yield from _dried_out(series, waiting)


def _fault(
    where: str, value: float, beside: str, allowed: str, can_be: Callable[[float], bool]
) -> Fault:
    key = where.split(",", maxsplit=1)[0].rpartition(".")[2]
    return Fault(
        where=where,
        found=f"{value:g} {unit_of(key)} {beside}",
        allowed=allowed,
        do=was_it(key, value, can_be) or "Check both numbers and their units.",
    )


def _within(least: float, most: float) -> Callable[[float], bool]:
    return lambda other: least <= other <= most


def _portions(
    sample: schema.SampleTable,
    series: schema.SeriesTable,
    instruments: schema.InstrumentsTable | None,
) -> Iterator[Fault]:
    """Yield a fault for a portion that its liquid cannot take, or that no balance shows."""
    step = 0.0
    if instruments:
        step = (instruments.sample_balance or instruments.balance).readability_g
    total = series.total_mL
    asked = [("sample.nominal_g", sample.nominal_g)]
    asked += [
        (f"series.sample_g, item {place}", mass)
        for place, mass in enumerate(series.sample_g or (), start=1)
    ]
    if series.pieces and sample.piece_g:
        asked.append(("sample.piece_g", sample.piece_g * max(series.pieces)))
    for where, mass in asked:
        if mass and mass > total:
            yield _fault(
                where, mass, f"of sample for {total:g} mL of liquid",
                "no more grams of solid than mL of liquid",
                _within(10 * step, 0.5 * total),
            )  # fmt: skip
        elif mass and mass < step:
            yield _fault(
                where, mass, f"on a balance that shows {step:g} g", "portions that it can show",
                _within(10 * step, 0.5 * total),
            )  # fmt: skip


def _ware(where: str, table: schema.VolumeTable) -> Iterator[Fault]:
    """Yield a fault for ware that is larger than its kind, or off by more than it holds."""
    capacity, kind = table.capacity_mL, table.kind.strip().lower()
    largest = LARGEST.get(kind, math.inf)
    if capacity > largest:
        yield _fault(
            f"{where}.capacity_mL", capacity, f"for a {kind}", f"at most {largest:g} mL",
            _within(0.01 * largest, largest),
        )  # fmt: skip
    limits = {
        "graduation_mL": capacity,
        "tolerance_mL": ERROR_OF_WARE * capacity,
        "reading_half_width_mL": ERROR_OF_WARE * capacity,
        "repeatability_mL": ERROR_OF_WARE * capacity,
    }
    for key, most in limits.items():
        value: float | None = getattr(table, key)
        if value is not None and value > most:
            yield _fault(
                f"{where}.{key}", value, f"for ware of {capacity:g} mL", f"at most {most:g} mL",
                _within(1e-4 * most, 0.5 * most),
            )  # fmt: skip


def _balance(where: str, table: schema.BalanceTable | None) -> Iterator[Fault]:
    """Yield a fault for a balance whose figures do not belong to one balance."""
    if table is None:
        return
    step = table.readability_g
    if table.capacity_g is not None and table.capacity_g < STEPS_OF_SCALE * step:
        yield _fault(
            f"{where}.capacity_g", table.capacity_g, f"on a balance that shows {step:g} g",
            f"at least {STEPS_OF_SCALE * step:g} g",
            _within(1_000 * step, 1e7 * step),
        )  # fmt: skip
    for key, steps in (("repeatability_g", REPEATS_WITHIN), ("linearity_g", LINEAR_WITHIN)):
        value: float | None = getattr(table, key)
        if value is not None and value > steps * step:
            yield _fault(
                f"{where}.{key}", value, f"on a balance that shows {step:g} g",
                f"at most {steps * step:g} g",
                _within(0.1 * step, 10 * step),
            )  # fmt: skip


def _fillings(series: schema.SeriesTable, instruments: schema.InstrumentsTable) -> Iterator[Fault]:
    """Yield a fault for ware that would have to be filled without end."""
    largest = {
        "reagent": max(series.reagent_mL),
        "diluent": series.total_mL - min(series.reagent_mL),
    }
    for key, pour in largest.items():
        capacity: float = getattr(instruments, key).capacity_mL
        if pour > MOST_FILLINGS * capacity:
            yield _fault(
                f"instruments.{key}.capacity_mL", capacity, f"for pours of up to {pour:g} mL",
                f"ware that is filled at most {MOST_FILLINGS} times",
                _within(pour / 20, 20 * pour),
            )  # fmt: skip


def _cups_on_balance(series: schema.SeriesTable, balance: schema.BalanceTable) -> Iterator[Fault]:
    """Yield a fault for a balance that shows next to nothing of a cup."""
    capacity, total = balance.capacity_g, series.total_mL
    if capacity is not None and capacity < LIGHTEST_CUP * total:
        yield _fault(
            "instruments.balance.capacity_g", capacity, f"for cups with {total:g} mL of liquid",
            "a balance that takes a full cup",
            _within(1.2 * total, 200 * total),
        )  # fmt: skip


def _shape(vessel: schema.VesselTable) -> Iterator[Fault]:
    """Yield a fault for a vessel whose opening and height do not make its capacity."""
    if not {"opening_diameter_cm", "height_cm", "capacity_mL"} <= vessel.model_fields_set:
        return
    least, most = SHAPE
    capacity = vessel.capacity_mL

    def part(opening: float, height: float) -> float:
        return capacity / (0.25 * math.pi * opening**2 * height)

    opening, height = vessel.opening_diameter_cm, vessel.height_cm
    if least <= part(opening, height) <= most:
        return
    usual = (0.3, 5.0)
    do = was_it("opening_diameter_cm", opening, lambda o: usual[0] < part(o, height) < usual[1])
    both = usual[0] < part(0.1 * opening, 0.1 * height) < usual[1]
    if both:
        do = f"Was it {0.1 * opening:.4g} and {0.1 * height:.4g} cm (both in mm)?"
    yield Fault(
        where="vessel.opening_diameter_cm",
        found=f"an opening of {opening:g} cm and a height of {height:g} cm",
        allowed=f"what can be a vessel of {capacity:g} mL",
        do=do or "Check all three numbers and their units.",
    )


def _dried_out(series: schema.SeriesTable, waiting: schema.WaitingTable) -> Iterator[Fault]:
    """Yield a fault for cups that lose much of their liquid while they wait."""
    rate, total = waiting.evaporation_mg_per_minute, series.total_mL
    if rate is None or rate * waiting.minutes <= GONE * 1000 * total:
        return
    yield _fault(
        "waiting.evaporation_mg_per_minute", rate,
        f"in {waiting.minutes:g} min from {total:g} mL", f"at most {100 * GONE:g} % of the liquid",
        _within(0.01, 100),
    )  # fmt: skip
