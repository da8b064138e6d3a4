"""Chemical equations: read, checked, balanced with exact arithmetic."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from tarebook.chemistry.balance import (
    EquationError,
    balance_coefficients,
    counts_by_side,
    difference_text,
    side_text,
)
from tarebook.chemistry.formula import Formula, as_formula

# Dashes after a blank all belong to the arrow; without a blank the first may be a charge (Cl-->).
_ARROW = re.compile(r"\s-+>|<?->|<?=>?|→|⇌|⟶|↔")
# A plus is a separator with blanks on both sides or right before a formula; else it is a charge,
# also before a mark of state as in Na+(aq).
_PLUS = re.compile(r"\s\+\s|\+(?=[A-Z\[]|\((?!(?:s|l|g|aq)\)))")
_TERM = re.compile(r"(\d+)?\s*(.*)", re.DOTALL)


class UnknownSpeciesError(EquationError, LookupError):
    """A species that the equation does not hold, or more than one that fits.

    Parameters
    ----------
    species : str
        What was asked for.
    equation : str
        The equation.
    held : sequence of str
        The species it could have been.
    reason : str
        ``"is not in"`` or ``"fits more than one species of"``.
    """

    code = "unknown-species"

    def __init__(
        self, species: str, equation: str, held: Sequence[str], reason: str = "is not in"
    ) -> None:
        super().__init__(equation, reason)
        self.species, self.held = species, tuple(held)
        self.args = (species, equation, self.held, reason)

    def __str__(self) -> str:
        allowed = ", ".join(self.held)
        return f"{self.species} {self.reason} {self.equation}. Allowed: {allowed}."


@dataclass(frozen=True, slots=True)
class Equation:
    """A balanced equation.

    Attributes
    ----------
    reactants, products : tuple of (Formula, int)
        Species and their coefficients, in the order written.
    """

    reactants: tuple[tuple[Formula, int], ...]
    products: tuple[tuple[Formula, int], ...]

    @property
    def text(self) -> str:
        """The equation with its coefficients, such as ``2 H2 + O2 -> 2 H2O``."""
        return f"{side_text(self.reactants)} -> {side_text(self.products)}"

    @property
    def species(self) -> tuple[str, ...]:
        """The formulas as written, reactants first."""
        return tuple(formula.text for formula, _ in self.reactants + self.products)

    def coefficient(self, species: Formula | str) -> int:
        """Return the coefficient of a species on either side, always positive.

        Parameters
        ----------
        species : Formula or str
            As written in the equation, or in another spelling of the same composition.

        Returns
        -------
        int
            Its coefficient.

        Raises
        ------
        FormulaError
            If the text is no formula.
        UnknownSpeciesError
            If the equation does not hold it, or holds two of this composition spelt otherwise.

        Examples
        --------
        >>> parse_equation("H2 + O2 -> H2O").coefficient("H2O")
        2
        """
        wanted, terms = as_formula(species), self.reactants + self.products
        fits = [t for t in terms if t[0].text == wanted.text] or [
            t for t in terms if t[0].composition == wanted.composition
        ]
        if not fits:
            raise UnknownSpeciesError(wanted.text, self.text, self.species)
        if len(fits) > 1:
            raise UnknownSpeciesError(
                wanted.text,
                self.text,
                [t[0].text for t in fits],
                "fits more than one species of",
            )
        return fits[0][1]

    def __str__(self) -> str:
        return self.text


def balance(reactants: Sequence[Formula | str], products: Sequence[Formula | str]) -> Equation:
    """Balance an equation in elements and charge.

    Parameters
    ----------
    reactants, products : sequence of Formula or str
        The species on each side; the products in the order wanted.

    Returns
    -------
    Equation
        With the smallest positive whole coefficients.

    Raises
    ------
    FormulaError
        If a text is no formula.
    EquationError
        If there is no such set of coefficients, or more than one.

    References
    ----------
    .. [1] The coefficients span the null space of the matrix of element counts and charge; here by
       elimination over fractions, so exact.

    Examples
    --------
    >>> str(balance(["KMnO4", "HCl"], ["KCl", "MnCl2", "H2O", "Cl2"]))
    '2 KMnO4 + 16 HCl -> 2 KCl + 2 MnCl2 + 8 H2O + 5 Cl2'
    """
    left, right = [as_formula(one) for one in reactants], [as_formula(one) for one in products]
    _check_sides(left, right)
    numbers = balance_coefficients(left, right)
    return Equation(
        tuple(zip(left, numbers[: len(left)], strict=True)),
        tuple(zip(right, numbers[len(left) :], strict=True)),
    )


def parse_equation(text: str) -> Equation:
    """Read an equation, balancing it if no coefficient is written.

    Written coefficients are checked and kept, also when they are a multiple of the smallest ones;
    a species without one then counts once. Sides are joined by ``->``, ``=``, ``→`` or ``⇌``.

    Parameters
    ----------
    text : str
        Such as ``"NaHCO3 + HCl -> NaCl + H2O + CO2"`` or ``"Ag+ + Cl- -> AgCl(s)"``.

    Returns
    -------
    Equation
        Balanced in elements and charge.

    Raises
    ------
    FormulaError
        If a species is no formula.
    EquationError
        If the text is no equation, the written coefficients do not balance, or none can.

    Examples
    --------
    >>> str(parse_equation("Na2CO3 + HCl = NaCl + H2O + CO2"))
    'Na2CO3 + 2 HCl -> 2 NaCl + H2O + CO2'
    >>> parse_equation("2 H2 + O2 -> H2O")
    Traceback (most recent call last):
    ...
    tarebook.chemistry.balance.EquationError: 2 H2 + O2 -> H2O: as written it does not balance.
      H: 4 left, 2 right
      O: 2 left, 1 right
    Balanced it reads: 2 H2 + O2 -> 2 H2O
    """
    sides = _ARROW.split(text)
    if len(sides) != 2 or not all(side.strip() for side in sides):
        raise EquationError(
            text,
            "an equation has two sides joined by one '->'",
            do="Write for example NaHCO3 + HCl -> NaCl + H2O + CO2.",
        )
    left, right = (_terms(text, side) for side in sides)
    if all(number is None for _, number in left + right):
        return balance([f for f, _ in left], [f for f, _ in right])
    _check_sides([f for f, _ in left], [f for f, _ in right])
    written = Equation(
        tuple((formula, number or 1) for formula, number in left),
        tuple((formula, number or 1) for formula, number in right),
    )
    _check_written(written)
    return written


def _terms(text: str, side: str) -> list[tuple[Formula, int | None]]:
    """Split one side into species and the coefficients written, None where there is none."""
    terms: list[tuple[Formula, int | None]] = []
    for piece in _PLUS.split(f" {side} "):
        term = piece.strip()
        if not term:
            raise EquationError(
                text, "a species is missing beside a '+'", do="Write it or drop it."
            )
        match = _TERM.fullmatch(term)
        digits, formula = (match[1], match[2]) if match else (None, term)
        if formula[:1] in {"/", ".", ","} or digits == "0":
            raise EquationError(
                text,
                f"the coefficient of '{term}' is not a whole number above 0",
                do="Multiply the equation through, such as 2 H2 + O2 -> 2 H2O.",
            )
        terms.append((as_formula(formula), int(digits) if digits else None))
    return terms


def _check_sides(left: Sequence[Formula], right: Sequence[Formula]) -> None:
    """Refuse an empty side and a species that stands twice."""
    names = [formula.text for formula in (*left, *right)]
    text = f"{' + '.join(names[: len(left)])} -> {' + '.join(names[len(left) :])}"
    if not left or not right:
        raise EquationError(text, "one side is empty", do="Name what reacts and what is made.")
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise EquationError(
            text,
            f"{', '.join(twice)} stands more than once",
            do="Write each species once, on the side where it is used up or made.",
        )


def _check_written(equation: Equation) -> None:
    """Refuse written coefficients that do not balance, with the right ones if they are unique."""
    differences = [row for row in counts_by_side(equation.reactants, equation.products) if row.off]
    if not differences:
        return
    try:
        right = balance(
            [formula for formula, _ in equation.reactants],
            [formula for formula, _ in equation.products],
        )
        do = f"Balanced it reads: {right.text}"
    except EquationError as error:
        do = f"No set of coefficients was found for it: {error.reason}."
    raise EquationError(
        equation.text,
        "as written it does not balance",
        evidence=tuple(difference_text(row) for row in differences),
        do=do,
    )
