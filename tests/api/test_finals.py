"""The range of a last mass is kept as long as nothing on which it rests has changed."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tarebook.api.bench import finals
from tarebook.api.bench.finals import Finals
from tarebook.api.bench.say import known_before
from tarebook.core.defaults import SEED
from tarebook.core.errors import OutOfRangeError
from tarebook.diagnosis.to_come import FINAL_RESTS_ON, Belief, Range, expected_final
from tarebook.records.readings import Quantity, RunTable
from tarebook.records.sheet import parse_sheet
from tarebook.series.definition import parse_definition

POOL = Path(__file__).parents[1] / "snapshots" / "pool"
EXPERIMENT = parse_definition((POOL / "experiment.toml").read_text(encoding="utf-8"))
TABLE = parse_sheet((POOL / "readings.csv").read_text(encoding="utf-8"))
DRAWS = known_before(EXPERIMENT).draws
BELIEF = Belief(content=(0.85, 1.0))


def rng() -> np.random.Generator:
    return np.random.Generator(np.random.SFC64(SEED))


def direct(table: RunTable, belief: Belief = BELIEF, run: str = "2") -> Range | None:
    return expected_final(EXPERIMENT, table, run, belief, DRAWS, rng())


def kept(known: Finals, table: RunTable, belief: Belief = BELIEF, run: str = "2") -> Range | None:
    return known.range_of(EXPERIMENT, table, run, belief, DRAWS, rng())


def changed(quantity: Quantity, factor: float = 1.01) -> RunTable:
    """Return the table with another reading of one quantity, everywhere."""
    readings = tuple(
        replace(reading, value=reading.value * factor) if reading.quantity is quantity else reading
        for reading in TABLE.readings
    )
    return RunTable(runs=TABLE.runs, readings=readings)


@pytest.mark.parametrize("quantity", list(Quantity))
def test_what_the_range_rests_on_and_nothing_else(quantity: Quantity) -> None:
    known = Finals()
    assert kept(known, TABLE) == direct(TABLE)
    there = bool(TABLE.of("2", quantity))
    other = changed(quantity)
    assert kept(known, other) == direct(other)
    assert (direct(other) != direct(TABLE)) == (quantity in FINAL_RESTS_ON and there)
    # Once for each of the two, or once for both.
    assert len(known._kept) == 1 + (quantity in FINAL_RESTS_ON and there)


def test_a_pour_in_two_fillings_has_another_range_than_one_of_the_same_sum() -> None:
    known = Finals()
    one = TABLE.of("2", Quantity.REAGENT)[0]
    litres = one.value * 1000.0
    first = round(litres / 2.0, 1)
    parted = replace(one, typed=f"{first} + {litres - first:.1f}")
    assert sum(parted.fillings) == pytest.approx(one.value, abs=1e-12)
    other = RunTable(
        runs=TABLE.runs,
        readings=tuple(parted if reading == one else reading for reading in TABLE.readings),
    )
    assert direct(other) != direct(TABLE)
    assert kept(known, TABLE) == direct(TABLE)
    assert kept(known, other) == direct(other)


def test_another_run_or_belief_has_another_range() -> None:
    known = Finals()
    fitted = Belief(content=(0.9, 0.01), fitted=True)
    for belief, run in ((BELIEF, "2"), (BELIEF, "3"), (fitted, "2"), (fitted, "3")):
        assert kept(known, TABLE, belief, run) == direct(TABLE, belief, run)
    assert len(known._kept) == 4


def test_it_is_not_worked_out_again(monkeypatch: pytest.MonkeyPatch) -> None:
    known = Finals()
    before = kept(known, TABLE)

    def refuse(*_: object) -> None:
        raise AssertionError

    monkeypatch.setattr(finals, "expected_final", refuse)
    assert kept(known, changed(Quantity.FINAL)) == before
    assert kept(known, changed(Quantity.TARE)) == before


def test_what_cannot_be_said_is_said_again_each_time() -> None:
    known = Finals()
    wild = changed(Quantity.TEMPERATURE, 2.0)
    cold = RunTable(
        runs=TABLE.runs,
        readings=tuple(
            replace(reading, quantity=Quantity.TEMPERATURE, value=900.0)
            if reading.quantity is Quantity.MINUTES
            else reading
            for reading in wild.readings
        ),
    )
    for _ in range(2):
        with pytest.raises(OutOfRangeError):
            kept(known, cold)


def test_the_ranges_that_are_kept_are_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(finals, "MOST_KEPT", 3)
    known = Finals()
    for step in range(6):
        kept(known, changed(Quantity.SAMPLE, 1.0 + step / 1000.0))
    assert len(known._kept) == 3
