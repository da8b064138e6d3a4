"""For the instructor: the answers, and what each run will give."""

from __future__ import annotations

import numpy as np

from tarebook.core.units import litres
from tarebook.diagnosis.liquid_planned import liquid_to_come
from tarebook.model.limiting import lag_of
from tarebook.planning.prepare.amounts import (
    RunSums,
    content,
    equivalence_as_read,
    equivalence_mass,
    equivalence_volume,
    own_protons,
    run_sums,
)
from tarebook.records.complete import asked_of, quantity_of
from tarebook.records.readings import Quantity
from tarebook.report import typeset
from tarebook.report.sheets.bench import sample_target
from tarebook.report.sheets.own_acid import own_acid_names
from tarebook.report.sheets.questions import questions
from tarebook.report.sheets.setting import Data, Setting, common, compiled, short


def key(setting: Setting) -> bytes:
    """Return the instructor's key as PDF.

    Parameters
    ----------
    setting : Setting
    """
    return compiled(setting, "key", key_data(setting))


def key_data(setting: Setting) -> Data:
    """Return what the key says."""
    prepared, writing = setting.prepared, setting.writing
    experiment, words = prepared.experiment, writing.words
    sums = run_sums(experiment)
    of_row = "_sample" if experiment.grows == "sample" else ""
    known = prepared.expected is not None
    note = f"key.table_note{of_row}" if known else f"key.table_note_none{of_row}"
    return common(setting, "key.title") | {
        "warning": words("key.warning"),
        "answers-title": words("key.answers"),
        "answers": [[one.asked, one.answer] for one in questions(setting)],
        "table-title": words("key.table"),
        "table": _table(setting, sums),
        "table-note": " ".join([_note(setting, note), *_more_notes(setting)]),
        "equivalence": _equivalence(setting),
        "look-title": words("key.look"),
        "look": _look(setting, sums),
    }


def _note(setting: Setting, which: str) -> str:
    experiment, writing = setting.prepared.experiment, setting.writing
    return writing.words(
        which,
        content=writing.percent(content(experiment), 4),
        analyte=typeset.formula(experiment.reaction.analyte),
        mass=sample_target(setting),
        minutes=writing.number(experiment.procedure.minutes),
    )


def _more_notes(setting: Setting) -> list[str]:
    experiment, words = setting.prepared.experiment, setting.writing.words
    notes = [words("key.note_own")] if own_protons(experiment) > 0 else []
    if lag_of(experiment.reaction):
        analyte = typeset.formula(experiment.reaction.analyte)
        notes.append(words("key.note_two_steps", analyte=analyte))
    return notes


def _equivalence(setting: Setting) -> str:
    """Return where both reactants are just used up, in words."""
    experiment, writing = setting.prepared.experiment, setting.writing
    words, name = writing.words, short(experiment.reagent.name)
    analyte = typeset.formula(experiment.reaction.analyte)
    if experiment.grows == "sample":
        mass = equivalence_mass(experiment)
        if not mass < np.inf:
            return words("key.equivalence_own_all", analyte=analyte, name=name)
        said, read = writing.mass(mass), writing.mass(equivalence_as_read(experiment))
        which = "key.equivalence_sample" if read == said else "key.equivalence_sample_both"
        return words(which, mass=said, read=read)
    volume = equivalence_volume(experiment)
    if volume <= 0:
        return words("key.equivalence_own_all", analyte=analyte, name=name)
    said, read = writing.volume(volume), writing.volume(equivalence_as_read(experiment))
    which = "key.equivalence" if read == said else "key.equivalence_both"
    return words(which, volume=said, read=read, name=name)


def _table(setting: Setting, sums: tuple[RunSums, ...]) -> Data:
    experiment, writing = setting.prepared.experiment, setting.writing
    words, reaction = writing.words, experiment.reaction
    reagent, analyte, gas = (
        typeset.formula(text) for text in (reaction.reagent, reaction.analyte, reaction.gas)
    )
    expected = setting.prepared.expected
    has_own = own_protons(experiment) > 0
    acid = words("key.acid_limits") if has_own else reagent
    heads = [
        words("key.column_run"),
        words("key.column_reagent", name=reagent),
        *([words("key.column_own")] if has_own else []),
        words("key.column_analyte", name=analyte),
        words("key.column_limits"),
        words("key.column_gas", gas=gas),
    ]
    if expected is not None:
        heads += [words("key.column_lost"), words("key.column_stays")]
    rows = []
    for place, one in enumerate(sums):
        row = [
            short(one.run, 12),
            writing.fixed(1000.0 * one.reagent, 2),
            *([writing.fixed(1000.0 * one.own_acid, 2)] if has_own else []),
            writing.fixed(1000.0 * one.analyte, 2),
            acid if one.reagent_limits else analyte,
            writing.fixed(one.gas_mass, 3),
        ]
        if expected is not None:
            row += [
                writing.fixed(float(expected.lost[place]), 3),
                writing.fixed(float(expected.stays[place]), 3),
            ]
        rows.append(row)
    words_at = heads.index(words("key.column_limits"))
    right = [place for place in range(1, len(heads)) if place != words_at]
    return {"heads": heads, "rows": rows, "right": right}


def _look(setting: Setting, sums: tuple[RunSums, ...]) -> list[str]:
    """Return what the instructor should expect to go wrong."""
    experiment, writing = setting.prepared.experiment, setting.writing
    words, expected = writing.words, setting.prepared.expected
    grows = experiment.grows == "sample"
    lines = []
    if expected is not None:
        # Where the sample grows the content is that of the rise, so its last cup is looked at.
        rise = [place for place, one in enumerate(sums) if not one.reagent_limits]
        last = rise[-1] if grows and rise else len(sums) - 1
        made = sums[last].gas_mass
        short_by = 1.0 - float(expected.lost[last] / made) if made > 0 else 0.0
        if short_by > 0:
            lines.append(
                words(
                    "key.look_1_sample" if grows else "key.look_1",
                    analyte=typeset.formula(experiment.reaction.analyte),
                    percent=writing.percent(short_by, 2),
                    run=short(sums[last].run, 12),
                )
            )
    lines += [*_of_water(setting, sums), *_of_own_acid(setting, sums), *_of_two_steps(setting)]
    with_sample = [one for one in sums if one.analyte > 0.0] if grows else list(sums)
    below = sum(one.reagent_limits != grows for one in with_sample)
    return [
        *lines,
        *_of_liquid(setting),
        words("key.look_3", below=below, above=len(with_sample) - below),
    ]


MUCH_WATER = 0.1
"""Part of the loss of a vessel from which the key names the water in it."""


def _of_water(setting: Setting, sums: tuple[RunSums, ...]) -> list[str]:
    """Return how much of the loss is water, where that is a considerable part."""
    expected, writing = setting.prepared.expected, setting.writing
    if expected is None:
        return []
    made = [place for place, one in enumerate(sums) if one.gas_mass > 0.0]
    if not made:
        return []
    most = max(made, key=lambda place: sums[place].gas_mass)
    water, lost = float(expected.water[most]), float(expected.lost[most])
    if not water > MUCH_WATER * lost:
        return []
    return [
        writing.words(
            "key.look_7",
            water=writing.mass(water, 2),
            lost=writing.mass(lost, 2),
            run=short(sums[most].run, 12),
            percent=writing.percent(water / lost, 2),
            gas=typeset.formula(setting.prepared.experiment.reaction.gas),
            analyte=typeset.formula(setting.prepared.experiment.reaction.analyte),
        )
    ]


def _of_liquid(setting: Setting) -> list[str]:
    """Return what the liquid of a vessel may lack of what its volumes say, and whom to look at."""
    prepared, writing = setting.prepared, setting.writing
    experiment, words = prepared.experiment, writing.words
    asked = asked_of(experiment)
    if not {Quantity.LIQUID, *_LIQUIDS_READ} <= {quantity_of(one) for one in asked}:
        return []
    ahead = liquid_to_come(experiment, prepared.groups)
    least, most = (writing.mass(mass, 2) for mass in (ahead.least, ahead.most))
    lacks = least if least == most else words("key.look_2_between", least=least, most=most)
    said = [words("key.look_2", lacks=lacks, usual=writing.mass(ahead.usual, 2))]
    if ahead.of_vessel < np.inf:
        said.append(words("key.look_2_vessel", limit=writing.mass(ahead.of_vessel, 2)))
    of_group = "room" if ahead.beside_others else "alone"
    limit = ahead.of_group if ahead.beside_others else ahead.most + ahead.of_group
    said.append(words(f"key.look_2_{of_group}", limit=writing.mass(limit, 2)))
    return [" ".join(said)]


_LIQUIDS_READ = (Quantity.REAGENT, Quantity.DILUENT)


def _of_own_acid(setting: Setting, sums: tuple[RunSums, ...]) -> list[str]:
    """Return what the acid of the sample does along the row, and what a cup of water teaches."""
    experiment, writing = setting.prepared.experiment, setting.writing
    if not own_protons(experiment) > 0:
        return []
    words = writing.words
    amount = writing.number(1000.0 * own_protons(experiment), 4)
    sample = experiment.sample
    which = "key.look_4_open" if sample.acid_is_open else "key.look_4"
    lines = [words(which, amount=amount, acids=own_acid_names(setting))]
    bare = [one for one in sums if one.reagent == 0.0 and one.analyte > 0.0]
    if bare and equivalence_volume(experiment) > 0:
        lines.append(
            words(
                "key.look_5",
                name=short(experiment.reagent.name),
                mass=writing.mass(bare[0].gas_mass),
                gas=typeset.formula(experiment.reaction.gas),
                volume=writing.volume(equivalence_as_read(experiment)),
            )
        )
    return lines


def _of_two_steps(setting: Setting) -> list[str]:
    experiment, writing = setting.prepared.experiment, setting.writing
    lag = lag_of(experiment.reaction)
    if lag and experiment.grows == "sample":
        at = equivalence_mass(experiment)
        if not at < np.inf:
            return []
        mass, none = writing.mass(at), writing.mass(at / lag)
        name = short(experiment.sample.name)
        return [writing.words("key.look_6_sample", mass=mass, none=none, name=name)]
    first_gas = lag * equivalence_volume(experiment)
    if not first_gas > litres(0.1):
        return []
    name = short(experiment.reagent.name)
    return [writing.words("key.look_6", volume=writing.volume(first_gas), name=name)]
