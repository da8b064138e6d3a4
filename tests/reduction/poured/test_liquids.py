"""What the liquid readings say of cups that stand filled, against what is really in them."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from tests.poured_rows import changed, poured, without

from tarebook.core.phrase import Phrase
from tarebook.core.quantity import Estimate
from tarebook.measurement.own_errors import own_u
from tarebook.records.readings import Quantity, Reading, memory_value
from tarebook.reduction.poured.liquids import reduce_poured
from tarebook.series.experiment import Experiment

N_SERIES = 60


def holds(estimate: Estimate, truth: float) -> bool:
    return estimate.low <= truth <= estimate.high


def test_amounts_and_liquid_left_behind_hold_what_is_true(laboratory: Experiment) -> None:
    amounts, volumes, held, n = 0, 0, 0, 0
    for seed in range(N_SERIES):
        made = poured(laboratory, seed)
        row = reduce_poured(laboratory, made.table, {}, ())
        both = made.parameters.hold_up_reagent + made.parameters.hold_up_diluent
        held += holds(row.hold_up_both, float(both))
        for at, cup in enumerate(row.cups):
            n += 1
            volumes += holds(cup.reagent, float(made.contents.reagent[at]))
            amounts += holds(cup.amount, float(made.state.reagent_amount[at]))
    # 95 % of 480 cups in rows that share the strength and the vessels: 90 to 99 %.
    assert 0.90 <= amounts / n <= 0.995
    assert 0.90 <= volumes / n <= 0.995
    assert 0.87 <= held / N_SERIES <= 1.0


@pytest.mark.parametrize("quantity", [Quantity.REAGENT, Quantity.DILUENT])
def test_a_volume_that_was_not_read_follows_from_the_mass(
    laboratory: Experiment, quantity: Quantity
) -> None:
    hits, worst = 0, 0.0
    for seed in range(N_SERIES):
        made = poured(laboratory, seed)
        run = made.table.runs[3]
        read = made.table.mean_of(run, quantity)
        assert read is not None
        cup = reduce_poured(laboratory, without(made.table, run, quantity), {}, ()).cup(run)
        assert cup is not None
        recovered = cup.recovered[quantity]
        equipment = laboratory.equipment
        reagent = quantity is Quantity.REAGENT
        instrument = equipment.reagent if reagent else equipment.diluent
        # The reading that is missing would have had an error of its own.
        own = float(own_u(instrument, np.array(read)))
        hits += abs(recovered.value - read) <= 1.96 * np.hypot(recovered.u, own) + 1e-5
        worst = max(worst, recovered.u)
        assert cup.left_behind is None
        assert cup.from_plan == ()
    assert hits / N_SERIES >= 0.88
    assert worst < 0.0004


def test_a_recovered_volume_owes_nothing_to_the_plan(laboratory: Experiment) -> None:
    made = poured(laboratory, 1)
    run = made.table.runs[4]
    table = without(made.table, run, Quantity.REAGENT)
    shifted = replace(
        laboratory,
        planned=tuple(
            replace(one, reagent=one.reagent + 0.004) if one.run == run else one
            for one in laboratory.planned
        ),
    )
    cups = [reduce_poured(each, table, {}, ()).cup(run) for each in (laboratory, shifted)]
    values = [cup.recovered[Quantity.REAGENT].value for cup in cups if cup]
    assert values[0] == pytest.approx(values[1], abs=1e-6)


def test_without_a_mass_the_plan_stands_in_and_says_so(laboratory: Experiment) -> None:
    made = poured(laboratory, 2)
    run = made.table.runs[5]
    table = without(made.table, run, Quantity.REAGENT)
    cup = reduce_poured(laboratory, without(table, run, Quantity.LIQUID), {}, ()).cup(run)
    assert cup is not None
    assert cup.from_plan == (Quantity.REAGENT,)
    assert cup.recovered == {}
    assert cup.by_mass is None
    assert cup.reagent.u > 0.0005


def test_a_mass_in_doubt_moves_nothing(laboratory: Experiment) -> None:
    made = poured(laboratory, 3)
    run = made.table.runs[2]
    spoilt = changed(made.table, run, Quantity.TARE, -1.0)
    row = reduce_poured(laboratory, spoilt, {}, (run,))
    clean = reduce_poured(laboratory, made.table, {}, (run,))
    cup = row.cup(run)
    assert cup is not None
    assert cup.mass_is_doubtful
    assert cup.left_behind is not None
    assert cup.left_behind.value < -0.2
    assert row.hold_up_both == clean.hold_up_both
    assert [c.amount for c in row.cups] == [c.amount for c in clean.cups]


def test_a_row_that_has_an_impossible_reading_goes_on_without_that_cup(
    laboratory: Experiment,
) -> None:
    made = poured(laboratory, 4)
    row = reduce_poured(laboratory, made.table, {"1": Phrase("digit-wrong")}, ())
    assert row.cup("1") is None
    assert row.left_out == {"1": Phrase("digit-wrong")}
    assert len(row.cups) == len(made.table.runs) - 1


def test_what_is_in_the_cup_is_read_off_the_finished_row_too(laboratory: Experiment) -> None:
    made = poured(laboratory, 5)
    first = laboratory.planned[0]
    later = Reading(
        run=first.run, quantity=Quantity.SAMPLE, value=memory_value(Quantity.SAMPLE, 1.5),
        typed="1.5", place="",
    )  # fmt: skip
    table = replace(made.table, readings=(*made.table.readings, later))
    assert reduce_poured(laboratory, table, {}, ()) == reduce_poured(laboratory, made.table, {}, ())


def test_a_cup_of_plain_water_holds_no_reagent(laboratory: Experiment) -> None:
    water = next((run for run in laboratory.planned if run.reagent == 0), None)
    if water is None:
        water = laboratory.planned[0]
        laboratory = replace(
            laboratory,
            planned=(
                replace(water, reagent=0.0, diluent=laboratory.total_volume),
                *laboratory.planned[1:],
            ),
        )
    made = poured(laboratory, 6)
    cup = reduce_poured(laboratory, made.table, {}, ()).cup(water.run)
    assert cup is not None
    assert abs(cup.amount.value) < 1e-6
    assert cup.amount.u < 1e-5


def test_a_mass_that_fits_no_volume_leaves_the_volumes(laboratory: Experiment) -> None:
    made = poured(laboratory, 8)
    run = made.table.runs[4]
    read = made.table.mean_of(run, Quantity.REAGENT)
    assert read is not None
    none_poured = changed(made.table, run, Quantity.REAGENT, -read)
    alone = replace(
        none_poured, runs=(run,), readings=tuple(r for r in none_poured.readings if r.run == run)
    )
    cup = reduce_poured(laboratory, alone, {}, ()).cup(run)
    assert cup is not None
    assert cup.reagent.value < 0.01
    assert math.isfinite(cup.amount.u)


def test_a_cup_with_next_to_nothing_in_it_is_not_spoken_of(laboratory: Experiment) -> None:
    made = poured(laboratory, 9)
    run = made.table.runs[6]
    table = made.table
    for quantity in (Quantity.REAGENT, Quantity.DILUENT):
        read = table.mean_of(run, quantity)
        assert read is not None
        table = changed(table, run, quantity, 0.0001 - read)
    row = reduce_poured(laboratory, table, {}, ())
    assert row.cup(run) is None
    assert len(row.cups) == len(made.table.runs) - 1
