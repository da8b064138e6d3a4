"""What is put beside a substance's name: pictograms, signal word, how far it can be relied on."""

from __future__ import annotations

from tarebook.planning.prepare.hazards import PICTOGRAM_ORDER, Hazard
from tarebook.report.sheets.setting import Data, Setting


def hazard_mark(setting: Setting, hazard: Hazard) -> Data:
    """Return pictograms, their names and the signal word of a hazard, and how sure they are."""
    words, found = setting.writing.words, hazard.classification
    mark = ""
    if not found.known:
        mark = words("labels.unknown")
    elif found.H and not found.verified:
        mark = basis_mark(setting, hazard)
    return {
        "pictograms": list(found.pictograms),
        "signal": words(f"signal.{found.signal}") if found.signal else "",
        "picture-names": {code: words(f"pictogram.{code}") for code in found.pictograms},
        "mark": mark,
    }


def mark_of_all(setting: Setting) -> Data:
    """Return the mark of a sheet that is about everything on the bench: stock, sample, diluent.

    All pictograms, the strongest signal word, and how far the least sure of them can be relied on.
    """
    hazards = [one for one in setting.prepared.hazards if one.what in ON_THE_BENCH]
    marks = [hazard_mark(setting, one) for one in hazards]
    found = [one.classification for one in hazards]
    words, signals = setting.writing.words, {one.signal for one in found}
    strongest = next((signal for signal in ("danger", "warning") if signal in signals), "")
    unknown = [mark for one, mark in zip(found, marks, strict=True) if not one.known]
    unsure = [mark for mark in marks if mark["mark"]]
    pictured = {code for one in found for code in one.pictograms}
    return {
        "pictograms": [code for code in PICTOGRAM_ORDER if code in pictured],
        "signal": words(f"signal.{strongest}") if strongest else "",
        "picture-names": {code: words(f"pictogram.{code}") for code in PICTOGRAM_ORDER},
        "mark": (unknown or unsure or [{"mark": ""}])[0]["mark"],
    }


ON_THE_BENCH = frozenset({"stock", "sample", "acid", "diluent"})
"""What students have before them; the rest stays in the prep room."""


def basis_mark(setting: Setting, hazard: Hazard) -> str:
    """Return how far a classification can be relied on."""
    words, found = setting.writing.words, hazard.classification
    if found.confirmed is not None:
        return words(
            "hazard.confirmed",
            by=found.confirmed.by,
            date=setting.writing.short_date(found.confirmed.on),
            sheet=found.confirmed.sheet,
        )
    basis = found.source.basis if found.source else "memory"
    if basis == "read":
        return words("hazard.verified")
    kind = basis if basis in ("secondary", "library") else "memory"
    return words(f"hazard.unverified_{kind}")
