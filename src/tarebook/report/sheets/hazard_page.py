"""Hazards of what is on the bench, the gas against the room, first aid, waste."""

from __future__ import annotations

from collections.abc import Iterator

from tarebook.planning.prepare.gas import Limits
from tarebook.planning.prepare.hazards import Hazard
from tarebook.planning.prepare.neutralise import WasteWay
from tarebook.planning.prepare.ventilation import ABOUT_AS_HEAVY, AirLoad, AirVerdict
from tarebook.report import typeset
from tarebook.report.languages.words import Words
from tarebook.report.sheets.cautions import gas_name
from tarebook.report.sheets.marks import basis_mark
from tarebook.report.sheets.names import hazard_name
from tarebook.report.sheets.setting import Data, Setting, common, compiled

GLOVES = frozenset({"H312", "H314", "H315", "H290", "H341", "H350", "H361d", "H361f"})
HOOD = frozenset({"H226", "H314", "H331", "H332", "H335"})
SHIELD = frozenset({"H314"})


def hazard_page(setting: Setting) -> bytes:
    """Return the hazard page as PDF.

    Parameters
    ----------
    setting : Setting
    """
    return compiled(setting, "hazards", hazard_data(setting))


def hazard_data(setting: Setting) -> Data:
    """Return what the hazard page says."""
    prepared, words = setting.prepared, setting.writing.words
    found = prepared.hazards
    codes = {code for one in found for code in one.classification.pictograms}
    unverified = any(one.classification.known and not one.classification.verified for one in found)
    return common(setting, "hazard.title") | {
        "picture-names": {code: words(f"pictogram.{code}") for code in sorted(codes)},
        "cards": [_card(setting, one) for one in found],
        "how-confirm": words("hazard.how_confirm") if unverified else "",
        "protect-title": words("hazard.protect"),
        "protect": _protection(setting),
        "stopper-title": words("hazard.stopper"),
        "stopper": words(
            "hazard.stopper_text", bar=setting.writing.number(prepared.air.stoppered / 1e5, 2)
        ),
        "gas-title": words("hazard.gas"),
        "gas": _gas(setting),
        "gas-verdict": _verdict(setting, prepared.air),
        "aid-title": words("hazard.aid"),
        "aid": [
            words(f"hazard.{key}")
            for key in (
                "aid_eyes",
                "aid_skin",
                "aid_swallowed",
                "aid_breathed",
                "aid_call",
                "spill",
            )
        ],
        "waste-title": words("hazard.waste"),
        "waste": waste_lines(setting),
        "sources-title": words("hazard.sources"),
        "sources": _sources(setting),
    }


def _card(setting: Setting, hazard: Hazard) -> Data:
    words, found = setting.writing.words, hazard.classification
    percent = words("hazard.dropping_bottle" if hazard.what == "indicator" else "hazard.solid")
    if found.mass_percent is not None:
        percent = words("hazard.percent", percent=setting.writing.percent(found.mass_percent / 100))
    notes = []
    if hazard.what == "sample":
        notes.append(words("hazard.counted_as", formula=known_parts(setting)))
    if found.skin:
        notes.append(words("hazard.skin", skin=found.skin))
    if not found.known:
        notes.append(words("hazard.unknown"))
    elif not found.H:
        solid = "_solid" if found.mass_percent is None else ""
        notes.append(words(f"hazard.not_classified{solid}"))
    notes += substance_notes(words, found.key)
    if hazard.what == "acid" and not setting.prepared.experiment.sample.acids:
        notes.append(words("hazard.acid_not_named"))
    return {
        "what": words(f"hazard.what_{hazard.what}"),
        "name": hazard_name(setting, hazard),
        "percent": f"{typeset.formula(found.formula)}, {percent}" if found.formula else "",
        "pictograms": list(found.pictograms),
        "signal": words(f"signal.{found.signal}") if found.signal else "",
        "H": [[code, words(f"H.{code}")] for code in found.H],
        "P": [[code, words(f"P.{code}")] for code in found.P],
        "notes": notes,
        "mark": basis_mark(setting, hazard) if found.known else "",
        "sure": found.verified,
    }


def substance_notes(words: Words, key: str) -> list[str]:
    """Return what there is to say of a substance besides its statements: one sentence or none."""
    text = f"substance_note.{key}".replace(" ", "_")
    return [words(text)] if key and words.has(text) else []


def known_parts(setting: Setting) -> str:
    """Return the formulas of what is known of the sample: its analyte and the acids it brings."""
    parts = [one for one in setting.prepared.hazards if one.what in ("sample", "acid")]
    return ", ".join(typeset.formula(one.classification.formula) for one in parts)


def _protection(setting: Setting) -> list[str]:
    words, found = setting.writing.words, setting.prepared.hazards

    def names(codes: frozenset[str]) -> str:
        return ", ".join(
            dict.fromkeys(
                hazard_name(setting, one)
                for one in found
                # The acid of the sample is handled as part of it, not as a pure powder.
                if one.what != "acid"
                and (codes & set(one.classification.H) or not one.classification.known)
            )
        )

    lines = [words("hazard.protect_goggles")]
    gloves, hood = names(GLOVES), names(HOOD)
    if gloves:
        lines.append(words("hazard.protect_gloves", names=gloves))
    if any(SHIELD & set(one.classification.H) for one in found):
        lines.append(words("hazard.protect_shield"))
    if hood:
        lines.append(words("hazard.protect_hood", names=hood))
    return [*lines, words("hazard.protect_coat")]


def _gas(setting: Setting) -> list[str]:
    air, writing = setting.prepared.air, setting.writing
    words, gas = writing.words, typeset.formula(setting.prepared.air.gas)
    grams = air.amount * setting.prepared.experiment.reaction.gas_molar_mass.value
    room = "hazard.gas_room_assumed" if air.room_is_assumed else "hazard.gas_room"
    lines = [
        words(
            "hazard.gas_amount",
            volume=writing.volume(air.volume),
            gas=gas,
            grams=writing.mass(grams),
            minutes=writing.fixed(air.minutes, 0),
        ),
        words(
            room,
            room=writing.number(air.room_volume / 1000.0),
            changes=writing.number(air.air_changes),
        ),
        words(
            "hazard.gas_rise",
            unventilated=_share(setting, air.unventilated),
            peak=_share(setting, air.peak),
        ),
    ]
    if air.breathed > 0:
        lines.append(
            words(
                "hazard.gas_breath",
                people=setting.prepared.supplies.people,
                breathed=_share(setting, air.breathed),
            )
        )
    if air.limits is not None:
        lines += _limits(setting, air, air.limits)
    if abs(air.relative_density - 1) < ABOUT_AS_HEAVY:
        lines.append(words("hazard.gas_even", gas=gas))
    elif air.relative_density > 1:
        times = writing.number(air.relative_density, 2)
        lines.append(words("hazard.gas_heavy", gas=gas, times=times))
    else:
        lines.append(words("hazard.gas_light", gas=gas))
    return lines


def _limits(setting: Setting, air: AirLoad, limits: Limits) -> Iterator[str]:
    """Yield the limits of the gas, and what one vessel gives of a gas that burns."""
    writing = setting.writing
    words = writing.words
    named = {
        key: _share(setting, limit)
        for key, limit in (("average", limits.average), ("short", limits.short))
        if limit is not None
    }
    if named:
        key = "gas_limits" if len(named) > 1 else f"gas_{next(iter(named))}"
        yield words(f"hazard.{key}", basis=words(f"basis.{limits.source.basis}"), **named)
    if limits.flammable is not None:
        yield words("hazard.gas_flammable", flammable=writing.percent(limits.flammable, 2))
        yield words(
            "hazard.gas_one",
            volume=writing.volume(air.of_one, 2),
            minutes=writing.number(air.fizzing, 2),
            rate=writing.volume(air.of_one / air.fizzing, 2),
            air=writing.volume(air.air_that_burns, 2),
        )


def _share(setting: Setting, part: float) -> str:
    """Return a share of gas in air in ppm, from one per cent up in per cent."""
    if part >= 0.1:
        return setting.writing.percent(part, 2)
    return setting.writing.with_unit(part * 1e6, "ppm", 3 if part < 1e-3 else 2)


def _verdict(setting: Setting, air: AirLoad) -> str:
    words = setting.writing.words
    if air.verdict is AirVerdict.UNKNOWN:
        return words("hazard.gas_unknown")
    if air.verdict is AirVerdict.POISONOUS:
        return words("hazard.gas_poisonous")
    if air.most_groups is None:
        return words("hazard.gas_no_limit")
    if air.verdict is AirVerdict.FINE and air.burns:
        return words("hazard.gas_fine_burns")
    key = {
        AirVerdict.FINE: "gas_fine",
        AirVerdict.VENTILATE: "gas_ventilate",
        AirVerdict.TOO_MUCH: "gas_too_much",
    }[air.verdict]
    return words(f"hazard.{key}", groups=air.most_groups)


def waste_lines(setting: Setting) -> list[str]:
    """Return what is left over and what becomes of it."""
    waste, writing = setting.prepared.waste, setting.writing
    words = writing.words
    lines = [
        words(
            "hazard.waste_volume",
            volume=writing.volume(waste.volume),
            stock=writing.volume(waste.stock_left, 2),
        )
    ]
    if waste.way is WasteWay.COLLECT:
        lines.append(words("hazard.waste_collect"))
    else:
        lines.append(
            words(
                f"hazard.waste_{waste.way.value}",
                equivalents=writing.with_unit(waste.equivalents, "mol", 2),
                mass=writing.mass(waste.mass, 2),
                gas=writing.volume(waste.gas_volume, 2),
                share=_share(setting, waste.gas_volume / setting.prepared.air.room_volume),
            )
        )
    if waste.gas_on_pooling > 0:
        lines.append(words("hazard.waste_pooling", gas=writing.volume(waste.gas_on_pooling, 2)))
    sample = next(one for one in setting.prepared.hazards if one.what == "sample")
    if sample.classification.role == "metal":
        lines.append(words("hazard.waste_metal", gas=gas_name(setting.prepared, writing)))
    return [*lines, words("hazard.waste_room"), words("hazard.waste_rules")]


def _sources(setting: Setting) -> list[str]:
    words, prepared = setting.writing.words, setting.prepared
    lines = [
        f"{hazard_name(setting, one)}: {one.classification.source.work} "
        f"({words(f'basis.{one.classification.source.basis}')})"
        for one in prepared.hazards
        if one.classification.source is not None
    ]
    if prepared.air.limits is not None:
        source = prepared.air.limits.source
        lines.append(
            f"{typeset.formula(prepared.air.gas)}: {source.work} "
            f"({words(f'basis.{source.basis}'.replace(' ', '_'))})"
        )
    return list(dict.fromkeys(lines))
