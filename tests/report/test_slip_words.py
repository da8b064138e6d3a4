"""Every slip is said in every language, from what the checks themselves hand on."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import cache
from importlib import resources
from pathlib import Path

import numpy as np
import pytest
from fluent.syntax import ast, parse
from scripts.study_slips.series import drawn, experiment, moved
from tests.phrases import inside
from tests.slipped_cups import IN_CUPS, Row, clean_row
from tests.slipped_rows import WELL_KNOWN, alike, changed, clean, defined

from tarebook.diagnosis.columns import columns_exchanged, columns_finding
from tarebook.diagnosis.liquid import check_liquid
from tarebook.diagnosis.slips.check import NOT_WEIGHED, check_slips, findings_of
from tarebook.diagnosis.slips.kinds import OF_A_ROW, PREFIX, SlipKind
from tarebook.diagnosis.slips.odds import default_odds, updated_odds
from tarebook.diagnosis.slips.series import MOST_PAIRED, weigh_series
from tarebook.diagnosis.slips.values import kind_of
from tarebook.diagnosis.tares import zero_tares_contradicted, zeros_finding
from tarebook.findings.finding import Finding
from tarebook.model.simulate import simulate
from tarebook.records.readings import MASSES, Quantity, RunTable, memory_value, table_of
from tarebook.records.sheet import parse_sheet
from tarebook.report import noticed
from tarebook.report.languages.writing import Writing, writing
from tarebook.series.definition import parse_definition

EXAMPLE = Path(__file__).parents[2] / "examples" / "clean-pool-granules"
TABLET = defined(**WELL_KNOWN)
OF_LATE = updated_odds(default_odds(), {SlipKind.WEIGHED_LATE: 300}, {SlipKind.WEIGHED_LATE: 1000})
"""Cups are left standing so often that it comes first."""

LANGUAGES = {"en": writing("en", "letter"), "de": writing("de"), "es": writing("es")}
in_each_language = pytest.mark.parametrize("how", LANGUAGES.values(), ids=LANGUAGES.keys())


# Rows with slips ---------------------------------------------------------------------------------


def of_cup(make: Callable[[Row], RunTable], kind: SlipKind) -> tuple[Finding, ...]:
    """Return what is found of a slip in one cup."""
    odds = OF_LATE if kind is SlipKind.WEIGHED_LATE else None
    return check_slips(clean_row().of, make(clean_row()), odds)


def strong_stock() -> tuple[Finding, ...]:
    """A stock a fifth stronger than the definition says."""
    of = experiment("clean-pool-granules")
    rng = np.random.Generator(np.random.SFC64(10))
    truth = drawn(of, rng)
    strong = truth.with_values(concentration=1.2 * truth.concentration)
    return check_slips(of, simulate(of, strong, rng).table)


def off_with_a_blank(quantity: Quantity, off: float) -> tuple[Finding, ...]:
    """All masses of a column off, in a row with two cups without sample, which tell which it is."""
    blank = {"1", "9"}
    planned = tuple(replace(p, sample=0.0) if p.run in blank else p for p in TABLET.planned)
    of = replace(TABLET, planned=planned)
    table = clean(of, 12).table
    values = np.array([table.mean_of(run, quantity) for run in table.runs])
    at_fault = np.array([quantity is Quantity.FINAL or run not in blank for run in table.runs])
    return check_slips(of, changed(table, quantity, values + off * at_fault))


def bottles_exchanged() -> tuple[Finding, ...]:
    """The columns of the two liquids in each other's place."""
    other = {Quantity.REAGENT: Quantity.DILUENT, Quantity.DILUENT: Quantity.REAGENT}
    table = clean(TABLET, 13).table
    readings = tuple(replace(r, quantity=other.get(r.quantity, r.quantity)) for r in table.readings)
    return check_slips(TABLET, replace(table, readings=readings))


def all_early(seed: int, part: float) -> tuple[Finding, ...]:
    """Every cup weighed while part of its gas was still to come."""
    table = clean(TABLET, seed).table
    mass = {q: np.array([table.mean_of(r, q) for r in table.runs]) for q in MASSES}
    lost = mass[Quantity.LIQUID] + mass[Quantity.SAMPLE] - mass[Quantity.FINAL]
    return check_slips(TABLET, changed(table, Quantity.FINAL, mass[Quantity.FINAL] + part * lost))


def tenth_too_much() -> tuple[Finding, ...]:
    """A balance that shows a tenth too much."""
    table = clean(TABLET, 16).table
    for quantity in MASSES:
        values = np.array([table.mean_of(run, quantity) for run in table.runs])
        table = changed(table, quantity, 1.1 * values)
    return check_slips(TABLET, table)


def off_alike(seed: int, quantity: Quantity, off: float) -> tuple[Finding, ...]:
    """All masses of a column off by the same mass."""
    return check_slips(TABLET, alike(clean(TABLET, seed).table, quantity, off))


OF_ROWS: dict[str, Callable[[], tuple[Finding, ...]]] = {
    "stock": strong_stock,
    "boat": lambda: off_alike(11, Quantity.SAMPLE, 0.35),
    "boat, told apart": lambda: off_with_a_blank(Quantity.SAMPLE, -0.4),
    "last masses": lambda: off_alike(12, Quantity.FINAL, 0.4),
    "last masses, told apart": lambda: off_with_a_blank(Quantity.FINAL, 0.4),
    "empty vessels": lambda: off_alike(12, Quantity.TARE, -3.0),
    "bottles": bottles_exchanged,
    "early": lambda: all_early(15, 0.2),
    "early or weak": lambda: all_early(15, 0.35),
    "balance": tenth_too_much,
}


# Other findings ----------------------------------------------------------------------------------


def unexplained() -> tuple[Finding, ...]:
    """Three numbers of a cup wrong, which no single slip explains."""
    table = clean_row().off("3", Quantity.TARE, 2.37)
    for quantity, off in ((Quantity.FINAL, -1.93), (Quantity.REAGENT, 3.3)):
        table = moved(table, "3", quantity, off)
    return check_slips(clean_row().of, table)


def frozen() -> tuple[Finding, ...]:
    """A room in which the model ends."""
    table = clean(TABLET, 12).table
    read = table_of(table.runs, {Quantity.TEMPERATURE: ["-30"] * len(table.runs)})
    rest = tuple(r for r in table.readings if r.quantity is not Quantity.TEMPERATURE)
    return check_slips(TABLET, replace(table, readings=(*rest, *read.readings)))


def cut_off(left: tuple[str, ...]) -> tuple[Finding, ...]:
    """Many runs in doubt, of which some were not looked at, or not two and two."""
    row = clean_row()
    weights = weigh_series(row.of, row.off("3", Quantity.TARE, 4.36), default_odds())
    assert weights is not None
    many = replace(weights, runs=weights.runs * (MOST_PAIRED + 1), not_weighed=left)
    (note,) = (one for one in findings_of(many) if one.code == "slips-cut-off")
    return (note,)


def real_pour() -> tuple[Finding, ...]:
    """6 mL more poured than asked for, and written so."""
    row = clean_row()
    really = row.cup("3", reagent=row.inside("3", "reagent") + 0.006)
    return check_slips(row.of, moved(really, "3", Quantity.REAGENT, 6.0))


def of_sheet(change: Callable[[str], str]) -> RunTable:
    """Return the readings of the example with something else in them."""
    return parse_sheet(change((EXAMPLE / "readings.csv").read_text(encoding="utf-8")))


def zeros(runs: tuple[str, ...]) -> tuple[Finding, ...]:
    """Empty vessels written as 0 that were never on the balance alone."""
    of, table = parse_definition((EXAMPLE / "experiment.toml").read_text("utf-8")), of_sheet(str)
    readings = tuple(
        replace(r, typed="0.000", value=0.0) if r.run in runs and r.quantity is Quantity.TARE else r
        for r in table.readings
    )
    found = zero_tares_contradicted(of, replace(table, readings=readings))
    assert found is not None
    return (zeros_finding(found),)


def columns() -> tuple[Finding, ...]:
    """Two headings of the sheet in each other's place."""
    of = parse_definition((EXAMPLE / "experiment.toml").read_text("utf-8"))
    other = {Quantity.REAGENT: Quantity.TARE, Quantity.TARE: Quantity.REAGENT}
    table = of_sheet(str)
    readings = tuple(
        replace(r, quantity=other[r.quantity], value=memory_value(other[r.quantity], r.in_column))
        if r.quantity in other
        else r
        for r in table.readings
    )
    found = columns_exchanged(of, replace(table, readings=readings))
    assert found is not None
    return (columns_finding(found),)


def liquids(off: float) -> tuple[Finding, ...]:
    """A cup that weighs more or less than its volumes say."""
    row = clean_row()
    return tuple(check_liquid(row.of, row.off("4", Quantity.LIQUID, off)))


OTHERS: dict[str, Callable[[], tuple[Finding, ...]]] = {
    "unexplained": unexplained,
    "frozen": frozen,
    "some left": lambda: cut_off(("6", "8")),
    "none left": lambda: cut_off(()),
    "real pour": real_pour,
    "one zero": lambda: zeros(("4",)),
    "zeros": lambda: zeros(("1", "2", "3")),
    "columns": columns,
    "too heavy": lambda: liquids(2.0),
    "too light": lambda: liquids(-2.0),
}


# What is said ------------------------------------------------------------------------------------


@cache
def all_found() -> tuple[Finding, ...]:
    """Return every finding of all these rows."""
    cups = [of_cup(make, kind) for kind, make, _, _ in IN_CUPS]
    rows = [make() for make in (*OF_ROWS.values(), *OTHERS.values())]
    return tuple(finding for found in (*cups, *rows) for finding in found)


def said(found: Iterable[Finding], how: Writing) -> list[tuple[Finding, str, str]]:
    """Return findings with what they say and what they say to do."""
    return [(one, noticed.message(one, how), noticed.to_do(one, how)) for one in found]


def test_every_kind_is_found_first_somewhere() -> None:
    codes = {finding.code for finding in all_found()}
    assert {PREFIX + kind.value for kind in SlipKind} <= codes
    assert codes >= {
        NOT_WEIGHED, "slips-cut-off", "odd-pour-is-real", "zero-not-of-this-vessel",
        "columns-exchanged", "liquid-mass-disagrees",
    }  # fmt: skip


@in_each_language
def test_every_finding_is_said_with_what_to_do(how: Writing) -> None:
    for finding, message, do in said(all_found(), how):
        for text in (message, do):
            assert text.endswith((".", "?")), text
            assert "  " not in text, text
            assert not re.search(r"[{}]|None|\bnan\b|\(\)", text), text
            assert not re.search(r" [,.;:?]", text), text
        assert not message[0].islower(), message
        assert bool(finding.run) == message.startswith(("Run ", "Ansatz ", "Ensayo ")), message


@in_each_language
def test_the_numbers_of_a_finding_stand_in_what_it_says(how: Writing) -> None:
    n = 0
    for finding, message, _ in said(all_found(), how):
        for name in ("meant", "off", "should_be", "target"):
            number = str(finding.values.get(name, ""))
            unread = number == "" or finding.code == "slip-tare-subtracted"
            assert unread or number.replace(".", how.style.decimal) in message, message
            n += not unread
        written = inside(finding).get("slip-written")
        if written and finding.code.startswith(PREFIX):
            assert str(written.values["typed"]).replace(".", how.style.decimal) in message
    assert n > 12


@in_each_language
def test_each_kind_has_a_name_to_stand_in_a_list(how: Writing) -> None:
    clauses = {kind: how.say(kind_of(kind, "brine")) for kind in SlipKind}
    assert len(set(clauses.values())) >= len(SlipKind) - 1
    for kind, clause in clauses.items():
        assert not clause.endswith("."), clause
        of_liquids = kind.value.startswith(("liquids-", "volumes-"))
        assert ("brine" in clause) == of_liquids, clause


def test_what_may_be_wrong_with_a_row_says_what_decides() -> None:
    for finding in all_found():
        if finding.code in {PREFIX + kind.value for kind in OF_A_ROW} and finding.values["tied"]:
            measures = inside(finding)["slip-row-decide"].values["measures"]
            assert isinstance(measures, tuple)
            assert len(measures) == 2


def entries(language: str, subject: str) -> set[str]:
    """Return every message of a file, and what else is said of it, such as what to do."""
    file = resources.files("tarebook.report.languages") / language / f"{subject}.ftl"
    parsed = parse(file.read_text(encoding="utf-8"))
    assert not any(isinstance(entry, ast.Junk) for entry in parsed.body)
    messages = [entry for entry in parsed.body if isinstance(entry, ast.Message)]
    attributes = {f"{m.id.name}.{each.id.name}" for m in messages for each in m.attributes}
    return {m.id.name for m in messages} | attributes


@pytest.mark.parametrize("subject", ["names", "slips"])
def test_all_languages_have_the_same_sentences(subject: str) -> None:
    english = entries("en", subject)
    assert all(entries(language, subject) == english for language in LANGUAGES)
    assert len(english) > 15
