"""For the technician: supplies, the stock, its check, time on the bench, waste, trays."""

from __future__ import annotations

from tarebook.planning.prepare.items import Item
from tarebook.report import typeset
from tarebook.report.sheets.hazard_page import waste_lines
from tarebook.report.sheets.names import supply_name
from tarebook.report.sheets.setting import Data, Setting, common, compiled, short
from tarebook.report.sheets.stock_words import stock, stock_check
from tarebook.report.sheets.time_words import bench_time


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
        "stock": stock(setting),
        "check-title": words("check.title"),
        "check-lines": stock_check(setting),
        "time-title": words("time.title"),
        "time": bench_time(setting),
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
    if item.size_unit == "mL":
        size = setting.writing.volume(item.size / 1000.0)
    detail = short(item.detail, 40)
    if item.key in ("bought liquid", "bought solid", "stock as bought"):
        detail = supply_name(words, prepared.recipe.supply)
    elif item.key == "titrant":
        detail = typeset.formula(item.detail)
    elif item.key == "indicator":
        detail = words(f"check.{item.detail}")
    elif item.work:
        detail = words(f"item.for_{item.work}")
    check = prepared.check
    strength = setting.writing.number(check.titrant_strength.value, 4) if check else ""
    return [
        words(f"item.{item.key}", detail=detail, size=size, strength=strength),
        amount(setting, item.per_group, item.unit) if item.per_group else "",
        amount(setting, item.total, item.unit),
    ]
