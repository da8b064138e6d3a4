"""What is put beside a substance's name: pictograms, signal word, how far it can be relied on."""

from __future__ import annotations

from tarebook.planning.prepare.hazards import Hazard
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
