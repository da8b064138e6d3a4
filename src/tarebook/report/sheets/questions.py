"""Questions before the lesson and their answers, worked out for this very series."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from tarebook.core.phrase import Value
from tarebook.core.units import GAS_CONSTANT
from tarebook.model.cup_chemistry import protons_of_extent
from tarebook.model.limiting import lag_of
from tarebook.planning.prepare.amounts import (
    PASCAL_LITRES,
    RunSums,
    content,
    equivalence_mass,
    equivalence_volume,
    own_protons,
    run_sums,
)
from tarebook.report import typeset
from tarebook.report.languages.writing import known_digits
from tarebook.report.sheets.bench import run_sample
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
        *((_own_acid,) if _has_own_acid(setting) else ()),
        _reagent,
        _dilution,
        _limiting,
        _gas,
        _equivalence,
        _tolerance,
        _stopper,
    )
    return tuple(one(setting, sums) for one in each)


def _has_own_acid(setting: Setting) -> bool:
    return own_protons(setting.prepared.experiment) > 0


def content_words(setting: Setting) -> str:
    """Return the content that the sums take, as a percentage with the analyte's formula."""
    experiment = setting.prepared.experiment
    analyte = typeset.formula(experiment.reaction.analyte)
    return f"{setting.writing.percent(content(experiment), 4)} {analyte}"


def _strength(setting: Setting) -> str:
    return setting.writing.known(setting.prepared.experiment.reagent.concentration)


def _poured(setting: Setting, moles: float) -> str:
    """Return an amount of reagent with as many digits as its strength is known to."""
    strength = setting.prepared.experiment.reagent.concentration
    return setting.writing.millimoles(moles, known_digits(strength))


def _molar(setting: Setting, value: float) -> str:
    # Three decimals, so that a reader who works with them finds the numbers of the key.
    return setting.writing.fixed(value, 3)


def _question(
    setting: Setting, which: str, /, *, asked: str = "", answer: str = "", **values: Value
) -> Question:
    """Return a question with its usual answer, or with other words for one of the two."""
    words = setting.writing.words
    return Question(
        which,
        words(f"question.q_{asked or which}", **values),
        words(f"question.a_{answer or which}", **values),
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
    experiment, place = setting.prepared.experiment, _middle(sums)
    reaction = experiment.reaction
    return _question(
        setting,
        "amount",
        analyte=typeset.formula(reaction.analyte),
        molar=_molar(setting, reaction.analyte_molar_mass.value),
        mass=run_sample(setting, experiment.planned[place]),
        content=content_words(setting),
        amount=setting.writing.millimoles(sums[place].analyte),
    )


def _own_acid(setting: Setting, sums: tuple[RunSums, ...]) -> Question:
    """Ask what the acid of the sample does where no reagent was poured."""
    experiment, place = setting.prepared.experiment, _middle(sums)
    reaction, writing = experiment.reaction, setting.writing
    one = sums[place]
    alone = min(one.own_acid, one.analyte * protons_of_extent(reaction))
    made = alone / protons_of_extent(reaction) * reaction.gas_coefficient
    return _question(
        setting,
        "own_acid",
        amount=writing.millimoles(own_protons(experiment)),
        mass=run_sample(setting, experiment.planned[place]),
        own=writing.millimoles(one.own_acid),
        reagent=typeset.formula(reaction.reagent),
        analyte=typeset.formula(reaction.analyte),
        gas=typeset.formula(reaction.gas),
        made=writing.mass(made * reaction.gas_molar_mass.value),
    )


def _middle(sums: tuple[RunSums, ...]) -> int:
    """Return the place of a run in the middle of the row that has some reagent and sample."""
    places = [i for i, one in enumerate(sums) if one.reagent > 0 and one.analyte > 0]
    return places[len(places) // 2] if places else 0


def _ends(sums: tuple[RunSums, ...]) -> tuple[RunSums, RunSums]:
    """Return the first and the last run that have a sample."""
    filled = [one for one in sums if one.analyte > 0] or list(sums)
    return filled[0], filled[-1]


def _reagent(setting: Setting, sums: tuple[RunSums, ...]) -> Question:
    experiment, place = setting.prepared.experiment, _middle(sums)
    return _question(
        setting,
        "reagent",
        reagent=typeset.formula(experiment.reaction.reagent),
        run=sums[place].run,
        volume=setting.writing.volume(experiment.planned[place].reagent, 4),
        strength=_strength(setting),
        amount=_poured(setting, sums[place].reagent),
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
        result=setting.writing.number(
            sums[place].reagent / total, known_digits(experiment.reagent.concentration)
        ),
    )


def _limiting(setting: Setting, sums: tuple[RunSums, ...]) -> Question:
    reaction, writing = setting.prepared.experiment.reaction, setting.writing
    reagent, analyte = typeset.formula(reaction.reagent), typeset.formula(reaction.analyte)
    first, last = _ends(sums)
    own = _has_own_acid(setting)
    acid = writing.words("question.the_acid") if own else reagent

    def limits(one: RunSums) -> str:
        return acid if one.reagent_limits else analyte

    numbers = (reaction.reagent_coefficient, reaction.analyte_coefficient)
    ratio = ""
    if numbers != (1, 1):
        ratio = writing.words(
            "question.a_ratio", reagent_number=numbers[0], analyte_number=numbers[1]
        )
    return _question(
        setting,
        "limiting",
        answer="limiting_own" if own else "",
        first_own=writing.millimoles(first.own_acid),
        last_own=writing.millimoles(last.own_acid),
        first=first.run,
        last=last.run,
        reagent=reagent,
        analyte=analyte,
        first_reagent=_poured(setting, first.reagent),
        first_analyte=writing.millimoles(first.analyte),
        first_limits=limits(first),
        last_reagent=_poured(setting, last.reagent),
        last_analyte=writing.millimoles(last.analyte),
        last_limits=limits(last),
        ratio=ratio,
    )


def _gas(setting: Setting, sums: tuple[RunSums, ...]) -> Question:
    reaction, writing = setting.prepared.experiment.reaction, setting.writing
    one = sums[_middle(sums)]
    limiting, answer = typeset.formula(reaction.analyte), ""
    if one.reagent_limits:
        own = _has_own_acid(setting)
        limiting = writing.words("question.the_acid") if own else typeset.formula(reaction.reagent)
        answer = "gas_two_steps" if lag_of(reaction) else "gas_own" if own else ""
    return _question(
        setting,
        "gas",
        answer=answer,
        gas=typeset.formula(reaction.gas),
        analyte=typeset.formula(reaction.analyte),
        run=one.run,
        molar=_molar(setting, reaction.gas_molar_mass.value),
        limiting=limiting[:1].upper() + limiting[1:],
        amount=writing.millimoles(one.gas),
        mass=writing.mass(one.gas_mass),
    )


def _equivalence(setting: Setting, sums: tuple[RunSums, ...]) -> Question:
    experiment, writing = setting.prepared.experiment, setting.writing
    reaction, one = experiment.reaction, sums[_middle(sums)]
    if experiment.grows == "sample":
        return _equivalence_sample(setting, one)
    volume = equivalence_volume(experiment)
    ratio = ""
    if reaction.reagent_coefficient != reaction.analyte_coefficient:
        ratio = f" × {reaction.reagent_coefficient}/{reaction.analyte_coefficient}"
    # The sums are for the nominal sample; a run may ask for another mass.
    nominal = experiment.sample.nominal_mass
    own = own_protons(experiment) * nominal / (protons_of_extent(reaction) or 1.0)
    amount = nominal * content(experiment) / reaction.analyte_molar_mass.value
    answer = "" if own == 0 else "equivalence_own" if volume > 0 else "equivalence_own_all"
    return _question(
        setting,
        "equivalence",
        answer=answer,
        name=short(experiment.reagent.name),
        analyte=typeset.formula(reaction.analyte),
        amount=writing.millimoles(amount),
        own=writing.millimoles(own * reaction.reagent_coefficient),
        ratio=ratio,
        strength=_strength(setting),
        volume=writing.volume(max(volume, 0.0)),
        between=_between(setting, volume),
    )


def _equivalence_sample(setting: Setting, one: RunSums) -> Question:
    experiment, writing = setting.prepared.experiment, setting.writing
    mass = equivalence_mass(experiment)
    return _question(
        setting,
        "equivalence",
        asked="equivalence_sample",
        answer="equivalence_sample",
        name=short(experiment.reagent.name),
        reagent=_poured(setting, one.reagent),
        analyte=typeset.formula(experiment.reaction.analyte),
        mass=writing.mass(mass) if mass < np.inf else writing.words("sheet.none"),
        between=_between_samples(setting, mass),
    )


def _between_samples(setting: Setting, mass: float) -> str:
    """Return between which runs a mass of sample lies."""
    words = setting.writing.words
    planned = sorted(setting.prepared.experiment.planned, key=lambda run: run.sample)
    for low, high in pairwise(planned):
        if low.sample <= mass <= high.sample:
            return words("question.a_between", low=low.run, high=high.run)
    return words("question.a_outside")


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
        whole=_poured(setting, whole),
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
