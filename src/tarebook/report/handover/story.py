"""What the page of a row that is not finished says, in words and rounded numbers."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from tarebook.core.units import millilitres
from tarebook.diagnosis.handover import Fitness, Handover
from tarebook.model.priors import central_parameters
from tarebook.planning.prepare.gas import gas_danger
from tarebook.records.handling import Handling, handling_of
from tarebook.records.readings import NEEDED, RunTable
from tarebook.records.stage import RowStage, Stage
from tarebook.report import numbers, typeset
from tarebook.report.alternatives import liquid_alt
from tarebook.report.cup_tables import (
    cups_tables,
    plan_table,
    planned_table,
    portion,
    to_come_table,
)
from tarebook.report.equipment import Table, instruments_table
from tarebook.report.facts import Fact
from tarebook.report.languages.writing import writing
from tarebook.report.noticed import Said, say_all
from tarebook.report.numbers import NumberStyle
from tarebook.report.outcome import Outcome
from tarebook.report.run_tables import readings_table
from tarebook.report.sheets.cautions import rule_of_flame, said_of_gas
from tarebook.report.standing_words import ABOUT_U, SAFETY
from tarebook.series.experiment import Experiment

VERDICTS: Final = {
    Fitness.FIT: "Fit for the next step",
    Fitness.FIT_WITH_REMARKS: "Fit for the next step, with remarks",
    Fitness.NOT_FIT: "Not fit yet: settle what is said below first",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class HandedOn:
    """Who did what, and when: from the record, or empty for a line to fill in."""

    what: str
    who: str
    when: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HandoverStory:
    """Everything the page says, in the order in which it says it.

    Attributes
    ----------
    stage : str
        As people say it.
    verdict : str
        Empty where nothing was poured yet: then there is nothing to judge.
    fitness : str
        The verdict's code; empty likewise.
    answer : str
    why : tuple of str
        What keeps the row from being plainly fit, in a sentence each; the findings say more.
    next_steps : tuple of str
    missing : str
        What nobody has read yet, and of how many cups.
    planned : Table or None
        Only where nothing was poured yet.
    cups : tuple of Table
        None where nothing is in any.
    beside_plan, to_come, readings : Table or None
    handed_on : tuple of HandedOn
    alarm : str
        What is against letting the gas into the room; empty if nothing is.
    """

    title: str
    equation: str
    invented: str
    made_on: str
    stage: str
    verdict: str
    fitness: str
    answer: str
    why: tuple[str, ...]
    facts: tuple[Fact, ...]
    next_steps: tuple[str, ...]
    missing: str
    planned: Table | None
    cups: tuple[Table, ...]
    beside_plan: Table | None
    to_come: Table | None
    readings: Table | None
    findings: tuple[Said, ...]
    handed_on: tuple[HandedOn, ...]
    alarm: str
    cautions: tuple[str, ...]
    instruments: Table
    about_u: str
    method: str
    liquid_alt: str


def tell_handover(
    outcome: Outcome, handover: Handover, style: NumberStyle = numbers.PRINT
) -> HandoverStory:
    """Return what there is to say about a row that is not finished.

    Parameters
    ----------
    outcome : Outcome
    handover : Handover
        Of the outcome.
    style : NumberStyle
    """
    experiment, stage = outcome.experiment, outcome.stage
    has_cups = bool(handover.poured.cups)
    has_readings = outcome.table.was_read
    date = f", {outcome.made_on}" if outcome.made_on else ""
    return HandoverStory(
        title=experiment.title,
        equation=typeset.equation(experiment.reaction.equation),
        invented=experiment.invented,
        made_on=outcome.made_on,
        stage=_stage(stage),
        verdict=VERDICTS[handover.fitness] if has_cups else "",
        fitness=handover.fitness.value if has_cups else "",
        answer=_answer(outcome, stage),
        why=_why(handover, outcome, style) if has_cups else (),
        facts=_facts(handover, style) if has_cups else (),
        next_steps=_next_steps(experiment, stage, style),
        missing=_missing(outcome.table),
        planned=None if has_cups else planned_table(outcome, style),
        cups=cups_tables(outcome, handover, style),
        beside_plan=plan_table(outcome, handover, style),
        to_come=to_come_table(outcome, handover, style),
        readings=readings_table(outcome, style) if has_readings else None,
        findings=say_all(outcome.findings, style),
        handed_on=_handed_on(stage, handling_of(outcome.table)),
        alarm=said_of_gas(gas_danger(experiment), writing("en")),
        cautions=(*_of_these_cups(experiment, has_cups, style), *SAFETY),
        instruments=instruments_table(experiment, style),
        about_u=ABOUT_U,
        method=f"Tarebook {outcome.version}{date}. Definition {experiment.digest[:8]}.",
        liquid_alt=liquid_alt(outcome, style),
    )


def _stage(stage: RowStage) -> str:
    if not stage.is_mixed:
        return stage.stage.value
    return f"{stage.stage.value} to {stage.furthest.value}"


def _answer(outcome: Outcome, stage: RowStage) -> str:
    n = len(stage.runs)
    counts = {reached: len(stage.at(reached)) for reached in Stage}
    cups = f"{n} cup{'s' if n != 1 else ''}"
    if stage.furthest is Stage.PLANNED:
        weighed = "Some cups were weighed empty; " if outcome.table.was_read else ""
        text = f"{weighed}nothing has been poured yet. {cups} are planned."
        return text[0].upper() + text[1:]
    if not stage.is_mixed:
        doing = {
            Stage.POURED: "hold their liquid and wait for the sample",
            Stage.SAMPLE_WEIGHED: "hold their liquid, and their samples are weighed",
            Stage.REACTED: "have their sample in them and wait for the last weighing",
        }[stage.stage]
        return f"All {cups} {doing}."
    parts = [f"{count} {_DONE[reached]}" for reached, count in counts.items() if count]
    return f"Of {cups}, {typeset.listed(parts)}."


_DONE: Final = {
    Stage.PLANNED: "are still empty",
    Stage.POURED: "hold their liquid",
    Stage.SAMPLE_WEIGHED: "have their sample weighed",
    Stage.REACTED: "wait for the last weighing",
    Stage.FINISHED: "are finished",
}


def _why(handover: Handover, outcome: Outcome, style: NumberStyle) -> tuple[str, ...]:
    """Return the messages of the findings that are reasons, the most severe first."""
    codes = {(reason.code, reason.severity) for reason in handover.reasons}
    reasons = [one for one in outcome.findings if (one.code, one.severity) in codes]
    said = [one.message for one in say_all(reasons, style)]
    more = len(said) - MOST_REASONS
    return (*said[:MOST_REASONS], *([f"And {more} more, below."] if more > 0 else []))


MOST_REASONS: Final = 4


def _facts(handover: Handover, style: NumberStyle) -> tuple[Fact, ...]:
    poured = handover.poured
    reagent, diluent = (
        numbers.quantity(one, style) for one in (poured.hold_up_reagent, poured.hold_up_diluent)
    )
    sides = handover.sides
    found = [
        Fact(
            label="Left behind at the two pours of a cup",
            value=numbers.quantity(poured.hold_up_both, style),
            interval=numbers.interval(poured.hold_up_both, style),
            note=f"by the masses of all cups: reagent {reagent}, diluent {diluent}; the sum is "
            "known better than either",
        ),
        Fact(
            label="Sides of the equivalence point",
            value=f"{sides.before} before, {sides.after} after",
            interval="",
            note="cups that lie there whatever the content in the range looked at; two are needed "
            "on each side",
        ),
    ]
    telling = handover.telling
    if telling is not None:
        as_poured, as_planned = (
            numbers.fixed(100.0 * u, 2, style) for u in (telling.poured, telling.planned)
        )
        found.append(
            Fact(
                label="The content will be known to",
                value=f"±{style.around}{as_poured}{style.gap}%",
                interval="",
                note=f"one u, in per cent by mass, if all cups are finished; as planned it was "
                f"±{style.around}{as_planned}{style.gap}%",
            )
        )
    return tuple(found)


def _next_steps(experiment: Experiment, stage: RowStage, style: NumberStyle) -> tuple[str, ...]:
    """Return what is still to be done, from the step that the hindmost cup has before it."""
    asked = portion(experiment, experiment.sample.nominal_mass, style)
    minutes = numbers.plain(experiment.procedure.minutes, 0.0, style)
    vessel = experiment.vessel.name
    steps = (
        (
            Stage.PLANNED,
            f"Weigh each {vessel} empty. Pour the {experiment.diluent} first, then the "
            f"{experiment.reagent.name}; write down both volumes as they are read. Weigh it with "
            "its liquid.",
        ),
        (
            Stage.POURED,
            f"Weigh a portion of {experiment.sample.name} for each cup "
            f"({asked}{style.gap}g, unless its row says otherwise) and write it down.",
        ),
        (
            Stage.POURED,
            "If a cup stood for more than a few minutes since it was weighed with its liquid, "
            f"weigh it again right before the sample goes in: {_evaporation(experiment, style)} "
            "of water leave it in an hour and would count as gas. Correct the reading; what stood "
            "there before stays in the record.",
        ),
        (
            Stage.SAMPLE_WEIGHED,
            "Put the sample in, a little at a time where it foams, and swirl until the fizzing "
            "stops.",
        ),
        (
            Stage.REACTED,
            f"Wait {minutes}{style.gap}min from the end of the fizzing, write down how long it "
            "was, and weigh the cup for the last time.",
        ),
    )
    return tuple(text for at, text in steps if at.place >= stage.stage.place)


def _missing(table: RunTable) -> str:
    """Return what a result needs and nobody has read yet."""
    n = len(table.runs)
    lacking = [
        f"{quantity.words} ({left} of {n})"
        for quantity in NEEDED
        if (left := sum(not table.of(run, quantity) for run in table.runs))
    ]
    if not lacking:
        return ""
    return f"Not read yet, by the number of cups: {typeset.listed(lacking)}."


def _evaporation(experiment: Experiment, style: NumberStyle) -> str:
    per_hour = 60.0 * float(central_parameters(experiment).evaporation)
    return f"some {numbers.plain(float(f'{per_hour:.1g}'), 0.0, style)}{style.gap}g"


def _handed_on(stage: RowStage, handling: Iterable[Handling]) -> tuple[HandedOn, ...]:
    """Return the lines that say who did what: as recorded, else to be filled in."""
    done = {one.stage: one for one in handling}
    lines = [HandedOn(what="Stock checked", who="", when="")]
    if stage.furthest.place >= Stage.POURED.place:
        lines.append(_line("Cups filled and weighed", done.get(Stage.POURED)))
    if stage.furthest.place >= Stage.SAMPLE_WEIGHED.place:
        lines.append(_line("Samples weighed", done.get(Stage.SAMPLE_WEIGHED)))
    return (*lines, *(HandedOn(what=what, who="", when="") for what in ("Handed on", "Taken over")))


def _line(what: str, step: Handling | None) -> HandedOn:
    if step is None:
        return HandedOn(what=what, who="", when="")
    first, last = (f"{at:%Y-%m-%d %H:%M}" for at in (step.first, step.last))
    if first[:10] == last[:10]:
        last = last[11:]
    zone = f"{step.last:%Z}" or "UTC"
    when = f"{first} {zone}" if step.first == step.last else f"{first} to {last} {zone}"
    return HandedOn(what=what, who=", ".join(step.who), when=when)


def _of_these_cups(experiment: Experiment, has_cups: bool, style: NumberStyle) -> tuple[str, ...]:
    flame = rule_of_flame(experiment.reaction.gas, writing("en"))
    burns = (flame,) if flame else ()
    if not has_cups:
        return burns
    most = max(experiment.planned, key=lambda run: run.reagent)
    strength = experiment.reagent.concentration.value * most.reagent
    strength /= max(most.reagent + most.diluent, 1e-9)
    shown = numbers.plain(float(f"{strength:.2g}"), 0.0, style)
    volume = numbers.plain(millilitres(experiment.total_volume), 0.0, style)
    return (
        *burns,
        f"The cups hold {volume}{style.gap}mL each of {experiment.reagent.name}, up to "
        f"{shown}{style.gap}mol/L: leave none of them without its label, and none unattended "
        "where others pass.",
        "Cover the cups loosely if they have to stand; carry them on a tray, goggles on.",
    )
