"""For students before the lesson: what it is about, the row, questions."""

from __future__ import annotations

from tarebook.model.limiting import lag_of
from tarebook.planning.prepare.amounts import content, own_protons
from tarebook.planning.prepare.hazards import Hazard
from tarebook.report import typeset
from tarebook.report.sheets.bench import portion
from tarebook.report.sheets.cautions import gas_name
from tarebook.report.sheets.marks import mark_of_all
from tarebook.report.sheets.own_acid import own_acid_names
from tarebook.report.sheets.questions import questions
from tarebook.report.sheets.setting import Data, Setting, common, compiled, short


def handout(setting: Setting) -> bytes:
    """Return the handout as PDF.

    Parameters
    ----------
    setting : Setting
    """
    return compiled(setting, "handout", handout_data(setting))


def handout_data(setting: Setting) -> Data:
    """Return what the handout says."""
    experiment, writing = setting.prepared.experiment, setting.writing
    words, reaction = writing.words, experiment.reaction
    stock = next(one for one in setting.prepared.hazards if one.what == "stock")
    analyte = typeset.formula(reaction.analyte)
    assumed = writing.percent(content(experiment), 4)
    claim = words("handout.no_claim", analyte=analyte, content=assumed)
    if experiment.sample.claimed_mass_fraction is not None:
        claim = words("handout.claim", content=assumed, analyte=analyte)
    return common(setting, "handout.title") | {
        "name": words("handout.name"),
        "purpose-title": words("handout.purpose"),
        "purpose": words(
            "handout.purpose_text_sample"
            if experiment.grows == "sample"
            else "handout.purpose_text",
            vessels=len(experiment.planned),
            total=writing.volume(experiment.total_volume, 4),
            reagent=short(experiment.reagent.name, 60),
            diluent=short(experiment.diluent, 60),
            sample=short(experiment.sample.name, 60),
            gas=typeset.formula(reaction.gas),
        ),
        "facts": [
            words(
                "handout.strength",
                reagent=short(experiment.reagent.name, 60),
                strength=writing.known(experiment.reagent.concentration),
            ),
            claim,
            *_of_own_acid(setting),
            *([words("handout.two_steps", analyte=analyte)] if lag_of(reaction) else []),
        ],
        "plan-title": words("handout.plan"),
        "plan": plan_table(setting),
        "questions-title": words("handout.questions"),
        "questions": [one.asked for one in questions(setting)],
        "safety-title": words("handout.safety"),
        "safety": [
            words(f"handout.safety_{number}", gas=gas_name(setting.prepared, writing))
            for number in _rules(stock, burns=setting.prepared.air.burns)
        ],
        **mark_of_all(setting),
    }


def _of_own_acid(setting: Setting) -> list[str]:
    """Return what is said of the acid of the sample, and what a cup without reagent shows."""
    experiment, writing = setting.prepared.experiment, setting.writing
    protons = own_protons(experiment)
    if not protons > 0:
        return []
    is_open = experiment.sample.acid_is_open
    lines = [
        writing.words(
            "handout.own_acid_unknown" if is_open else "handout.own_acid",
            acids=own_acid_names(setting),
            amount=writing.number(1000.0 * protons, 4),
        )
    ]
    if any(run.reagent == 0.0 and run.sample > 0.0 for run in experiment.planned):
        name = short(experiment.reagent.name, 60)
        lines.append(writing.words("handout.own_acid_water", reagent=name))
    return lines


def _rules(stock: Hazard, *, burns: bool) -> tuple[int, ...]:
    """Return the numbers of the rules: that of acid and water is for acids, and for the unknown."""
    acid = stock.classification.role == "acid" or not stock.classification.known
    return (*((7,) if burns else ()), 1, *((2,) if acid else ()), 3, 5, 6, 4)


def plan_table(setting: Setting) -> Data:
    """Return the planned row as a table: runs across."""
    experiment, writing = setting.prepared.experiment, setting.writing
    words = writing.words
    return {
        "heads": [
            words("handout.column_run"),
            words("handout.column_reagent", name=short(experiment.reagent.name)),
            words("handout.column_diluent", name=short(experiment.diluent)),
            words("handout.column_sample"),
        ],
        "rows": [
            [
                short(run.run, 12),
                writing.volume(run.reagent, 4),
                writing.volume(run.diluent, 4),
                portion(setting, run),
            ]
            for run in experiment.planned
        ],
    }
