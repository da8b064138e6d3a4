"""For the technician: supplies, the stock, its check, time on the bench, waste, trays."""

from __future__ import annotations

from tarebook.planning.prepare.queue import BenchTime
from tarebook.planning.prepare.stock_check import StockCheck, titration_block
from tarebook.planning.prepare.stock_recipe import Way
from tarebook.planning.prepare.supplies import Item
from tarebook.report import numbers, typeset
from tarebook.report.sheets.hazard_page import waste_lines
from tarebook.report.sheets.names import supply_name
from tarebook.report.sheets.setting import Data, Setting, common, compiled, short

WORTH_SAYING = 1.5
"""A titration that knows the strength so many times better is worth a line."""

CORROSIVE = ("H314",)
"""Statements for which the bottle is opened in the fume cupboard."""


def prep_room(setting: Setting) -> bytes:
    """Return the booklet for the prep room as PDF.

    Parameters
    ----------
    setting : Setting
    """
    return compiled(setting, "prep", prep_data(setting))


def prep_data(setting: Setting) -> Data:
    """Return what the booklet says."""
    prepared, words = setting.prepared, setting.writing.words
    return common(setting, "prep.title") | {
        "for": words(
            "prep.for",
            groups=prepared.groups,
            balances=prepared.balances,
            people=prepared.supplies.people,
        ),
        "supplies-title": words("prep.supplies"),
        "supplies-note": words(
            "prep.supplies_note", margin=setting.writing.percent(prepared.supplies.margin)
        ),
        "heads": [words("prep.item"), words("prep.per_group"), words("prep.total"), ""],
        "tray-title": words("prep.on_tray"),
        "room-title": words("prep.in_room"),
        "tray-items": [_line(setting, item) for item in prepared.supplies.bench],
        "room-items": [_line(setting, item) for item in prepared.supplies.room],
        "stock-title": words("stock.title"),
        "stock": _stock(setting),
        "check-title": words("check.title"),
        "check-lines": _check(setting),
        "time-title": words("time.title"),
        "time": _time(setting),
        "waste-title": words("hazard.waste"),
        "waste": waste_lines(setting),
        "trays-title": words("prep.trays"),
        "trays-note": words("prep.trays_note"),
        "tray-heads": [
            words("sheet.group"),
            words("prep.tray_start") if setting.start_of(0) else "",
            words("prep.tray_laid"),
            words("prep.tray_checked"),
            words("prep.tray_back"),
        ],
        "trays": [[str(group + 1), setting.start_of(group)] for group in range(prepared.groups)],
    }


def amount(setting: Setting, value: float, unit: str) -> str:
    """Return an amount of a list of supplies, whose volumes are in mL."""
    if unit == "mL":
        return setting.writing.volume(value / 1000.0)
    if unit == "g":
        return setting.writing.mass(value)
    return setting.writing.number(value, 6)


def _line(setting: Setting, item: Item) -> list[str]:
    words, prepared = setting.writing.words, setting.prepared
    size = setting.writing.with_unit(item.size, item.size_unit) if item.size else ""
    detail = short(item.detail, 40)
    if item.key in ("bought liquid", "bought solid", "stock as bought"):
        detail = supply_name(words, prepared.recipe.supply)
    elif item.key == "titrant":
        detail = typeset.formula(item.detail)
    return [
        words(f"item.{item.key}", detail=detail, size=size),
        amount(setting, item.per_group, item.unit) if item.per_group else "",
        amount(setting, item.total, item.unit),
    ]


def _stock(setting: Setting) -> Data:
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
    harsh = any(code in CORROSIVE for code in bought.classification.H)
    harsh = harsh or not bought.classification.known
    taken = _taken(setting)
    lines = [
        words("stock.step_ppe" if harsh else "stock.step_ppe_mild"),
        words("stock.step_water_first", water=writing.volume(recipe.first_water, 2)),
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
        words("stock.step_cool"),
        words("stock.step_can" if recipe.by_mass else "stock.step_mark"),
        words("stock.step_label"),
    ]
    return lines


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


def _check(setting: Setting) -> Data:
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
    flask = 0.1 if check.dilution <= 10 else 1.0
    return writing.words(
        "check.diluted",
        aliquot=writing.volume(flask / check.dilution),
        flask=writing.volume(flask),
        pipette=writing.volume(check.aliquot),
    )


def _time(setting: Setting) -> Data:
    """Return the time on the bench: rows of the table, what follows from them, the assumptions."""
    prepared, writing = setting.prepared, setting.writing
    bench, words = prepared.bench, writing.words
    wished, pace = bench.as_wished, bench.pace

    def minutes(value: float) -> str:
        return writing.fixed(value, 0 if value >= 10 else 1)

    rows = [
        [
            words("time.wait"),
            words(
                "time.wait_value", mean=minutes(wished.mean_wait), long=minutes(wished.long_wait)
            ),
        ],
        [words("time.per_group"), f"{minutes(wished.wait_per_group)}\u00a0min"],
        [
            words("time.end"),
            words("time.end_value", end=minutes(wished.end), late=minutes(wished.late_end)),
        ],
        [words("time.busy"), writing.percent(wished.busy, 2)],
        [words("time.jam"), _jam(setting, wished)],
    ]
    return {
        "intro": words(
            "time.intro",
            groups=prepared.groups,
            balances=prepared.balances,
            cups=prepared.experiment.preparation.cups_per_visit,
        ),
        "rows": rows,
        "advice": _advice(setting),
        "assumed": words(
            "time.assumed",
            weighing=writing.number(pace.weighing),
            pouring=writing.number(pace.pouring),
            adding=writing.number(pace.adding),
            fizzing=writing.number(pace.fizzing),
            waiting=writing.number(pace.waiting),
            basis=words(f"basis.{pace.source.basis}"),
        ),
    }


def _jam(setting: Setting, time: BenchTime) -> str:
    words, writing = setting.writing.words, setting.writing
    if not time.jam_stage:
        return words("time.no_jam")
    return words(
        "time.jam_value",
        start=writing.fixed(time.jam_from, 0),
        end=writing.fixed(time.jam_to, 0),
        stage=words(f"time.stage_{time.jam_stage}"),
    )


def _advice(setting: Setting) -> list[str]:
    bench, writing = setting.prepared.bench, setting.writing
    words = writing.words
    lesson = writing.number(bench.lesson)
    if bench.fits:
        return [words("time.fits", lesson=lesson)]
    lines = []
    if bench.least_end > bench.lesson:
        lines.append(words("time.too_long", least=writing.fixed(bench.least_end, 0), lesson=lesson))
    elif bench.as_wished.late_end > bench.lesson:
        lines.append(words("time.late", lesson=lesson))
    if bench.as_wished.long_wait <= bench.wait_limit:
        return lines
    lines.append(words("time.long_waits", limit=writing.number(bench.wait_limit)))
    for key, found in (("balances", bench.more_balances), ("stagger", bench.stagger)):
        if found is None:
            lines.append(words(f"time.no_{key}"))
            continue
        lines.append(
            words(
                f"time.{key}",
                count=found.balances,
                stagger=writing.number(found.stagger) if found.stagger else "",
                mean=writing.fixed(found.mean_wait, 1),
                end=writing.fixed(found.end, 0),
            )
        )
    return lines
