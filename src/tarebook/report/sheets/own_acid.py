"""The acid of the sample, in words for the sheets."""

from __future__ import annotations

from tarebook.model.own_acid import own_acid
from tarebook.report import typeset
from tarebook.report.sheets.setting import Setting


def own_acid_names(setting: Setting) -> str:
    """Return the formulas of the acids that the sample brings; in words, that none is named.

    Parameters
    ----------
    setting : Setting
    """
    named = own_acid(setting.prepared.experiment).named
    names = ", ".join(typeset.formula(substance.formula) for substance, _ in named)
    return names or setting.writing.words("handout.own_acid_unnamed")
