"""Formulas, equations and names of numbers as they are printed."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from tarebook.chemistry.equation import Equation
from tarebook.chemistry.formula import Formula
from tarebook.core.quantity import Basis, Source

_SUBSCRIPT = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
_COUNT = re.compile(r"(?<=[A-Za-z)\]])\d+")
_WATER_DOT = re.compile(r"\s*[.*∙⋅•]\s*(?=\d*[A-Z(])")

_UNIT_ENDS = {
    "_mmol_per_g": "mmol/g",
    "_g_per_mL": "g/mL",
    "_mmol/g": "mmol/g",
    "_percent": "%",
    "_kPa": "kPa",
    "_ppm": "ppm",
    "_m3": "m³",
    "_L": "L",
    "_mmol": "mmol",
    "_min": "min",
    "_mL": "mL",
    "_g": "g",
    "_C": "°C",
}

BASIS_WORDS: dict[Basis, str] = {
    "read": "seen in the source",
    "secondary": "seen in a work that quotes it",
    "library": "value of a software library",
    "computed": "worked out from other entries",
    "memory": "from memory, not looked up again",
    "common practice": "common practice",
    "declared": "stated in the definition",
    "found": "found in this experiment",
}
"""What `Basis` means, for a reader."""


def formula(text: str) -> str:
    """Return a formula with its counts as subscripts.

    Examples
    --------
    >>> formula("NaHCO3"), formula("Ca(OH)2"), formula("CuSO4.5H2O")
    ('NaHCO₃', 'Ca(OH)₂', 'CuSO₄·5H₂O')
    """
    dotted = _WATER_DOT.sub("·", text)
    return _COUNT.sub(lambda count: count[0].translate(_SUBSCRIPT), dotted)


def equation(balanced: Equation) -> str:
    """Return a balanced equation as it is printed.

    Examples
    --------
    >>> from tarebook.chemistry.equation import parse_equation
    >>> equation(parse_equation("H2 + O2 -> H2O"))
    '2 H₂ + O₂ → 2 H₂O'
    """
    return f"{_side(balanced.reactants)} → {_side(balanced.products)}"


def source(of: Source, said: Mapping[Basis, str] = BASIS_WORDS) -> str:
    """Return where a number comes from and how sure that is; the work keeps its language."""
    work = of.work.replace(" degC", " °C")
    if of.basis in ("declared", "found", "common practice"):
        plain = said[of.basis]
        return plain if work in ("the definition", plain) else f"{work} ({plain})"
    return f"{work} ({said[of.basis]})"


def split_unit(name: str) -> tuple[str, str]:
    """Return the words and the unit of a name that carries its unit.

    Examples
    --------
    >>> split_unit("difference_g"), split_unit("yield_percent"), split_unit("typed")
    (('difference', 'g'), ('yield', '%'), ('typed', ''))
    """
    for end, unit in _UNIT_ENDS.items():
        if name.endswith(end):
            return name.removesuffix(end).replace("_", " "), unit
    return name.replace("_", " "), ""


def listed(words: Iterable[str], last_word: str = "and") -> str:
    """Return words as a list in a sentence.

    Examples
    --------
    >>> listed(["1"]), listed(["1", "2", "5"])
    ('1', '1, 2 and 5')
    """
    *most, last = words
    return f"{', '.join(most)} {last_word} {last}" if most else last


def _side(terms: Iterable[tuple[Formula, int]]) -> str:
    return " + ".join(
        f"{count} {formula(species.text)}" if count > 1 else formula(species.text)
        for species, count in terms
    )
