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
    experiment = setting.prepared.experiment
    named = own_acid(experiment).named
    if named and not experiment.sample.acids:
        # Nobody has named it: the model lets one stand for it, which is no statement about it.
        formula = typeset.formula(named[0][0].formula)
        return setting.writing.words("sheet.acid_stands_for", formula=formula)
    names = ", ".join(typeset.formula(substance.formula) for substance, _ in named)
    return names or setting.writing.words("handout.own_acid_unnamed")
