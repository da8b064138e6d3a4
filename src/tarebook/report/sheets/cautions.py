"""What every sheet says of the gas: whether it may be made at all, and whether it burns."""

from __future__ import annotations

from tarebook.planning.prepare.whole import Prepared
from tarebook.report import typeset
from tarebook.report.languages.writing import Writing


def gas_name(prepared: Prepared, writing: Writing) -> str:
    """Return the gas by name and formula; by its formula where nothing is known of it."""
    formula = typeset.formula(prepared.air.gas)
    limits = prepared.air.limits
    return formula if limits is None else f"{writing.words(f'gas.{limits.name}')} ({formula})"


def gas_stop(prepared: Prepared, writing: Writing) -> str:
    """Return what is against letting the gas into the room, and who decided; else nothing."""
    gas, words = prepared.gas, writing.words
    if gas is None:
        return ""
    said = words(f"sheet.gas_{gas.danger.value}", gas=gas_name(prepared, writing))
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
    if not prepared.air.burns:
        return ""
    return writing.words("sheet.flame", gas=gas_name(prepared, writing))
