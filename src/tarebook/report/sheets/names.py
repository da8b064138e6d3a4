"""What things are called: as the definition has it, else as the language file does."""

from __future__ import annotations

from tarebook.planning.prepare.hazards import Hazard
from tarebook.planning.prepare.supply import Supply
from tarebook.report import typeset
from tarebook.report.languages.words import Words
from tarebook.report.sheets.setting import Setting


def substance(words: Words, key: str, formula: str) -> str:
    """Return a substance's name; its formula where the language file has none."""
    if key and words.has(f"substance.{key}"):
        return words(f"substance.{key}")
    return typeset.formula(formula)


def supply_name(words: Words, supply: Supply) -> str:
    """Return what is bought, by name."""
    if supply.name:
        return supply.name
    key = f"bought {supply.key}"
    usual = supply.key and words.has(f"substance.{key}")
    # The trade name is that of the concentrated liquid; a weaker one goes by the substance.
    concentrated = supply.solid or (supply.concentration and supply.mass_fraction.value > 0.3)
    if usual and concentrated:
        return words(f"substance.{key}")
    return substance(words, supply.key, supply.solid or supply.solute)


def hazard_name(setting: Setting, hazard: Hazard) -> str:
    """Return what stands there, by name."""
    words = setting.writing.words
    if hazard.name:
        return hazard.name
    if hazard.what == "bought":
        return supply_name(words, setting.prepared.recipe.supply)
    return substance(words, hazard.classification.key, hazard.classification.formula)
