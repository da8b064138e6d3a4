"""What is printed before a row is poured: plan, key and handout, beside the equation by hand."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from scripts.one_voice.lines import Found, Line, find, line
from scripts.one_voice.outputs import one_line, words_of_paper
from scripts.one_voice.steps import calculated
from scripts.one_voice.voices import Printed, read_number

from tarebook.model.cup_chemistry import protons_of_extent
from tarebook.model.limiting import lag_of
from tarebook.model.priors import priors
from tarebook.planning.prepare.amounts import own_protons
from tarebook.report.equipment import Table
from tarebook.report.plan_document import plan_document
from tarebook.report.plan_outcome import PlanOutcome
from tarebook.report.plan_payload import plan_payload
from tarebook.report.plan_story import PlanStory, tell_plan
from tarebook.report.plan_text import plan_text
from tarebook.report.sheets.handout import handout, plan_table
from tarebook.report.sheets.key import key, key_data
from tarebook.report.sheets.setting import Data, Setting
from tarebook.series.experiment import Experiment

EVERY = ("equation", "plan", "plan on the terminal", "plan on paper", "key", "handout")
"""Every output of a row that is not poured, and the equation by hand."""


@dataclass(kw_only=True)
class Sheets:
    """What is printed of one row before it is poured.

    Attributes
    ----------
    setting : Setting
    plan : dict
        The JSON.
    texts : dict of str to str
        All others.
    story : PlanStory
    key_data, handout_rows : dict
        What key and handout set: here only their words serve.
    """

    setting: Setting
    plan: dict[str, Any]
    texts: dict[str, str]
    story: PlanStory
    key_data: Data
    handout_rows: Data


def print_sheets(outcome: PlanOutcome, setting: Setting) -> Sheets:
    """Return every output of a row that is not poured.

    Parameters
    ----------
    outcome : PlanOutcome
    setting : Setting
        Of the sheets for the same experiment.
    """
    return Sheets(
        setting=setting,
        plan=plan_payload(outcome),
        texts={
            "plan on the terminal": one_line(plan_text(outcome, width=400)),
            "plan on paper": one_line(words_of_paper(plan_document(outcome))),
            "key": one_line(words_of_paper(key(setting))),
            "handout": one_line(words_of_paper(handout(setting))),
        },
        story=tell_plan(outcome),
        key_data=key_data(setting),
        handout_rows=plan_table(setting),
    )


def gather_sheets(sheets: Sheets) -> Found:
    """Return every quantity of every output, and the lines that an output lacks.

    Parameters
    ----------
    sheets : Sheets
    """
    found = Found()
    for where in EVERY:
        one = gather_sheet(sheets, where)
        found.printed += one.printed
        found.missing += one.missing
    return found


def gather_sheet(sheets: Sheets, where: str) -> Found:
    """Return the quantities of one output.

    Parameters
    ----------
    sheets : Sheets
    where : str
        One of `EVERY`.
    """
    if where == "equation":
        return Found(printed=list(_by_hand(sheets)))
    if where == "plan":
        return Found(printed=list(_of_plan(sheets.plan)))
    lines = {"key": _of_key, "handout": _of_handout}.get(where, _of_story)(sheets)
    return find(lines, sheets.texts[where], where)


def _by_hand(sheets: Sheets) -> Iterator[Printed]:
    """Yield what the equation says, worked out here from the definition alone."""
    experiment = sheets.setting.prepared.experiment
    reaction, claimed = experiment.reaction, experiment.sample.claimed_mass_fraction
    assert claimed is not None
    protons, lag = protons_of_extent(reaction), lag_of(reaction)
    strength = experiment.reagent.concentration.value / reaction.reagent_coefficient
    per_gram = claimed.value / reaction.analyte_molar_mass.value / reaction.analyte_coefficient
    own = own_protons(experiment) / protons if protons else 0.0

    def printed(name: str, value: float) -> Printed:
        return Printed(name=name, where="equation", value=value)

    for run in experiment.planned:
        base = run.sample * per_gram
        reacted = min(strength * run.reagent + own * run.sample, base)
        gas = max(reacted - lag * base, 0.0) / (1.0 - lag) * reaction.gas_coefficient
        amounts = (strength * run.reagent * reaction.reagent_coefficient,
                   own * protons * run.sample, base * reaction.analyte_coefficient)  # fmt: skip
        for name, amount in zip(("reagent", "own acid", "analyte"), amounts, strict=True):
            if name == "own acid" and not own:
                continue
            yield printed(f"run {run.run}: {name}, mmol", 1000.0 * amount)
        yield printed(f"run {run.run}: gas, g", gas * reaction.gas_molar_mass.value)
    left, capacity = _left_in_ware(experiment), experiment.equipment.reagent.capacity
    if experiment.grows == "sample":
        poured = experiment.planned[0].reagent
        reached = poured - left * math.ceil(poured / capacity)
        yield printed("equivalence", strength * poured / (per_gram - own))
        yield printed("equivalence as read", strength * reached / (per_gram - own))
    else:
        needed = experiment.sample.nominal_mass * (per_gram - own) / strength
        fillings = math.ceil((needed + left * math.ceil(needed / capacity)) / capacity)
        yield printed("equivalence", 1000.0 * needed)
        yield printed("equivalence as read", 1000.0 * (needed + left * fillings))


def _left_in_ware(experiment: Experiment) -> float:
    """Return what is known beforehand of the reagent that one pour leaves behind, [L]."""
    (held,) = (prior for prior in priors(experiment) if prior.name == "hold_up_reagent")
    return held.centre


def _of_plan(plan: dict[str, Any]) -> Iterator[Printed]:
    def printed(name: str, value: float) -> Printed:
        return Printed(name=name, where="plan", value=value)

    unit = "mL" if plan["equivalence_g"] is None else "g"
    yield printed("equivalence", plan[f"equivalence_by_equation_{unit}"])
    yield printed("equivalence as read", plan[f"equivalence_{unit}"]["value"])
    for run in plan["runs"]:
        which = f"run {run['run']}"
        for what in ("reagent_mL", "diluent_mL", "sample_g"):
            yield printed(f"{which}: {what}", run[what])
        lost = run["lost_g"]
        yield printed(f"{which}: loss, g", lost["value"])
        yield printed(f"low of {which}: loss, g", lost["low"])
        yield printed(f"high of {which}: loss, g", lost["high"])
        yield printed(f"{which}: loss, u", run["lost_over_u"])
        yield printed(f"{which}: reagent limits, %", 100.0 * run["p_reagent_limiting"])
        yield printed(f"{which}: content without it, %",
                      100.0 * run["without_it_u_content_grows_by"])  # fmt: skip
        yield printed(f"{which}: equivalence without it, %",
                      100.0 * run["without_it_u_equivalence_grows_by"])  # fmt: skip


def _of_story(sheets: Sheets) -> Iterator[Line]:
    story = sheets.story
    if sheets.plan["works"]:
        yield line(
            story.answer, _of_equivalence(story.answer, ("equivalence as read", "equivalence"))
        )
    else:
        yield line(story.answer)
    for sentence in (story.prospect, story.takes, story.vessel):
        yield line(sentence)
    parts = ["reagent_mL", "diluent_mL", "sample_g", "loss, g", "low", "high", "loss, u",
             "reagent limits, %", "content without it, %", "equivalence without it, %"]  # fmt: skip
    if len(story.runs.columns) == len(parts) - 1:
        parts.remove("sample_g")
    for row in story.runs.rows:
        names = {
            place: f"{part} of run {row[0]}: loss, g" if part in ("low", "high")
            else f"run {row[0]}: {part}"
            for place, part in enumerate(parts)
        }  # fmt: skip
        yield line(" ".join(row[1:]), names, start=f"{row[0]} ")
    for table in (story.rows, story.care, story.variants):
        yield from _rows(table)


def _rows(table: Table) -> Iterator[Line]:
    for row in table.rows:
        yield line(" ".join(row[1:]), start=f"{row[0]} ")


def _of_key(sheets: Sheets) -> Iterator[Line]:
    data, experiment = sheets.key_data, sheets.setting.prepared.experiment
    own = own_protons(experiment) > 0
    parts = ("reagent, mmol", *(("own acid, mmol",) if own else ()), "analyte, mmol", "gas, g",
             "loss, g")  # fmt: skip
    for row in data["table"]["rows"]:
        names = {place: f"run {row[0]}: {part}" for place, part in enumerate(parts)}
        yield line(" ".join(row[1:]), names, start=f"{row[0]} ", only=True)
    said = data["equivalence"]
    yield line(said, _of_equivalence(said, ("equivalence", "equivalence as read")), only=True)


def _of_equivalence(sentence: str, names: tuple[str, str]) -> dict[int, str]:
    """Return what the numbers of a sentence are: one alone stands for both."""
    unit = re.compile(r"(?<=[0-9])\s?(?:mL|g)\b")
    return dict(enumerate(names[: len(unit.findall(one_line(sentence)))]))


def _of_handout(sheets: Sheets) -> Iterator[Line]:
    parts = ("reagent_mL", "diluent_mL", "sample_g")
    for row in sheets.handout_rows["rows"]:
        names = {place: f"run {row[0]}: {part}" for place, part in enumerate(parts)}
        yield line(" ".join(row[1:]), names, start=f"{row[0]} ")


_ANSWER = re.compile(
    r"(?<![\w.(])(?P<sum>\(?[0-9][^=;:]*) = (?P<result>[0-9.]+) (?P<unit>mmol|mol/L|mL|g|kPa)"
)


def answers_not_reproduced(sheets: Sheets) -> tuple[tuple[str, ...], int]:
    """Return the answers of the key that do not follow from what they print, and how many do.

    Parameters
    ----------
    sheets : Sheets
    """
    wrong, done = [], 0
    for _, answer in sheets.key_data["answers"]:
        for found in _ANSWER.finditer(one_line(answer).replace(" J/(mol K)", "")):
            done += 1
            shown, last = read_number(found["result"])
            again = _in_unit(found["sum"], found["unit"])
            if abs(again - shown) > 1.0001 * last:
                wrong.append(f"{found[0]}, but it comes to {again:.6g}")
    return tuple(wrong), done


def _in_unit(words: str, unit: str) -> float:
    """Return what a sum of the key comes to, in the unit of its result."""
    bare = re.sub(r"([0-9.]+)%(?: \S+)?", r"\1 / 100", words)
    bare = re.sub(r" from the acid of the sample| K\b", "", bare)
    factor = 1.0
    if unit == "mmol" and "/ 100" in bare:
        factor = 1000.0
    elif unit == "g" and "mmol" in bare:
        factor = 0.001
    return factor * calculated(bare)
