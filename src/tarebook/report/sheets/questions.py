"""Questions before the lesson and their answers, worked out for this very series."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from tarebook.core.units import GAS_CONSTANT
from tarebook.planning.prepare.amounts import (
    PASCAL_LITRES,
    RunSums,
    content,
    equivalence_volume,
    run_sums,
)
from tarebook.report import typeset
from tarebook.report.sheets.bench import sample_target
from tarebook.report.sheets.setting import Setting, short


@dataclass(frozen=True, slots=True)
class Question:
    """A question and how it is worked out."""

    key: str
    asked: str
    answer: str


def questions(setting: Setting) -> tuple[Question, ...]:
    """Return the questions on this series, in the order in which they build on one another.

    Parameters
    ----------
    setting : Setting
    """
    sums = run_sums(setting.prepared.experiment)
    each: tuple[Callable[[Setting, tuple[RunSums, ...]], Question], ...] = (
        _equation,
        _amount,
        _reagent,
        _dilution,
        _limiting,
        _gas,
        _equivalence,
        _tolerance,
        _stopper,
    )
    return tuple(one(setting, sums) for one in each)


def content_words(setting: Setting) -> str:
    """Return the content that the sums take, as a percentage with the analyte's formula."""
    experiment = setting.prepared.experiment
    analyte = typeset.formula(experiment.reaction.analyte)
    return f"{setting.writing.percent(content(experiment), 4)} {analyte}"


def _strength(setting: Setting) -> str:
    return setting.writing.number(setting.prepared.experiment.reagent.concentration.value, 4)


def _molar(setting: Setting, value: float) -> str:
    return setting.writing.fixed(value, 2)


def _question(setting: Setting, which: str, /, **values: object) -> Question:
    words = setting.writing.words
    return Question(
        which, words(f"question.q_{which}", **values), words(f"question.a_{which}", **values)
    )


def _equation(setting: Setting, _: tuple[RunSums, ...]) -> Question:
    reaction = setting.prepared.experiment.reaction
    sides = (reaction.equation.reactants, reaction.equation.products)
    left, right = (
        " + ".join(typeset.formula(species.text) for species, _ in side) for side in sides
    )
    return _question(
        setting,
        "equation",
        species=f"{left} → {right}",
        equation=typeset.equation(reaction.equation),
        gas=typeset.formula(reaction.gas),
    )


def _amount(setting: Setting, sums: tuple[RunSums, ...]) -> Question:
    reaction = setting.prepared.experiment.reaction
    return _question(
        setting,
        "amount",
        analyte=typeset.formula(reaction.analyte),
        molar=_molar(setting, reaction.analyte_molar_mass.value),
        mass=sample_target(setting),
        content=content_words(setting),
        amount=setting.writing.millimoles(sums[0].analyte),
    )


def _middle(sums: tuple[RunSums, ...]) -> int:
    """Return the place of a run in the middle of the row that has some reagent."""
    places = [i for i, one in enumerate(sums) if one.reagent > 0]
    return places[len(places) // 2] if places else 0


def _reagent(setting: Setting, sums: tuple[RunSums, ...]) -> Question:
    experiment, place = setting.prepared.experiment, _middle(sums)
    return _question(
        setting,
        "reagent",
        reagent=typeset.formula(experiment.reaction.reagent),
        run=sums[place].run,
        volume=setting.writing.volume(experiment.planned[place].reagent, 4),
        strength=_strength(setting),
        amount=setting.writing.millimoles(sums[place].reagent),
    )


def _dilution(setting: Setting, sums: tuple[RunSums, ...]) -> Question:
    experiment, place = setting.prepared.experiment, _middle(sums)
    run = experiment.planned[place]
    total = run.reagent + run.diluent
    return _question(
        setting,
        "dilution",
        reagent=typeset.formula(experiment.reaction.reagent),
        run=run.run,
        strength=_strength(setting),
        volume=setting.writing.volume(run.reagent, 4),
        total=setting.writing.volume(total, 4),
        result=setting.writing.number(sums[place].reagent / total, 4),
    )


def _limiting(setting: Setting, sums: tuple[RunSums, ...]) -> Question:
    reaction, writing = setting.prepared.experiment.reaction, setting.writing
    reagent, analyte = typeset.formula(reaction.reagent), typeset.formula(reaction.analyte)
    first, last = sums[0], sums[-1]

    def limits(one: RunSums) -> str:
        return reagent if one.reagent_limits else analyte

    numbers = (reaction.reagent_coefficient, reaction.analyte_coefficient)
    ratio = ""
    if numbers != (1, 1):
        ratio = writing.words(
            "question.a_ratio", reagent_number=numbers[0], analyte_number=numbers[1]
        )
    return _question(
        setting,
        "limiting",
        first=first.run,
        last=last.run,
        reagent=reagent,
        analyte=analyte,
        first_reagent=writing.millimoles(first.reagent),
        first_analyte=writing.millimoles(first.analyte),
        first_limits=limits(first),
        last_reagent=writing.millimoles(last.reagent),
        last_analyte=writing.millimoles(last.analyte),
        last_limits=limits(last),
        ratio=ratio,
    )


def _gas(setting: Setting, sums: tuple[RunSums, ...]) -> Question:
    reaction, writing = setting.prepared.experiment.reaction, setting.writing
    one = sums[_middle(sums)]
    limiting = reaction.reagent if one.reagent_limits else reaction.analyte
    return _question(
        setting,
        "gas",
        gas=typeset.formula(reaction.gas),
        run=one.run,
        molar=_molar(setting, reaction.gas_molar_mass.value),
        limiting=typeset.formula(limiting),
        amount=writing.millimoles(one.gas),
        mass=writing.mass(one.gas_mass),
    )


def _equivalence(setting: Setting, sums: tuple[RunSums, ...]) -> Question:
    experiment, writing = setting.prepared.experiment, setting.writing
    reaction, volume = experiment.reaction, equivalence_volume(experiment)
    ratio = ""
    if reaction.reagent_coefficient != reaction.analyte_coefficient:
        ratio = f" × {reaction.reagent_coefficient}/{reaction.analyte_coefficient}"
    return _question(
        setting,
        "equivalence",
        name=short(experiment.reagent.name),
        amount=writing.millimoles(sums[0].analyte),
        ratio=ratio,
        strength=_strength(setting),
        volume=writing.volume(volume),
        between=_between(setting, volume),
    )


def _between(setting: Setting, volume: float) -> str:
    """Return between which runs a volume lies."""
    words = setting.writing.words
    planned = sorted(setting.prepared.experiment.planned, key=lambda run: run.reagent)
    for low, high in pairwise(planned):
        if low.reagent <= volume <= high.reagent:
            return words("question.a_between", low=low.run, high=high.run)
    return words("question.a_outside")


def _tolerance(setting: Setting, sums: tuple[RunSums, ...]) -> Question:
    experiment, writing = setting.prepared.experiment, setting.writing
    ware, place = experiment.equipment.reagent, _middle(sums)
    off = ware.tolerance * experiment.reagent.concentration.value
    whole = sums[place].reagent
    return _question(
        setting,
        "tolerance",
        ware=writing.words(f"ware.{ware.kind.value}", size=writing.volume(ware.capacity)),
        tolerance=writing.volume(ware.tolerance),
        reagent=typeset.formula(experiment.reaction.reagent),
        run=sums[place].run,
        strength=_strength(setting),
        amount=writing.millimoles(off, 3),
        percent=writing.percent(off / whole, 2) if whole else writing.words("sheet.none"),
        whole=writing.millimoles(whole),
    )


def _stopper(setting: Setting, sums: tuple[RunSums, ...]) -> Question:
    experiment, writing = setting.prepared.experiment, setting.writing
    worst = max(sums, key=lambda one: one.gas)
    space = max(experiment.vessel.capacity - experiment.total_volume, 1e-3)
    pressure = worst.gas * GAS_CONSTANT * experiment.room.temperature / space * PASCAL_LITRES
    return _question(
        setting,
        "stopper",
        run=worst.run,
        space=writing.volume(space),
        kelvin=writing.fixed(experiment.room.temperature, 1),
        amount=writing.millimoles(worst.gas),
        pressure=writing.with_unit(pressure / 1000.0, "kPa"),
    )
