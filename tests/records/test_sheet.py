"""The sheet: written and read back unchanged; every fault of a bad one at once."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from tarebook.core.csv_text import WITH_COMMAS, WITH_SEMICOLONS, guarded
from tarebook.core.errors import Fault, InputError
from tarebook.records.readings import (
    BASE,
    Quantity,
    Reading,
    RunTable,
    memory_value,
    number_value,
    table_of,
)
from tarebook.records.sheet import blank_sheet, parse_sheet, way_of, write_sheet

POOL = Path(__file__).parents[1] / "snapshots" / "pool"
CLEAN = (POOL / "readings.csv").read_text(encoding="utf-8")

WIDE_SIGNS = ("\uff1d", "\uff0b", "\uff0d", "\uff20")
"""Of East Asian keyboards; some spreadsheets take them for the others."""

# fmt: off
BEGINNINGS = (
    "=", "+", "-", "@", "\t=", "\r@", "'", "''=", "-1+2", "+cmd|' /C calc'!A0", "-2", "+1e3",
    *WIDE_SIGNS,
)
# fmt: on
"""How texts begin that a spreadsheet calculates, and some that look like it."""

numbers = st.one_of(
    st.decimals(min_value="0.0001", max_value="9999", places=4).map(str),
    st.integers(-999, 99_999).map(str),
    st.sampled_from(["1.", ".5", "+2", "1e-3", "2.5E2", "-0.0", "007"]),
)
sums = st.lists(
    st.decimals(min_value="0.0001", max_value="9999", places=4).map(str), min_size=2, max_size=4
).map(" + ".join)
remarks = st.text(st.characters(blacklist_categories=["Cs"], blacklist_characters="\0"),
                  min_size=1, max_size=12).map(str.strip).filter(bool)  # fmt: skip


@st.composite
def tables(draw: st.DrawFn) -> RunTable:
    """Return readings of some runs, in the order of a sheet, with repeats, gaps and notes."""
    runs = draw(st.lists(remarks, min_size=1, max_size=4, unique=True))
    readings = []
    for run in runs:
        for quantity in Quantity:
            for typed in draw(st.lists(numbers | sums if quantity.is_volume else numbers,
                                       max_size=3)):  # fmt: skip
                value = memory_value(quantity, number_value(typed))
                readings.append(
                    Reading(run=run, quantity=quantity, value=value, typed=typed, place="")
                )
    notes = {run: draw(remarks) for run in runs if draw(st.booleans())}
    return RunTable(runs=tuple(runs), readings=tuple(readings), notes=notes)


def by_column(table: RunTable) -> dict[str, list[tuple[Quantity, str, float]]]:
    return {
        run: [(r.quantity, r.typed, r.value) for q in Quantity for r in table.of(run, q)]
        for run in table.runs
    }


@pytest.mark.slow
@given(table=tables())
def test_what_is_written_is_read_back_unchanged(table: RunTable) -> None:
    again = parse_sheet(write_sheet(table))
    assert again.runs == table.runs
    assert again.notes == table.notes
    assert by_column(again) == by_column(table)
    assert write_sheet(again) == write_sheet(table)


@pytest.mark.slow
@given(table=tables())
def test_other_readers_of_csv_see_the_same_cells(table: RunTable) -> None:
    """Against the module csv of the standard library (RFC 4180 quoting)."""
    rows = list(csv.DictReader(io.StringIO(write_sheet(table), newline="")))
    assert [row["run"] for row in rows] == [guarded(run) for run in table.runs]
    assert [row["note"] for row in rows] == [
        guarded(table.notes.get(run, "")) for run in table.runs
    ]


def test_repeats_stand_in_columns_of_their_own() -> None:
    typed = {Quantity.TARE: ["12.31"], Quantity.SAMPLE: ["1.50"]}
    table = table_of(["1"], typed)
    twice = replace(table, readings=(*table.readings, replace(table.readings[0], typed="12.33",
                                                              value=12.33)))  # fmt: skip
    text = write_sheet(twice)
    assert text.splitlines()[0].startswith("run,tare_g,tare_g_2,reagent_mL,")
    again = parse_sheet(text)
    assert again.mean(Quantity.TARE, 0.0)[0] == pytest.approx(12.32)
    assert again.count(Quantity.TARE)[0] == 2
    assert again.readings[1].place == "row 2, column tare_g_2"


def test_a_blank_sheet_has_a_row_for_each_run_and_nothing_read() -> None:
    table = parse_sheet(blank_sheet(["A", "B"]))
    assert table.runs == ("A", "B")
    assert table.readings == ()


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_any_line_ending(ending: str) -> None:
    assert by_column(parse_sheet(CLEAN.replace("\n", ending))) == by_column(parse_sheet(CLEAN))


def test_blank_lines_and_spaces_do_not_matter() -> None:
    spaced = "\n\n" + CLEAN.replace(",", " , ").replace("\n", "\n,,,,,,,,,\n")
    assert by_column(parse_sheet(spaced)) == by_column(parse_sheet(CLEAN))


def test_columns_in_any_order_and_optional_ones_left_out() -> None:
    rows = [line.split(",") for line in CLEAN.splitlines()]
    turned = "\n".join(",".join([row[6], *row[1:6], row[0]]) for row in rows)
    table = parse_sheet(turned)
    assert table.runs == tuple("12345678")
    assert not table.taken(Quantity.TEMPERATURE).any()


def test_memory_units() -> None:
    table = parse_sheet(CLEAN)
    assert table.mean(Quantity.REAGENT, 0.0)[0] == pytest.approx(0.0051)
    assert table.mean(Quantity.TEMPERATURE, 0.0)[0] == pytest.approx(294.15)
    assert table.mean(Quantity.TARE, 0.0)[0] == pytest.approx(15.790)


def faults(text: str) -> tuple[Fault, ...]:
    with pytest.raises(InputError) as caught:
        parse_sheet(text)
    return caught.value.faults


def fault(text: str) -> Fault:
    found = faults(text)
    assert len(found) == 1, [str(one) for one in found]
    return found[0]


def swap(old: str, new: str) -> str:
    assert old in CLEAN
    return CLEAN.replace(old, new, 1)


@pytest.mark.parametrize(
    ("typed", "do"),
    [
        ('"1,52"', "Write 1.52."),
        ("35 mL", "Write 35 alone: the unit stands in the column's name."),
        ("35mL", "Write 35 alone: the unit stands in the column's name."),
        ('"1,52 g"', "Write 1.52 alone: the unit stands in the column's name."),
        ("21 °C", "Write 21 alone: the unit stands in the column's name."),
        ("nan", "Leave the cell blank if nothing was read; remarks go into the note."),
        ("inf", "Leave the cell blank if nothing was read; remarks go into the note."),
        ("-", "Leave the cell blank if nothing was read; remarks go into the note."),
        ("spilt", "Leave the cell blank if nothing was read; remarks go into the note."),
        ("1e999", "Nothing at a bench shows that: check it."),
        ("1e-99", "Nothing at a bench shows that: check it."),
        ("٣", "Leave the cell blank if nothing was read; remarks go into the note."),
    ],
)
def test_what_is_no_number(typed: str, do: str) -> None:
    one = fault(swap("15.790", typed))
    assert one.where == "readings.csv, row 2, column tare_g"
    assert one.found == repr(typed.strip('"'))
    assert one.do == do


def test_a_very_long_cell_is_cut_in_the_message() -> None:
    assert len(str(fault(swap("15.790", "x" * 50_000)))) < 300
    assert len(str(fault(swap("15.790", "1" * 50_000)))) < 300
    assert len(str(fault(swap("15.790", "1" * 500_000)))) < 300
    assert "5000" in fault(swap(",9,\n", f",9,{'y' * 6_000}\n")).allowed


def test_faults_of_header_and_rows_are_listed_together() -> None:
    text = (
        CLEAN.replace("vessel_liquid_g", "vesel_liquid_g")
        .replace("10.5", "10.5 mL")
        .replace("\n4,", "\n3,")
        .replace("5,15.650,22.2,", "5,15.650,")
        .replace("\n6,", "\n6,1,1,")
        .replace("\n7,", "\n,")
    )
    found = [(one.where.removeprefix("readings.csv, "), one.found) for one in faults(text)]
    assert found == [
        ("row 1, column 5", "'vesel_liquid_g'"),
        ("row 3, column reagent_mL", "'10.5 mL'"),
        ("row 5, column run", "'3', which stands in row 4 too"),
        ("row 6", "9 cells"),
        ("row 7", "12 cells"),
        ("row 8, column run", "nothing"),
    ]


@pytest.mark.parametrize(
    ("old", "new", "do"),
    [
        ("tare_g", "Tare_g", "Did you mean tare_g?"),
        ("reagent_mL", "reagent_ml", "Did you mean reagent_mL?"),
        ("sample_g", "sampel_g", "Did you mean sample_g?"),
        ("final_g", "final", "Did you mean final_g?"),
    ],
)
def test_a_misspelt_column_is_one_fault_with_a_suggestion(old: str, new: str, do: str) -> None:
    assert fault(swap(old, new)).do == do


def test_an_unknown_column() -> None:
    unknown = fault(swap("final_g", "pH"))
    assert unknown.found == "'pH'"
    assert "note" in unknown.do


def test_a_column_that_nobody_read_may_be_missing() -> None:
    table = parse_sheet("run,tare_g,reagent_mL,vessel_liquid_g\n1,12.31,20,32.2\n")
    assert [reading.quantity for reading in table.readings] == [
        Quantity.TARE, Quantity.REAGENT, Quantity.LIQUID,
    ]  # fmt: skip
    assert fault("tare_g,reagent_mL\n12.31,20\n").found == "no column run"


def test_a_column_twice() -> None:
    again = fault(swap("diluent_mL", "reagent_mL"))
    assert again.found == "'reagent_mL' again"
    assert "reagent_mL_2" in again.do


def test_the_fillings_of_a_pour_are_kept_and_their_sum_counts() -> None:
    table = parse_sheet("run,reagent_mL,diluent_mL\n1,20+15.5,5\n")
    reading, other = table.readings
    assert reading.typed == "20 + 15.5"
    assert reading.value == pytest.approx(0.0355)
    assert reading.fillings == pytest.approx((0.020, 0.0155))
    assert other.fillings == (0.005,)
    assert ",20 + 15.5," in write_sheet(table)


@pytest.mark.parametrize("cell", ["20 + ", "20 + -5", "20 + x", "+ + 3", "20 ++ 3"])
def test_a_sum_that_is_none_is_refused(cell: str) -> None:
    assert "20 + 15" in fault(f"run,reagent_mL\n1,{cell}\n").allowed


def test_masses_are_no_sums() -> None:
    assert fault("run,sample_g\n1,0.5 + 0.6\n").found == "'0.5 + 0.6'"


def test_columns_of_a_burette_and_of_a_holder() -> None:
    text = (
        "run,reagent_start_mL,reagent_end_mL,pieces,holder_before_g,holder_after_g\n"
        "1,2.35,18.80,0.5,4.21,2.60\n"
    )
    table = parse_sheet(text)
    assert {reading.quantity.value: reading.typed for reading in table.readings} == {
        "reagent_start_mL": "2.35",
        "reagent_end_mL": "18.80",
        "pieces": "0.5",
        "holder_before_g": "4.21",
        "holder_after_g": "2.60",
    }
    assert parse_sheet(write_sheet(table)).readings[0].value == table.readings[0].value


IN_SPAIN = CLEAN.replace(",", ";").replace(".", ",")
"""The sheet as a spreadsheet writes it where the decimal mark is a comma."""


@pytest.mark.parametrize("text", [CLEAN.replace(",", ";"), IN_SPAIN])
def test_a_sheet_with_semicolons_says_the_same(text: str) -> None:
    assert parse_sheet(text) == parse_sheet(CLEAN)


def test_a_sheet_is_written_as_it_is_read() -> None:
    table = parse_sheet(CLEAN)
    table = replace(table, notes={"1": "1;2, and 3.5"})
    written = write_sheet(table, way=WITH_SEMICOLONS)
    assert '"1;2, and 3.5"' in written
    assert "15,790" in written
    assert way_of(written) is WITH_SEMICOLONS
    assert way_of(write_sheet(table)) is WITH_COMMAS
    assert parse_sheet(written) == parse_sheet(write_sheet(table)) == table


def test_fillings_may_have_decimal_commas() -> None:
    text = "run;reagent_mL;sample_g\n1;20 + 15,5;1,02\n"
    assert [one.typed for one in parse_sheet(text).readings] == ["20 + 15.5", "1.02"]


def test_a_point_among_decimal_commas_is_refused_with_all_else() -> None:
    """1.234 may be more than a thousand where 12,5 is written beside it."""
    text = "run;tare_g;vessel_liquid_g;sample_g\n1;1.234;52,20;about 1\n2;x;5,1,2;1,02 g\n3;1;2\n"
    with pytest.raises(InputError) as caught:
        parse_sheet(text)
    said = {one.where.partition(", ")[2]: one for one in caught.value.faults}
    assert len(said) == 6
    assert said["row 2, column tare_g"].do == "Write 1,234."
    assert "decimal comma, as in most" in said["row 2, column tare_g"].allowed
    assert "1,02 alone" in said["row 3, column sample_g"].do
    assert "keep its semicolons" in said["row 4"].do


def test_tabs_are_refused() -> None:
    one = fault(CLEAN.replace(",", "\t"))
    assert "tabs" in one.found
    assert "semicolons" in one.allowed


def test_a_row_too_short_or_too_long() -> None:
    assert "keep its commas" in fault(swap(",9,\n", ",9\n")).do
    assert "decimal comma" in fault(swap("15.790", "15,790")).do
    assert "quotation mark" in fault(swap("8,15.749", '8,"15.749')).do


def test_a_quote_that_never_ends_in_a_long_file() -> None:
    text = swap("8,15.749", '8,"15.749') + "1,2,3\n" * 60_000  # longer than any cell may be
    assert "quotation mark" in fault(text).do


@pytest.mark.parametrize("text", ["", "  \n\n", "\n,,,\n"])
def test_an_empty_sheet(text: str) -> None:
    one = fault(text)
    assert one.found == "nothing"
    assert all(quantity.value in one.allowed for quantity in BASE)


def test_a_sheet_without_runs() -> None:
    assert fault(CLEAN.splitlines()[0]).allowed == "at least one run"


def test_more_rows_than_any_series_and_more_faults_than_anyone_reads() -> None:
    rows = CLEAN.splitlines()
    many = "\n".join([rows[0], *(f"{n},,,,,,,,," for n in range(50_000))])
    assert fault(many).found == "more than 500 rows"
    wrong = "\n".join([rows[0], *(f"{n},x,x,x,x,x,x,,," for n in range(400))])
    listed = faults(wrong)
    assert 100 < len(listed) < 120
    assert listed[-1].found == "too many faults to list"


@pytest.mark.slow
@given(text=st.text(max_size=300))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        runs, places = parse_sheet(text.replace("\0", "")).runs, {"readings.csv"}
    except InputError as error:
        runs, places = ("refused",), {one.where.split(",")[0] for one in error.faults}
    assert runs
    assert places == {"readings.csv"}


starts = st.builds(str.__add__, st.sampled_from(BEGINNINGS), remarks)


@given(run=starts, note=starts)
@example(run="=0", note="\uff0b0")
def test_texts_that_look_like_formulas_are_guarded_and_come_back(run: str, note: str) -> None:
    table = RunTable(runs=(run,), readings=(), notes={run: note})
    text = write_sheet(table)
    _, cells = csv.reader(io.StringIO(text, newline=""))
    for cell in (cells[0], cells[-1]):
        assert re.match(r"[=@\t\r]|[+-](?!([\d.,]+)([eE][+-]?\d+)?$)", cell) is None
        assert not cell.startswith(WIDE_SIGNS)
    back = parse_sheet(text)
    assert back.runs == (run,)
    assert back.notes == {run: note}
