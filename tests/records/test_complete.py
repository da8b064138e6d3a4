"""What follows from readings and plan: differences, fillings, zeros, and what is asked for."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from tarebook.measurement.own_errors import own_u
from tarebook.records.complete import asked_of, columns_of, completed
from tarebook.records.pours import n_fillings, pours
from tarebook.records.readings import Origin, Quantity, RunTable
from tarebook.records.sheet import blank_sheet, parse_sheet, write_sheet
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

CLEAN = (Path(__file__).parents[1] / "snapshots" / "pool" / "experiment.toml").read_text("utf-8")


def experiment(
    series: str = "total_mL = 40\nreagent_mL = [10, 20]", more: str = "", burette: bool = False
) -> Experiment:
    """Return the pool experiment with another series, and more tables at its end."""
    text = re.sub(r"\[series\]\n.*?\n(?=\n*\[)", f"[series]\n{series}\n", CLEAN, flags=re.DOTALL)
    if burette:
        ware = '[instruments.reagent]\nkind = "burette"\ncapacity_mL = 50\nread = "start and end"\n'
        text = re.sub(r"\[instruments.reagent\]\n.*?\n(?=\n*\[)", ware, text, flags=re.DOTALL)
    return parse_definition(f"{text}\n{more}")


def table_of(definition: Experiment, header: str, *rows: str) -> RunTable:
    return completed(definition, parse_sheet("\n".join(["run," + header, *rows]) + "\n"))


def test_a_burette_gives_the_difference_of_its_two_readings() -> None:
    table = table_of(experiment(), "reagent_start_mL,reagent_end_mL", "1,2.35,18.80")
    (reading,) = table.of("1", Quantity.REAGENT)
    assert reading.origin is Origin.DIFFERENCE
    assert reading.typed == "16.45"
    assert reading.value == pytest.approx(0.01645)


def test_a_refilled_burette_has_two_fillings() -> None:
    table = table_of(experiment(), "reagent_start_mL,reagent_end_mL", "1,0.00 + 0.10,25.00 + 5.30")
    (reading,) = table.of("1", Quantity.REAGENT)
    assert reading.typed == "25.00 + 5.20"
    assert pours(experiment(), table, Quantity.REAGENT).fillings == pytest.approx([2.0])


def test_starts_without_their_ends_give_nothing() -> None:
    table = table_of(experiment(), "reagent_start_mL,reagent_end_mL", "1,0.00 + 0.10,25.00")
    assert table.of("1", Quantity.REAGENT) == ()


def test_a_holder_gives_the_sample_with_the_noise_of_two_weighings() -> None:
    table = table_of(experiment(), "holder_before_g,holder_after_g", "1,4.210,2.705")
    (reading,) = table.of("1", Quantity.SAMPLE)
    assert reading.value == pytest.approx(1.505)
    assert table.noise(Quantity.SAMPLE) == pytest.approx([2.0])
    header = "holder_before_g,holder_before_g_2,holder_after_g"
    twice = table_of(experiment(), header, "1,4.210,4.212,2.705")
    assert twice.of("1", Quantity.SAMPLE)[0].value == pytest.approx(1.506)
    assert twice.noise(Quantity.SAMPLE) == pytest.approx([1.5])


def test_what_is_written_itself_counts_before_a_difference() -> None:
    table = table_of(experiment(), "sample_g,holder_before_g,holder_after_g", "1,1.50,4.2,2.6")
    assert [reading.typed for reading in table.of("1", Quantity.SAMPLE)] == ["1.50"]


def test_each_filling_is_read_anew() -> None:
    one = experiment()
    table = table_of(one, "reagent_mL", "1,20 + 15")
    found = pours(one, table, Quantity.REAGENT)
    ware = one.equipment.reagent
    assert found.fillings == pytest.approx([2.0])
    parts = own_u(ware, np.array([0.020, 0.015]))
    assert found.own_u == pytest.approx([float(np.sqrt(np.sum(parts**2)))])
    assert table.noise(Quantity.REAGENT) == pytest.approx([2.0])


def test_ware_that_is_too_small_for_the_plan_is_filled_more_than_once() -> None:
    small = experiment("total_mL = 120\nreagent_mL = [10, 110]")
    assert small.equipment.reagent.capacity < 0.110
    table = table_of(small, "reagent_mL", "1,110", "2,110")
    # A slip of the pen fills nothing: the plan of the first run needs one filling.
    assert pours(small, table, Quantity.REAGENT).fillings[0] == 1.0
    assert pours(small, table, Quantity.REAGENT).fillings[1] == pytest.approx(
        np.ceil(0.110 / small.equipment.reagent.capacity)
    )


def test_blank_where_the_plan_asks_for_nothing_is_zero() -> None:
    plan = experiment("total_mL = 40\nreagent_mL = [0, 40, 20]\nsample_g = [0, 1.5, 1.5]")
    table = table_of(plan, "tare_g,reagent_mL,diluent_mL,sample_g", "1,12.3,,40,", "2,12.4,40,,",
                     "3,,,,")  # fmt: skip
    zeros = {(r.run, r.quantity) for r in table.readings if r.origin is Origin.PLAN}
    assert zeros == {
        ("1", Quantity.REAGENT),
        ("1", Quantity.SAMPLE),
        ("2", Quantity.DILUENT),
    }, "nothing follows for a run that was not begun"
    assert completed(plan, table) == table
    assert write_sheet(table).splitlines()[1] == "1,12.3,,40,,,,,,", "and it is not written"


def test_a_tare_that_nobody_reads_is_zero() -> None:
    said = experiment(more='[weighing]\ntare = "zeroed on the cup"\n')
    blank = table_of(said, "vessel_liquid_g", "1,40.1")
    assert blank.mean_of("1", Quantity.TARE) == 0.0
    assert Quantity.TARE not in asked_of(said)


def test_what_is_asked_of_a_run_follows_its_plan_and_the_ways_of_reading() -> None:
    plan = experiment(
        "total_mL = 40\nreagent_mL = [0, 20]\nsample_g = [0, 1.5]",
        '[weighing]\nsample_in = "holder before and after"\n',
        burette=True,
    )
    assert asked_of(plan, "1") == (
        Quantity.TARE, Quantity.DILUENT, Quantity.TEMPERATURE, Quantity.LIQUID, Quantity.FINAL,
        Quantity.MINUTES,
    )  # fmt: skip
    assert asked_of(plan, "2") == (
        Quantity.TARE, Quantity.DILUENT, Quantity.REAGENT_START, Quantity.REAGENT_END,
        Quantity.TEMPERATURE, Quantity.LIQUID, Quantity.HOLDER_BEFORE, Quantity.HOLDER_AFTER,
        Quantity.FINAL, Quantity.MINUTES,
    )  # fmt: skip
    assert blank_sheet(["1"], columns_of(plan)).splitlines()[0] == (
        "run,tare_g,reagent_start_mL,reagent_end_mL,diluent_mL,vessel_liquid_g,holder_before_g,"
        "holder_after_g,final_g,temperature_C,minutes,note"
    )


def test_how_often_ware_is_filled() -> None:
    ware = experiment().equipment.reagent
    volumes = ware.capacity * np.array([0.0, 0.2, 1.0, 1.001, 2.0, 2.5])
    assert list(n_fillings(ware, volumes)) == [0, 1, 1, 2, 2, 3]


def test_what_was_taken_out_does_not_come_back() -> None:
    """Neither the plan nor a difference stands in for a reading that is in doubt."""
    said = experiment(more='[weighing]\ntare = "zeroed on the cup"\n')
    table = completed(said, table_of(said, "vessel_liquid_g", "1,40.1", "2,40.2"))
    less = table.without([("1", Quantity.TARE)])
    assert completed(said, less) == less
    assert less.of("1", Quantity.TARE) == ()
    assert less.mean_of("2", Quantity.TARE) == 0.0
