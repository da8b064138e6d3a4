"""What every sheet says of the gas: whether it may be made at all, and whether it burns."""

from __future__ import annotations

from tarebook.planning.prepare.gas import GasDanger, gas_danger, limits_of
from tarebook.planning.prepare.whole import Prepared
from tarebook.report import typeset
from tarebook.report.languages.words import Words
from tarebook.report.languages.writing import Writing
from tarebook.report.languages.writing import writing as writing_in
from tarebook.series.experiment import Experiment


def gas_name(prepared: Prepared, writing: Writing) -> str:
    """Return the gas by name and formula; by its formula where nothing is known of it."""
    return named_gas(prepared.air.gas, writing)


def named_gas(gas: str, writing: Writing) -> str:
    """Return a gas by name and formula; by its formula where nothing is known of it.

    Parameters
    ----------
    gas : str
        Formula.
    writing : Writing
    """
    formula, limits = typeset.formula(gas), limits_of(gas)
    return formula if limits is None else f"{writing.words(f'gas.{limits.name}')} ({formula})"


def gas_stop(prepared: Prepared, writing: Writing) -> str:
    """Return what is against letting the gas into the room, and who decided; else nothing."""
    return said_of_gas(prepared.gas, writing)


def said_of_gas(gas: GasDanger | None, writing: Writing) -> str:
    """Return what is against letting a gas into the room, and who decided; else nothing.

    Parameters
    ----------
    gas : GasDanger or None
    writing : Writing
    """
    if gas is None:
        return ""
    words = writing.words
    said = words(f"sheet.gas_{gas.danger.value}", gas=named_gas(gas.gas, writing))
    if gas.decision is None:
        return f"{said} {words('sheet.gas_undecided')}"
    decided = words(
        "sheet.gas_decided",
        by=gas.decision.by,
        date=writing.short_date(gas.decision.on),
        why=gas.decision.why,
    )
    return f"{said} {decided}"


def no_flame(prepared: Prepared, writing: Writing) -> str:
    """Return the rule for a gas that burns; nothing for any other."""
    return rule_of_flame(prepared.air.gas, writing)


def rule_of_flame(gas: str, writing: Writing) -> str:
    """Return the rule for a gas that burns; nothing for any other.

    Parameters
    ----------
    gas : str
        Formula.
    writing : Writing
    """
    limits = limits_of(gas)
    if limits is None or not limits.flammable:
        return ""
    return writing.words("sheet.flame", gas=named_gas(gas, writing))


ALWAYS = (
    "goggles", "acid_into_water", "never_stopper", "air", "spills", "waste", "who_decides",
)  # fmt: skip
"""What holds whatever is done: keys of the table `safety`."""


def always(words: Words) -> tuple[str, ...]:
    """Return what every report says of safety.

    Parameters
    ----------
    words : Words
    """
    return tuple(words(f"safety.{key}") for key in ALWAYS)


def cautions_of_gas(experiment: Experiment) -> tuple[str, ...]:
    """Return what a report says of the gas before all other cautions; mostly nothing.

    Parameters
    ----------
    experiment : Experiment
    """
    course = experiment.preparation.course
    how = writing_in(course.language, locale=course.locale)
    said = (
        said_of_gas(gas_danger(experiment), how),
        rule_of_flame(experiment.reaction.gas, how),
        how.words("sheet.closed") if experiment.weighing.sealed else "",
    )
    return tuple(line for line in said if line)
