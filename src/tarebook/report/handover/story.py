"""What the page of a row that is not finished says, in words and rounded numbers."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from tarebook.core.units import millilitres
from tarebook.diagnosis.handover import Fitness, Handover
from tarebook.planning.prepare.gas import gas_danger
from tarebook.records.handling import Handling, handling_of
from tarebook.records.readings import NEEDED, RunTable
from tarebook.records.stage import RowStage, Stage
from tarebook.reduction.poured.results import PouredRow
from tarebook.report import numbers, typeset
from tarebook.report.alternatives import liquid_alt
from tarebook.report.cup_tables import (
    cups_tables,
    plan_table,
    planned_table,
    to_come_table,
)
from tarebook.report.equipment import Table, instruments_table
from tarebook.report.facts import Fact
from tarebook.report.languages.words import Words
from tarebook.report.languages.writing import Writing, writing
from tarebook.report.next_steps import next_steps
from tarebook.report.noticed import Said, say_all
from tarebook.report.outcome import Outcome
from tarebook.report.rests_on import rests_on
from tarebook.report.run_tables import readings_table
from tarebook.report.sheets.cautions import always, rule_of_flame, said_of_gas
from tarebook.series.experiment import Experiment


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
    language : str
        Such as ``"en"``.
    said : mapping of str to str
        What stands over the parts of the page.
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

    language: str
    said: Mapping[str, str]
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
    outcome: Outcome, handover: Handover, how: Writing | None = None
) -> HandoverStory:
    """Return what there is to say about a row that is not finished.

    Parameters
    ----------
    outcome : Outcome
    handover : Handover
        Of the outcome.
    how : Writing, optional
        Language and numbers; English without it. What the checks noticed is English always.
    """
    how = how or writing("en")
    experiment, stage = outcome.experiment, outcome.stage
    words, _style = how.words, how.style
    has_cups = bool(handover.poured.cups)
    date = f", {outcome.made_on}" if outcome.made_on else ""
    return HandoverStory(
        language=words.language,
        said=_titles(handover, words),
        title=experiment.title,
        equation=typeset.equation(experiment.reaction.equation),
        invented=experiment.invented,
        made_on=outcome.made_on,
        stage=words("handover.stage", stage=_stage(stage, words)),
        verdict=words(f"handover.verdict_{handover.fitness.value}") if has_cups else "",
        fitness=handover.fitness.value if has_cups else "",
        answer=_answer(outcome, stage, words),
        why=_why(handover, outcome, how) if has_cups else (),
        facts=_facts(handover, how) if has_cups else (),
        next_steps=(*_settle_first(handover, words), *next_steps(experiment, stage, how)),
        missing=_missing(outcome.table, words),
        planned=None if has_cups else planned_table(outcome, how),
        cups=cups_tables(outcome, handover, how),
        beside_plan=plan_table(outcome, handover, how),
        to_come=to_come_table(outcome, handover, how),
        readings=readings_table(outcome, how) if outcome.table.was_read else None,
        findings=say_all(outcome.findings, how),
        handed_on=_handed_on(stage, handling_of(outcome.table), words),
        alarm=said_of_gas(gas_danger(experiment), how),
        cautions=(*_of_these_cups(experiment, handover.poured, how), *always(words)),
        instruments=instruments_table(experiment, how),
        about_u=words("handover.about_u"),
        method=f"Tarebook {outcome.version}{date}. Definition {experiment.digest[:8]}."
        f"{rests_on(outcome.source, words)}",
        liquid_alt=liquid_alt(outcome, how),
    )


def _settle_first(handover: Handover, words: Words) -> tuple[str, ...]:
    """Return what comes before all other steps where cups may not be used as they are."""
    if not handover.poured.cups or handover.fitness is not Fitness.NOT_FIT:
        return ()
    return (words("handover.do_settle", noticed=words("handover.noticed")),)


TITLES: Final = (
    "planned", "cups", "to_come", "next", "handed_on", "what", "who", "when", "noticed",
    "nothing_odd", "beside_plan", "liquid", "liquid_note", "readings", "instruments", "invented",
    "table",
)  # fmt: skip
"""What stands over the parts of the page, and the like."""


def _titles(handover: Handover, words: Words) -> dict[str, str]:
    of_page = {"safety": "safety.title", "page": "sheet.page", "of": "sheet.of"}
    if all(one.final is None for one in handover.to_come.values()):
        of_page["to_come"] = "handover.to_lose"
    keys = {name: f"handover.{name}" for name in TITLES} | of_page
    return {name: words(key) for name, key in keys.items()}


def _stage(stage: RowStage, words: Words) -> str:
    first, last = (words(f"handover.stage_{one.value}") for one in (stage.stage, stage.furthest))
    return words("handover.stages", first=first, last=last) if stage.is_mixed else first


def _answer(outcome: Outcome, stage: RowStage, words: Words) -> str:
    n = len(stage.runs)
    if stage.furthest is Stage.PLANNED:
        key = "answer_tares" if outcome.table.was_read else "answer_planned"
        return words(f"handover.{key}", n=n)
    if not stage.is_mixed:
        return words(f"handover.answer_{stage.stage.value}", n=n)
    parts = [
        words(f"handover.count_{reached.value}", n=len(stage.at(reached)))
        for reached in Stage
        if stage.at(reached)
    ]
    return words("handover.answer_mixed", parts=typeset.listed(parts, words("handover.and")))


def _why(handover: Handover, outcome: Outcome, how: Writing) -> tuple[str, ...]:
    """Return the messages of the findings that are reasons, the most severe first."""
    codes = {(reason.code, reason.severity) for reason in handover.reasons}
    reasons = [one for one in outcome.findings if (one.code, one.severity) in codes]
    said = [one.message for one in say_all(reasons, how)]
    more = len(said) - MOST_REASONS
    last = [how.words("handover.more", n=more)] if more > 0 else []
    return (*said[:MOST_REASONS], *last)


MOST_REASONS: Final = 4


def _facts(handover: Handover, how: Writing) -> tuple[Fact, ...]:
    poured, sides, words, style = handover.poured, handover.sides, how.words, how.style
    reagent, diluent = (
        numbers.quantity(one, style) for one in (poured.hold_up_reagent, poured.hold_up_diluent)
    )
    found = [
        Fact(
            label=words("handover.fact_left"),
            value=numbers.quantity(poured.hold_up_both, style),
            interval=numbers.interval(poured.hold_up_both, style, words("handover.to")),
            note=words("handover.fact_left_note", reagent=reagent, diluent=diluent),
        ),
        Fact(
            label=words("handover.fact_sides"),
            value=words("handover.fact_sides_value", before=sides.before, after=sides.after),
            interval="",
            note=words("handover.fact_sides_note"),
        ),
    ]
    telling = handover.telling
    if telling is not None:
        as_poured, as_planned = (
            f"±{style.around}{numbers.fixed(100.0 * u, 2, style)}{style.gap}%"
            for u in (telling.poured, telling.planned)
        )
        found.append(
            Fact(
                label=words("handover.fact_known"),
                value=as_poured,
                interval="",
                note=words("handover.fact_known_note", planned=as_planned),
            )
        )
    return tuple(found)


def _missing(table: RunTable, words: Words) -> str:
    """Return what a result needs and nobody has read yet."""
    n = len(table.runs)
    lacking = [
        words(
            "handover.not_read_one",
            reading=words(f"handover.read_{quantity.value}"),
            left=left,
            n=n,
        )
        for quantity in NEEDED
        if (left := sum(not table.of(run, quantity) for run in table.runs))
    ]
    if not lacking:
        return ""
    return words("handover.not_read", readings=typeset.listed(lacking, words("handover.and")))


def _handed_on(stage: RowStage, handling: Iterable[Handling], words: Words) -> tuple[HandedOn, ...]:
    """Return the lines that say who did what: as recorded, else to be filled in."""
    done = {one.stage: one for one in handling}
    steps: list[tuple[str, Handling | None]] = [("stock", None)]
    if stage.furthest.place >= Stage.POURED.place:
        steps.append(("poured", done.get(Stage.POURED)))
    if stage.furthest.place >= Stage.SAMPLE_WEIGHED.place:
        steps.append(("samples", done.get(Stage.SAMPLE_WEIGHED)))
    steps += [("handed", None), ("taken", None)]
    return tuple(_line(words(f"handover.done_{key}"), step, words) for key, step in steps)


def _line(what: str, step: Handling | None, words: Words) -> HandedOn:
    if step is None:
        return HandedOn(what=what, who="", when="")
    first, last = (f"{at:%Y-%m-%d %H:%M}" for at in (step.first, step.last))
    if first[:10] == last[:10]:
        last = last[11:]
    zone = f"{step.last:%Z}" or "UTC"
    until = "" if step.first == step.last else f" {words('handover.to')} {last}"
    return HandedOn(what=what, who=", ".join(step.who), when=f"{first}{until} {zone}")


def _of_these_cups(experiment: Experiment, poured: PouredRow, how: Writing) -> tuple[str, ...]:
    """Return the cautions of the gas, and of what stands in the cups if anything does."""
    flame = rule_of_flame(experiment.reaction.gas, how)
    burns = (flame,) if flame else ()
    if not poured.cups:
        return burns
    words, style = how.words, how.style
    volume, strength = most_in_a_cup(experiment, poured)
    shown_volume = numbers.plain(_not_below(millilitres(volume), 3), 0.0, style)
    shown_strength = numbers.plain(_not_below(strength, 2), 0.0, style)
    return (
        *burns,
        words(
            "safety.cups_hold",
            volume=f"{shown_volume}{style.gap}mL",
            name=experiment.reagent.name,
            strength=f"{shown_strength}{style.gap}mol/L",
        ),
        words("safety.cover"),
    )


def most_in_a_cup(experiment: Experiment, poured: PouredRow) -> tuple[float, float]:
    """Return the most liquid and the strongest that stands in any cup, [L] and [mol/L].

    As found, at the upper end of what it may be; the plan speaks of those not filled yet alone.

    Parameters
    ----------
    experiment : Experiment
    poured : PouredRow
    """
    volumes = [cup.reagent.value + cup.diluent.value for cup in poured.cups]
    strengths = [max(cup.concentration.value, cup.concentration.high) for cup in poured.cups]
    stock = experiment.reagent.concentration.value
    for run in experiment.planned:
        total = run.reagent + run.diluent
        if poured.cup(run.run) is None and total > 0:
            volumes.append(total)
            strengths.append(stock * run.reagent / total)
    return max(volumes), max(strengths)


def _not_below(value: float, digits: int) -> float:
    """Return a number rounded up to some significant digits."""
    if value <= 0:
        return 0.0
    step = 10.0 ** (math.floor(math.log10(value)) + 1 - digits)
    return math.ceil(value / step * (1.0 - 1e-9)) * step
