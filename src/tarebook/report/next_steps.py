"""What is still to be done with a row that is not finished."""

from __future__ import annotations

from tarebook.model.priors import central_parameters
from tarebook.records.stage import RowStage, Stage
from tarebook.report import numbers
from tarebook.report.cup_tables import portion, pours_diluent
from tarebook.report.languages.writing import Writing
from tarebook.report.numbers import NumberStyle
from tarebook.series.experiment import Experiment


def next_steps(experiment: Experiment, stage: RowStage, how: Writing) -> tuple[str, ...]:
    """Return what is still to be done, from the step that the hindmost cup has before it.

    Parameters
    ----------
    experiment : Experiment
    stage : RowStage
    how : Writing
    """
    gap = how.style.gap
    portions = {run.sample for run in experiment.planned if not run.is_blank}
    places = {
        "vessel": experiment.vessel.name,
        "diluent": experiment.diluent,
        "reagent": experiment.reagent.name,
        "sample": experiment.sample.name,
        "mass": f"{portion(experiment, experiment.sample.nominal_mass, how.style)}{gap}g",
        "evaporation": _evaporation(experiment, how.style),
        "minutes": f"{numbers.plain(experiment.procedure.minutes, 0.0, how.style)}{gap}min",
    }
    steps = (
        (Stage.PLANNED, "do_pour" if pours_diluent(experiment) else "do_pour_alone"),
        (Stage.POURED, "do_weigh_sample" if len(portions) <= 1 else "do_weigh_own_sample"),
        (Stage.POURED, "do_weigh_again"),
        (Stage.SAMPLE_WEIGHED, "do_add"),
        (Stage.REACTED, "do_finish"),
    )
    return tuple(
        how.words(f"handover.{key}", **places) for at, key in steps if at.place >= stage.stage.place
    )


def _evaporation(experiment: Experiment, style: NumberStyle) -> str:
    per_hour = 60.0 * float(central_parameters(experiment).evaporation)
    return f"{numbers.plain(float(f'{per_hour:.1g}'), 0.0, style)}{style.gap}g"
