"""For the instructor: the answers, and what each run will give."""

from __future__ import annotations

import numpy as np

from tarebook.planning.prepare.amounts import RunSums, equivalence_volume, run_sums
from tarebook.report import typeset
from tarebook.report.sheets.bench import sample_target
from tarebook.report.sheets.questions import content_words, questions
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
    note = "key.table_note" if prepared.expected is not None else "key.table_note_none"
    return common(setting, "key.title") | {
        "warning": words("key.warning"),
        "answers-title": words("key.answers"),
        "answers": [[one.asked, one.answer] for one in questions(setting)],
        "table-title": words("key.table"),
        "table": _table(setting, sums),
        "table-note": words(
            note,
            content=content_words(setting).rpartition(" ")[0],
            analyte=typeset.formula(experiment.reaction.analyte),
            mass=sample_target(setting),
            minutes=writing.number(experiment.procedure.minutes),
        ),
        "equivalence": words(
            "key.equivalence",
            volume=writing.volume(equivalence_volume(experiment)),
            name=short(experiment.reagent.name),
        ),
        "look-title": words("key.look"),
        "look": _look(setting, sums),
    }


def _table(setting: Setting, sums: tuple[RunSums, ...]) -> Data:
    experiment, writing = setting.prepared.experiment, setting.writing
    words, reaction = writing.words, experiment.reaction
    reagent, analyte, gas = (
        typeset.formula(text) for text in (reaction.reagent, reaction.analyte, reaction.gas)
    )
    expected = setting.prepared.expected
    heads = [
        words("key.column_run"),
        words("key.column_reagent", name=reagent),
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
            writing.fixed(1000.0 * one.analyte, 2),
            reagent if one.reagent_limits else analyte,
            writing.fixed(one.gas_mass, 3),
        ]
        if expected is not None:
            row += [
                writing.fixed(float(expected.lost[place]), 3),
                writing.fixed(float(expected.stays[place]), 3),
            ]
        rows.append(row)
    return {"heads": heads, "rows": rows, "right": [1, 2, *range(4, len(heads))]}


def _look(setting: Setting, sums: tuple[RunSums, ...]) -> list[str]:
    """Return what the instructor should expect to go wrong."""
    experiment, writing = setting.prepared.experiment, setting.writing
    words, expected = writing.words, setting.prepared.expected
    lines = []
    if expected is not None:
        made = np.array([one.gas_mass for one in sums])
        short_by = 1.0 - float(expected.lost[-1] / made[-1]) if made[-1] > 0 else 0.0
        if short_by > 0:
            lines.append(
                words(
                    "key.look_1",
                    analyte=typeset.formula(experiment.reaction.analyte),
                    percent=writing.percent(short_by, 2),
                )
            )
    own = experiment.sample.own_acid
    if expected is not None and own is not None and own.value > 0:
        lines.append(words("key.look_4", amount=writing.number(1000.0 * own.value, 2)))
    below = sum(one.reagent_limits for one in sums)
    return [
        *lines,
        words("key.look_2"),
        words("key.look_3", below=below, above=len(sums) - below),
    ]
