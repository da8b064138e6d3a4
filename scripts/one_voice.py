"""Whether all that is printed of one row tells one value for each quantity.

Every output of a row is gathered by the names of its quantities: the JSON payload, the CSV, the
workbook, the page, the text of the PDF and of the terminal, the key, the plan. Two values of one
name must agree within the digits that are printed.
"""

from __future__ import annotations

import csv
import io
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Any

import openpyxl
import pypdf

from tarebook.core.units import millilitres
from tarebook.planning.plan import Plan
from tarebook.planning.prepare.amounts import equivalence_volume
from tarebook.report import typeset
from tarebook.report.document import document
from tarebook.report.outcome import Outcome
from tarebook.report.page import page
from tarebook.report.payload import payload
from tarebook.report.results_csv import results_csv
from tarebook.report.sheets.key import key_data
from tarebook.report.sheets.setting import Setting
from tarebook.report.text import text
from tarebook.report.workbook import workbook

SAME = 1e-9
"""Relative difference of values that are held in full."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """One quantity as one output has it.

    Attributes
    ----------
    name : str
        Of the quantity, the run in it.
    where : str
    value : float
    last : float
        Size of one in the last printed place; 0 where the value is held in full.
    """

    name: str
    where: str
    value: float
    last: float = 0.0


def disagreements(every: Iterable[Printed]) -> tuple[str, ...]:
    """Return each pair of outputs that has two values for one quantity, in words.

    Parameters
    ----------
    every : iterable of Printed
    """
    named: dict[str, list[Printed]] = defaultdict(list)
    for one in every:
        named[one.name].append(one)
    return tuple(
        f"{name}: {first.value:.10g} in the {first.where}, {other.value:.10g} in the {other.where}"
        for name, found in named.items()
        for place, first in enumerate(found)
        for other in found[place + 1 :]
        if not _same(first, other)
    )


def _same(one: Printed, other: Printed) -> bool:
    slack = 0.5001 * (one.last + other.last) + SAME * max(abs(one.value), abs(other.value), 1e-6)
    return abs(one.value - other.value) <= slack


def of_outcome(outcome: Outcome) -> Iterator[Printed]:
    """Yield every quantity of a reduced row, from every output.

    Parameters
    ----------
    outcome : Outcome
    """
    made = payload(outcome)
    yield from _of_payload(made)
    yield from _of_csv(results_csv(outcome))
    yield from _of_workbook(workbook(outcome))
    yield from _of_page(outcome, page(outcome))


def missing_in_print(outcome: Outcome) -> tuple[str, ...]:
    """Return cells of the tables of the page that terminal or PDF do not have, in words.

    Parameters
    ----------
    outcome : Outcome
    """
    terminal = _bare(text(outcome, width=240))
    reader = pypdf.PdfReader(io.BytesIO(document(outcome)))
    paper = _bare("".join(sheet.extract_text() for sheet in reader.pages))
    cells = {
        _bare(cell)
        for table in tables_of(page(outcome))
        if _columns(outcome, table.heads)
        for row in table.rows
        for cell in row
        if "±" in cell
    }
    found = [f"{cell} is not on the terminal" for cell in cells if cell not in terminal]
    return (*found, *(f"{cell} is not on paper" for cell in cells if cell not in paper))


def of_plan(plan: Plan, setting: Setting) -> Iterator[Printed]:
    """Yield what plan and key say of the row before it is poured.

    Parameters
    ----------
    plan : Plan
    setting : Setting
        Of the sheets for the same experiment.
    """
    for run in plan.expected.runs:
        yield Printed(name=f"loss of run {run.run}, g", where="plan", value=run.lost.value)
    rows = key_data(setting)["table"]["rows"]
    heads = key_data(setting)["table"]["heads"]
    lost = next((i for i, head in enumerate(heads) if head.startswith("loss")), None)
    for row in rows:
        if lost is not None:
            value, last = _number(row[lost])
            yield Printed(name=f"loss of run {row[0]}, g", where="key", value=value, last=last)
    experiment = plan.experiment
    if experiment.grows == "reagent":
        # What the ware keeps back at a pour lies between the reading and what is in the vessel.
        delivered = equivalence_volume(experiment)
        kept = plan.expected.equivalence.value - delivered
        yield Printed(
            name="equivalence point in the vessel, mL",
            where="plan",
            value=float(millilitres(plan.expected.equivalence.value - kept)),
        )
        said = next(iter(re.findall(r"([\d.]+)\s*mL", key_data(setting)["equivalence"])), None)
        if said is not None and delivered > 0:
            value, last = _number(said)
            yield Printed(
                name="equivalence point in the vessel, mL", where="key", value=value, last=last
            )


_OF_RUN = {
    "reagent_mol": ("reagent, mmol", 1000.0),
    "sample_mol": ("sample, mmol", 1000.0),
    "gas_usual_g": ("mass lost, g", 1.0),
    "retained_g": ("held back, g", 1.0),
    "gas_full_g": ("gas made, g", 1.0),
    "gas_expected_g": ("gas expected, g", 1.0),
    "yield_percent": ("yield, %", 1.0),
    "pH_expected": ("pH", 1.0),
}


def _of_payload(made: dict[str, Any]) -> Iterator[Printed]:
    for run in made["runs"]:
        for key, (name, factor) in _OF_RUN.items():
            yield from _quantity(f"run {run['run']}: {name}", run[key], factor)
        for key in ("reagent_mol", "sample_mol", "gas_expected_g", "yield_percent"):
            name, factor = _OF_RUN[key]
            yield from _quantity(f"run {run['run']}, textbook: {name}", run["usual"][key], factor)
    for which in ("usual", "full"):
        series = made["series"][which]
        yield from _quantity(f"{which}: content, %", series["sample_mass_fraction"], 100.0)
        yield from _quantity(f"{which}: equivalence, mL", series["equivalence_mL"], 1.0)


def _quantity(name: str, held: dict[str, Any] | None, factor: float) -> Iterator[Printed]:
    if held is not None:
        yield Printed(name=name, where="JSON", value=factor * held["value"])
        yield Printed(name=f"u of {name}", where="JSON", value=factor * held["u"])


_CSV = {
    "reagent_mmol": "reagent, mmol",
    "sample_mmol": "sample, mmol",
    "gas_found_g": "mass lost, g",
    "retained_g": "held back, g",
    "gas_full_g": "gas made, g",
    "gas_expected_g": "gas expected, g",
    "yield_percent": "yield, %",
    "pH_expected": "pH",
}


def _of_csv(written: str) -> Iterator[Printed]:
    for row in csv.DictReader(io.StringIO(written)):
        for column, name in _CSV.items():
            if row[column]:
                yield _six_digits(f"run {row['run']}: {name}", row[column])
        for column, name in (("usual_gas_expected_g", "gas expected, g"),
                             ("usual_yield_percent", "yield, %")):  # fmt: skip
            if row[column]:
                yield _six_digits(f"run {row['run']}, textbook: {name}", row[column])


def _six_digits(name: str, cell: str) -> Printed:
    value = float(cell)
    exponent = int(f"{value:.5e}".partition("e")[2])
    return Printed(name=name, where="CSV", value=value, last=10.0 ** (exponent - 5))


def _of_workbook(data: bytes) -> Iterator[Printed]:
    book = openpyxl.load_workbook(io.BytesIO(data), data_only=True)
    sheet = book["Textbook calculation"]
    columns = {3: "mass lost, g", 4: "reagent, mmol", 7: "sample, mmol", 9: "gas expected, g",
               10: "yield, %"}  # fmt: skip
    for row in sheet.iter_rows(min_row=7, values_only=True):
        for place, name in columns.items():
            if row[0] and isinstance(row[place], int | float):
                own = "" if name == "mass lost, g" else ", textbook"
                yield Printed(name=f"run {row[0]}{own}: {name}", where="workbook", value=row[place])
    for cell, name, factor in (("content", "usual: content, %", 100.0),
                               ("equivalence_mL", "usual: equivalence, mL", 1.0)):  # fmt: skip
        if cell in book.defined_names:
            where, _, ref = book.defined_names[cell].attr_text.rpartition("!")
            value = factor * book[where.strip("'")][ref.replace("$", "")].value
            # The sheet's lines are the program's to seven digits.
            yield Printed(name=name, where="workbook", value=value, last=1e-6 * abs(value))


def _of_page(outcome: Outcome, made: str) -> Iterator[Printed]:
    for table in tables_of(made):
        columns = _columns(outcome, table.heads)
        for row in table.rows if columns else ():
            for place, name in columns.items():
                value, _, u = row[place].partition("±")
                if not u:
                    continue
                run = row[0].rstrip("*")
                number, last = _number(value)
                width, _ = _number(u)
                yield Printed(name=f"run {run}: {name}", where="page", value=number, last=last)
                yield Printed(name=f"u of run {run}: {name}", where="page", value=width, last=last)


def _columns(outcome: Outcome, heads: tuple[str, ...]) -> dict[int, str]:
    """Return the columns of a table of runs by the model, with the names of their quantities."""
    reaction = outcome.experiment.reaction
    reagent, analyte, gas = (
        _bare(typeset.formula(formula))
        for formula in (reaction.reagent, reaction.analyte, reaction.gas)
    )
    if outcome.full.series is None:
        return {}
    names = {
        f"{reagent}mmol": "reagent, mmol",
        f"{analyte}mmol": "sample, mmol",
        "pH": "pH",
        "masslostg": "mass lost, g",
        "heldbackg": "held back, g",
        f"{gas}madeg": "gas made, g",
        f"{gas}expectedg": "gas expected, g",
        "yield%": "yield, %",
    }
    bare = [_bare(head) for head in heads]
    return {place: names[head] for place, head in enumerate(bare) if head in names}


def _number(shown: str) -> tuple[float, float]:
    """Return a printed number and the size of one in its last place."""
    plain = _bare(shown).replace("−", "-").rstrip("*gmL")
    decimals = len(plain.partition(".")[2])
    return float(plain), 10.0**-decimals


def _bare(shown: str) -> str:
    return re.sub(r"\s", "", shown)


@dataclass(slots=True)
class HtmlTable:
    """Heads and rows of a table of a page."""

    heads: tuple[str, ...] = ()
    rows: list[tuple[str, ...]] = field(default_factory=list)


class _Tables(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tables: list[HtmlTable] = []
        self.row: list[str] = []
        self.is_head = False
        self.inside = False

    def handle_starttag(self, tag: str, _: object) -> None:
        if tag == "table":
            self.tables.append(HtmlTable())
        elif tag == "tr":
            self.row, self.is_head = [], True
        elif tag in ("td", "th"):
            self.row.append("")
            self.inside, self.is_head = True, self.is_head and tag == "th"

    def handle_endtag(self, tag: str) -> None:
        if tag in ("td", "th"):
            self.inside = False
        elif tag == "tr" and self.tables and self.row:
            if self.is_head:
                self.tables[-1].heads = tuple(self.row)
            else:
                self.tables[-1].rows.append(tuple(self.row))

    def handle_data(self, data: str) -> None:
        if self.inside and self.row:
            self.row[-1] += data


def tables_of(made: str) -> list[HtmlTable]:
    """Return the tables of a page.

    Parameters
    ----------
    made : str
        HTML.
    """
    parser = _Tables()
    parser.feed(made)
    return parser.tables
