"""Labels: one for each vessel, and for bottles and jars with what the GHS asks for."""

from __future__ import annotations

from tarebook.planning.prepare.hazards import Hazard
from tarebook.report.sheets.bench import portion
from tarebook.report.sheets.codes import run_code, square
from tarebook.report.sheets.hazard_page import known_parts
from tarebook.report.sheets.marks import basis_mark
from tarebook.report.sheets.names import hazard_name
from tarebook.report.sheets.setting import Data, Setting, common, compiled, short

MOST_PRECAUTIONS = 6
"""As many P statements as the GHS asks for on a label as a rule (CLP Regulation, Article 28)."""

FIRST = ("P280", "P305+P351+P338", "P303+P361+P353", "P301+P330+P331", "P302+P352", "P310", "P260")
"""Statements that come first where there are more than fit."""


def labels(setting: Setting) -> bytes:
    """Return all labels as one PDF: vessels first, then bottles and jars.

    Parameters
    ----------
    setting : Setting
    """
    return compiled(setting, "labels", label_data(setting))


def label_data(setting: Setting) -> Data:
    """Return what the labels say."""
    words, prepared = setting.writing.words, setting.prepared
    names = {code for one in prepared.hazards for code in one.classification.pictograms}
    return common(setting, "labels.cups") | {
        "title": short(prepared.experiment.title, 60),
        "bottles-title": words("labels.bottles"),
        "picture-names": {code: words(f"pictogram.{code}") for code in sorted(names)},
        "cups": [
            _cup(setting, group, place)
            for group in range(1, prepared.groups + 1)
            for place in range(len(prepared.experiment.planned))
        ],
        "bottles": [
            *(
                label
                for group in range(1, prepared.groups + 1)
                for label in _group_bottles(setting, group)
            ),
            *_room_bottles(setting),
        ],
    }


def _cup(setting: Setting, group: int, place: int) -> Data:
    experiment, writing = setting.prepared.experiment, setting.writing
    run = experiment.planned[place]
    return {
        "group": f"{writing.words('sheet.group')} {group}",
        "run": f"{writing.words('sheet.run')} {short(run.run, 10)}",
        "targets": [
            *(
                f"{writing.volume(volume, 4)} {short(name, 26)}"
                for volume, name in (
                    (run.diluent, experiment.diluent),
                    (run.reagent, experiment.reagent.name),
                )
                if volume > 0
            ),
            portion(setting, run)
            if run.is_blank
            else f"{portion(setting, run)} {short(experiment.sample.name, 26)}",
        ],
        "code": square(run_code(experiment.digest, str(group), run.run, setting.address)),
    }


def _group_bottles(setting: Setting, group: int) -> list[Data]:
    """Return the labels of a group's tray: reagent, diluent, sample."""
    prepared, writing = setting.prepared, setting.writing
    experiment, supplies = prepared.experiment, prepared.supplies
    owner = f"{writing.words('sheet.group')} {group}"
    by_part = {one.what: one for one in prepared.hazards}
    return [
        _bottle(
            setting,
            by_part["stock"],
            owner,
            writing.words("labels.per_group", amount=writing.volume(supplies.stock_per_group)),
        ),
        {
            "name": short(experiment.diluent, 44),
            "owner": owner,
            "strength": "",
            "line": writing.words(
                "labels.per_group", amount=writing.volume(supplies.diluent_per_group)
            ),
            **_NOTHING,
            "note": writing.words("labels.unknown") if "diluent" in by_part else "",
        },
        _bottle(
            setting,
            by_part["sample"],
            owner,
            writing.words("labels.per_group", amount=writing.mass(supplies.sample_per_group)),
        ),
    ]


def _room_bottles(setting: Setting) -> list[Data]:
    """Return the labels of what stands in the prep room: the batches of stock, the titrant."""
    prepared, writing = setting.prepared, setting.writing
    by_part = {one.what: one for one in prepared.hazards}
    stock = writing.words("labels.stock")
    found = [
        _bottle(setting, by_part["stock"], stock, writing.volume(prepared.recipe.batch))
    ] * prepared.recipe.n_batches
    if "titrant" in by_part:
        found.append(_bottle(setting, by_part["titrant"], writing.words("labels.titrant"), ""))
    return found


_NOTHING: Data = {"pictograms": [], "signal": "", "H": [], "P": [], "note": "", "mark": ""}


def _bottle(setting: Setting, hazard: Hazard, owner: str, line: str) -> Data:
    words, found = setting.writing.words, hazard.classification
    note = ""
    if not found.known:
        note = words("labels.unknown")
    elif not found.H:
        solid = found.mass_percent is None
        note = words("hazard.not_classified_solid" if solid else "labels.not_classified")
    if hazard.what == "sample":
        note = f"{words('labels.contains', formula=known_parts(setting))} {note}"
    order = [*(code for code in FIRST if code in found.P), *found.P]
    first = list(dict.fromkeys(order))[:MOST_PRECAUTIONS]
    return {
        "name": short(hazard_name(setting, hazard), 44),
        "owner": owner,
        "strength": _strength(setting, hazard),
        "line": line,
        "pictograms": list(found.pictograms),
        "signal": words(f"signal.{found.signal}") if found.signal else "",
        "H": [f"{code} {words(f'H.{code}')}" for code in found.H],
        "P": [f"{code} {words(f'P.{code}')}" for code in sorted(first)],
        "note": note,
        "mark": basis_mark(setting, hazard) if found.known else "",
    }


def _strength(setting: Setting, hazard: Hazard) -> str:
    prepared, writing = setting.prepared, setting.writing
    if hazard.what == "stock":
        value = writing.known(prepared.experiment.reagent.concentration)
    elif hazard.what == "titrant" and prepared.check is not None:
        value = writing.known(prepared.check.titrant_strength)
    else:
        return ""
    return writing.words("labels.strength", value=value)
