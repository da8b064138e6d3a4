"""The outputs for machines: JSON, CSV and workbook, whose numbers stand under names already."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from scripts.one_voice.outputs import Outputs
from scripts.one_voice.voices import Printed

from tarebook.report import model_words
from tarebook.series.experiment import Experiment

_OF_RUN = {
    "reagent_mol": ("reagent, mmol", 1000.0),
    "sample_mol": ("sample, mmol", 1000.0),
    "gas_usual_g": ("mass lost, g", 1.0),
    "retained_g": ("held back, g", 1.0),
    "gas_full_g": ("gas made, g", 1.0),
    "gas_expected_g": ("gas expected, g", 1.0),
    "yield_percent": ("yield, %", 1.0),
    "yield_of_claim_percent": ("yield of the claim, %", 1.0),
    "pH_expected": ("pH", 1.0),
}
_OF_USUAL = ("reagent_mol", "sample_mol", "gas_expected_g", "yield_percent")

_BENCH = {"mol/g": 1000.0, "L": 1000.0, "1": 100.0, "g/g": 100.0, "Pa": 0.001, "g/min": 1000.0}
"""How many bench units make one unit of the JSON."""


def of_json(out: Outputs) -> Iterator[Printed]:
    """Yield every quantity of the payload that another output has too.

    Parameters
    ----------
    out : Outputs
    """
    for run in out.json["runs"]:
        yield from _of_json_run(run)
    yield from _held_back(out)
    for which in ("usual", "full"):
        series = out.json["series"][which]
        yield from _both(f"{which}: content, %", series["sample_mass_fraction"], 100.0)
        for unit in ("mL", "g"):
            yield from _both(f"{which}: equivalence, {unit}", series[f"equivalence_{unit}"], 1.0)
        yield from _both(f"{which}: second content, %", series.get("content_from_equivalence"),
                         100.0)  # fmt: skip
        yield from _of_claim(which, series.get("claim"))
    full = out.json["series"]["full"]
    for step in full.get("waterfall") or ():
        name = model_words.effect_label(step["label"])
        yield _held(f"{name}, change", 100.0 * step["change"])
        yield _held(f"with {name}, %", 100.0 * step["mass_fraction"])
    for parameter in full.get("parameters") or ():
        yield from _of_parameter(parameter, out.outcome.experiment)
    for name in ("chi2", "dof"):
        if full[name] is not None:
            yield _held(f"full: {name}", full[name])
    if full.get("p_chi2") is not None:
        yield _held("full: p of chi2, %", 100.0 * full["p_chi2"])
    for share in out.json["budget"]:
        yield _held(f"share of {share['source']}, %", 100.0 * share["share"])


def _of_json_run(run: dict[str, Any]) -> Iterator[Printed]:
    for key, (name, factor) in _OF_RUN.items():
        yield from _both(f"run {run['run']}: {name}", run[key], factor)
    for key in _OF_USUAL:
        name, factor = _OF_RUN[key]
        yield from _both(f"run {run['run']}, textbook: {name}", run["usual"][key], factor)
    for whose, found in (("", run), (", textbook", run["usual"])):
        p = found["p_reagent_limiting"]
        if p is not None:
            chance = p if found["limiting"] == "reagent" else 1.0 - p
            yield _held(f"run {run['run']}{whose}: chance, %", 100.0 * chance)
    for key, value in (run["corrections"] or {}).items():
        if value is not None:
            yield _held(f"run {run['run']}: {key}", value)


def _held_back(out: Outputs) -> Iterator[Printed]:
    """Yield the least and the most gas that an open cup with sample held back."""
    experiment = out.outcome.experiment
    blank = {planned.run for planned in experiment.planned if planned.is_blank}
    amounts = [
        run["retained_g"]["value"]
        for run in out.json["runs"]
        if run["retained_g"] and run["run"] not in blank and not experiment.is_sealed(run["run"])
    ]
    if amounts:
        yield _held("least held back, g", min(amounts))
        yield _held("most held back, g", max(amounts))


def _of_claim(which: str, claim: dict[str, Any] | None) -> Iterator[Printed]:
    if claim is None:
        return
    yield from _both("label: content, %", claim["claimed_mass_fraction"], 100.0)
    yield _held(f"{which}: apart from the label, %", abs(100.0 * claim["difference"]))
    if claim["how_many_u"] is not None:
        yield _held(f"{which}: apart from the label, u", claim["how_many_u"])


def _of_parameter(parameter: dict[str, Any], experiment: Experiment) -> Iterator[Printed]:
    name = model_words.parameter_name(parameter["name"], experiment)
    unit = parameter["value"]["unit"]
    factor = 1.0 if parameter["name"] in model_words.PURE else _BENCH.get(unit, 1.0)
    yield from _both(f"{name}, after", parameter["value"], factor)
    yield _held(f"{name}, learned, %", 100.0 * parameter["learned"])
    centre, u = parameter["prior"], parameter["prior_u"]
    if u is None:
        return
    if parameter["scale"] == "logarithmic":
        u *= centre
    elif parameter["scale"] == "logistic":
        u *= centre * (1.0 - centre)
    yield from _both(f"{name}, before", {"value": centre, "u": u}, factor)


def _both(name: str, held: dict[str, Any] | None, factor: float) -> Iterator[Printed]:
    if held is None:
        return
    yield _held(name, factor * held["value"])
    for part in ("u", "low", "high"):
        if held.get(part) is not None:
            yield _held(f"{part} of {name}", factor * held[part])


def _held(name: str, value: float) -> Printed:
    return Printed(name=name, where="JSON", value=value)


_CSV = {
    "reagent{}_mmol": "reagent, mmol",
    "sample{}_mmol": "sample, mmol",
    "gas_found{}_g": "mass lost, g",
    "retained{}_g": "held back, g",
    "gas_full{}_g": "gas made, g",
    "gas_expected{}_g": "gas expected, g",
    "yield{}_percent": "yield, %",
    "yield_of_claim{}_percent": "yield of the claim, %",
    "pH_expected{}": "pH",
}
_CSV_USUAL = {
    "usual_gas_expected{}_g": "gas expected, g",
    "usual_yield{}_percent": "yield, %",
}
_PARTS = {"": "", "_u": "u of ", "_low": "low of ", "_high": "high of "}


def of_csv(out: Outputs) -> Iterator[Printed]:
    """Yield every quantity of the CSV.

    Parameters
    ----------
    out : Outputs
    """
    for row in out.csv:
        for columns, whose in ((_CSV, ""), (_CSV_USUAL, ", textbook")):
            for column, name in columns.items():
                for part, words in _PARTS.items():
                    cell = row[column.format(part)]
                    if cell:
                        yield _digits(f"{words}run {row['run']}{whose}: {name}", cell, 6)
        for column, whose in (("", ""), ("usual_", ", textbook")):
            p = row[f"{column}p_reagent_limiting"]
            if p:
                chance = float(p) if row[f"{column}limiting"] == "reagent" else 1.0 - float(p)
                yield Printed(
                    name=f"run {row['run']}{whose}: chance, %", where="CSV",
                    value=100.0 * chance, last=100.0 * _last(float(p), 4),
                )  # fmt: skip


def _digits(name: str, cell: str, digits: int) -> Printed:
    value = float(cell)
    return Printed(name=name, where="CSV", value=value, last=_last(value, digits))


def _last(value: float, digits: int) -> float:
    exponent = int(f"{value:.{digits - 1}e}".partition("e")[2])
    return 10.0 ** (exponent - digits + 1)


_USUAL_SHEET = {3: "mass lost, g", 4: "reagent, mmol", 7: "sample, mmol", 9: "gas expected, g",
                10: "yield, %"}  # fmt: skip
_MODEL_SHEET = {1: "mass lost, g", 2: "dissolved_g", 3: "head_gas_g", 4: "held back, g",
                5: "vapour_g", 6: "evaporated_g", 7: "rest_g", 8: "gas made, g",
                10: "gas expected, g", 12: "pH"}  # fmt: skip
_NAMED = {
    "content": ("usual: content, %", 100.0),
    "equivalence_mL": ("usual: equivalence, mL", 1.0),
    "equivalence_g": ("usual: equivalence, g", 1.0),
    "content_from_equivalence": ("usual: second content, %", 100.0),
    "full_content": ("full: content, %", 100.0),
    "full_equivalence_mL": ("full: equivalence, mL", 1.0),
    "full_equivalence_g": ("full: equivalence, g", 1.0),
}
"""Results by the names of their cells."""


def of_workbook(out: Outputs) -> Iterator[Printed]:
    """Yield every quantity of the workbook that another output has too.

    Parameters
    ----------
    out : Outputs
    """
    book, runs = out.workbook, out.outcome.table.runs
    for name, (what, factor) in _NAMED.items():
        cell = _cell(book, name)
        if cell is None:
            continue
        # The sheet's lines are the program's to seven digits.
        yield _in_book(what, factor * cell.value, 1e-6)
        u = cell.offset(column=1 if name.startswith("full") else 2).value
        yield _in_book(f"u of {what}", factor * u, 1e-6)
        if name.startswith("full"):
            for part, column in (("low", 2), ("high", 3)):
                yield _in_book(f"{part} of {what}", factor * cell.offset(column=column).value)
    usual = _cell(book, "content_used").parent
    for row in usual.iter_rows(min_row=7, max_row=6 + len(runs), values_only=True):
        for place, name in _USUAL_SHEET.items():
            if isinstance(row[place], int | float):
                whose = "" if name == "mass lost, g" else ", textbook"
                yield _in_book(f"run {row[0]}{whose}: {name}", row[place])
    full = _cell(book, "full_content")
    if full is not None:
        yield from _of_model_sheet(full.parent, out)


def _of_model_sheet(sheet: Any, out: Outputs) -> Iterator[Printed]:
    runs = out.outcome.table.runs
    limits = {run["run"]: run["limiting"] for run in out.json["runs"]}
    for row in sheet.iter_rows(min_row=7, max_row=6 + len(runs), values_only=True):
        for place, name in _MODEL_SHEET.items():
            if isinstance(row[place], int | float):
                yield _in_book(f"run {row[0]}: {name}", row[place])
        if isinstance(row[9], int | float):
            yield _in_book(f"u of run {row[0]}: gas made, g", row[9])
        if isinstance(row[11], int | float):
            chance = row[11] if limits[row[0]] == "reagent" else 1.0 - row[11]
            yield _in_book(f"run {row[0]}: chance, %", 100.0 * chance)
    named = {model_words.effect_label(step["label"]): step
             for step in out.json["series"]["full"]["waterfall"]}  # fmt: skip
    for row in sheet.iter_rows(min_row=7 + len(runs), values_only=True):
        if str(row[2]).startswith("before: "):
            yield _in_book(f"{row[0]}, learned, %", 100.0 * row[1])
        elif row[0] in named:
            if isinstance(row[1], int | float):
                yield _in_book(f"{row[0]}, change", 100.0 * row[1])
            if isinstance(row[2], int | float):
                yield _in_book(f"with {row[0]}, %", 100.0 * row[2], 1e-6)


def _cell(book: Any, name: str) -> Any:
    """Return the cell that has a name; None where the book has no such cell."""
    if name not in book.defined_names:
        return None
    where, _, ref = book.defined_names[name].attr_text.rpartition("!")
    return book[where.strip("'")][ref.replace("$", "")]


def _in_book(name: str, value: float, relative: float = 0.0) -> Printed:
    return Printed(name=name, where="workbook", value=value, last=relative * abs(value))
