"""How the stock is made and its strength checked, in the words of the booklet."""

from __future__ import annotations

from tarebook.planning.prepare.hazards import Hazard
from tarebook.planning.prepare.stock_check import StockCheck, titration_block
from tarebook.planning.prepare.stock_recipe import Way
from tarebook.report import numbers, typeset
from tarebook.report.sheets.names import supply_name
from tarebook.report.sheets.setting import Data, Setting

WORTH_SAYING = 1.5
"""A titration that knows the strength so many times better is worth a line."""

CORROSIVE = ("H314",)
"""Statements for which the bottle is opened in the fume cupboard."""

IRRITANT = ("H315", "H318", "H319")
"""Statements for which gloves are worn."""


def stock(setting: Setting) -> Data:
    """Return the recipe: what is wanted, the amounts for a batch, the steps, the strength."""
    recipe, writing = setting.prepared.recipe, setting.writing
    words, supply, experiment = writing.words, recipe.supply, setting.prepared.experiment
    grams = recipe.wanted.value * experiment.reaction.reagent_molar_mass.value
    name = supply_name(words, supply)
    intro = [
        words(
            "stock.want",
            total=writing.volume(setting.prepared.supplies.stock_needed),
            name=experiment.reagent.name,
            strength=writing.number(recipe.wanted.value, 4),
            percent=writing.percent(grams / recipe.density),
            density=writing.fixed(recipe.density / 1000.0, 3),
        )
    ]
    if recipe.way is Way.AS_BOUGHT:
        return {
            "intro": [*intro, words("stock.as_bought", name=name)],
            "rows": [],
            "steps": [],
            "strengths": _strengths(setting),
        }
    if recipe.way is Way.LIQUID and supply.density and supply.concentration:
        intro.append(
            words(
                "stock.from_solution",
                name=name,
                percent=writing.percent(supply.mass_fraction.value),
                density=writing.fixed(supply.density.value / 1000.0, 3),
                strength=writing.number(supply.concentration.value, 4),
            )
        )
    else:
        intro.append(
            words(
                "stock.from_solid",
                name=name,
                formula=typeset.formula(supply.solid),
                percent=writing.percent(supply.mass_fraction.value),
            )
        )
    size = writing.volume(recipe.batch)
    many = "stock.one_batch" if recipe.n_batches == 1 else "stock.batches"
    intro.append(words(many, count=recipe.n_batches, size=size))
    intro.append(words("stock.ware_glass"))
    return {
        "intro": intro,
        "rows": _amounts(setting, name),
        "steps": _steps(setting),
        "strengths": _strengths(setting),
    }


def _taken(setting: Setting) -> str:
    recipe, writing = setting.prepared.recipe, setting.writing
    if recipe.way is Way.SOLID:
        return writing.mass(recipe.mass, 4)
    return writing.words(
        "stock.liquid_amount",
        mass=writing.mass(recipe.mass, 4),
        volume=writing.volume(recipe.volume, 3),
    )


def _amounts(setting: Setting, name: str) -> list[list[str]]:
    """Return the rows of the table of amounts: what, how much, with what ware."""
    recipe, writing = setting.prepared.recipe, setting.writing
    words = writing.words
    ware = ""
    if recipe.way is Way.LIQUID:
        ware = words("stock.ware_weigh")
        if recipe.measuring is not None:
            ware = words(
                "stock.ware_cylinder",
                size=writing.volume(recipe.measuring.capacity),
                tolerance=writing.volume(recipe.measuring.tolerance),
            )
    size = writing.volume(recipe.batch)
    finished = (
        words("stock.ware_can", size=size, mass=writing.mass(recipe.batch * recipe.density, 4))
        if recipe.by_mass
        else words("stock.ware_flask", size=size)
    )
    return [
        [f"{words('stock.take')}: {name}", _taken(setting), ware],
        [words("stock.water"), writing.volume(recipe.water, 2), ""],
        [words("stock.dilute_to"), size, finished],
    ]


def _steps(setting: Setting) -> list[str]:
    recipe, writing = setting.prepared.recipe, setting.writing
    words = writing.words
    bought = next(one for one in setting.prepared.hazards if one.what == "bought")
    acid = bought.classification.role == "acid" or not bought.classification.known
    can = "_can" if recipe.by_mass else ""
    taken = _taken(setting)
    lines = [
        words(f"stock.step_{_worn(bought)}"),
        words(f"stock.step_water_first{can}", water=writing.volume(recipe.first_water, 2)),
    ]
    if recipe.way is Way.SOLID:
        strong = recipe.supply.heat == "strong"
        lines.append(
            words("stock.step_solid_strong" if strong else "stock.step_solid", amount=taken)
        )
    else:
        lines.append(
            words("stock.step_acid_slowly" if acid else "stock.step_solution", amount=taken)
        )
    lines.append(words(f"stock.step_heat_{recipe.supply.heat}"))
    if recipe.rise is not None:
        lines[-1] += " " + words("stock.step_rise", kelvin=writing.number(recipe.rise, 2))
    lines += [
        words(f"stock.step_cool{can}"),
        words(f"stock.step_mark{can}", mass=writing.mass(recipe.batch * recipe.density, 4)),
        words("stock.step_label"),
    ]
    return lines


def _worn(bought: Hazard) -> str:
    """Return what is worn for a material: the key of the step that says it."""
    found = bought.classification
    if not found.known or any(code in CORROSIVE for code in found.H):
        return "ppe"
    return "ppe_gloves" if any(code in IRRITANT for code in found.H) else "ppe_mild"


def _strengths(setting: Setting) -> list[str]:
    """Return how well the strength is known by weighing, by measuring, by titration."""
    recipe, writing = setting.prepared.recipe, setting.writing
    words, lines = writing.words, []
    if recipe.made_by_mass is not None:
        lines.append(words("stock.made_mass", strength=writing.plus_minus(recipe.made_by_mass)))
    if recipe.made_by_volume is not None and recipe.way is Way.LIQUID:
        lines.append(words("stock.made_volume", strength=writing.plus_minus(recipe.made_by_volume)))
    check = setting.prepared.check
    without = recipe.made_by_mass or recipe.made_by_volume
    if check is not None and without is not None and without.u > WORTH_SAYING * check.expected.u:
        lines.append(
            words(
                "stock.titrate",
                strength=writing.plus_minus(check.expected),
                times=writing.number(without.u / check.expected.u, 2),
            )
        )
    return lines


def stock_check(setting: Setting) -> Data:
    """Return the titration: steps and the block that goes back into the definition."""
    check, writing = setting.prepared.check, setting.writing
    words = writing.words
    if check is None:
        return {"intro": words("check.none"), "steps": [], "block": "", "notes": []}
    titrant = typeset.formula(check.titrant)
    indicator = words(f"check.{check.indicator}")
    pink = check.indicator == "phenolphthalein"
    steps = [
        words(
            "check.step_aliquot",
            aliquot=writing.volume(check.aliquot),
            indicator=indicator,
        ),
        words("check.step_burette", titrant=titrant),
        words(
            "check.step_end_pink" if pink else "check.step_end_orange",
            titre=writing.volume(check.titre, 4),
        ),
        words("check.step_repeat"),
    ]
    if check.dilution > 1:
        steps.insert(0, _dilute_first(setting, check))
    relative = check.expected.u / check.expected.value
    return {
        "intro": words(
            "check.intro",
            aliquot=writing.volume(check.aliquot),
            titrant=titrant,
            strength=writing.number(check.titrant_strength.value, 4),
        ),
        "steps": steps,
        "block": titration_block(check),
        "notes": [
            words("check.put_back"),
            words(
                "check.u_note",
                u=numbers.plain(check.expected.u, check.expected.u, writing.style),
                relative=writing.percent(relative, 2),
            ),
            words("check.changes"),
        ],
    }


def _dilute_first(setting: Setting, check: StockCheck) -> str:
    writing = setting.writing
    return writing.words(
        "check.diluted",
        aliquot=writing.volume(check.flask / check.dilution),
        flask=writing.volume(check.flask),
        pipette=writing.volume(check.aliquot),
    )
