"""What can go wrong in writing a formula: counts, charges, letters, and the hints that help."""

from __future__ import annotations

import re
from collections.abc import Iterator

from tarebook.chemistry.weights import ELEMENTS
from tarebook.core.errors import TarebookError

_SUPERSCRIPT = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻", "0123456789+-")
_MOST_ATOMS = 999


class FormulaError(TarebookError, ValueError):
    """A text that is no chemical formula, or that could mean two things.

    Parameters
    ----------
    text : str
        The whole text.
    position : int
        Where in it the trouble begins, counted from 0.
    found : str
        What stands there.
    hint : str
        What is allowed and what to write.
    """

    code = "formula"

    def __init__(self, text: str, position: int, found: str, hint: str) -> None:
        super().__init__(text, position, found, hint)
        self.text, self.position, self.found, self.hint = text, position, found, hint

    def __str__(self) -> str:
        if not self.text.strip():
            return f"The formula is empty. {self.hint}"
        marks = " " * self.position + "^" * max(len(self.found), 1)
        return (
            f"formula {self.text!r}: {self.found!r} at character {self.position + 1} "
            f"cannot be read.\n  {self.text}\n  {marks}\n{self.hint}"
        )


def read_count(text: str, plain: str, position: int) -> tuple[int, int]:
    """Return a whole count at `position` and the position after it.

    Raises
    ------
    FormulaError
        If it begins with zero, or looks like a zero written for the letter O.
    """
    match = re.compile(r"[0-9]+").match(plain, position)
    if match is None:
        raise FormulaError(text, position, plain[position], "Write a whole number.")
    digits, after = match[0], match.end()
    if digits.startswith("0"):
        hint = "A count does not begin with zero."
        if plain[after : after + 1] == "." or plain[:position].endswith("."):
            hint += " Counts are whole: multiply the formula through."
        else:
            fixed = plain[:position] + "O" + plain[position + 1 :]
            hint += f" For oxygen write the letter O: {fixed}."
        raise FormulaError(text, position, digits, hint)
    # 101 to 109 and the like: far more often C2O4 typed as C204 than a hundred atoms.
    if int(digits) > _MOST_ATOMS or (len(digits) == 3 and digits[1] == "0" and digits[2] != "0"):
        fixed = plain[:position] + digits.replace("0", "O") + plain[after:]
        hint = f"Is a zero standing for the letter O: {fixed}?" if "0" in digits else ""
        raise FormulaError(text, position, digits, f"The count is too large to be meant. {hint}")
    return int(digits), after


def read_charge(text: str, plain: str, start: int, end: int) -> tuple[int, int]:
    """Return the charge and the position where the formula itself ends.

    Raises
    ------
    FormulaError
        If the charge could be a count, or is not written in one of the accepted ways.
    """
    body = plain[start:end]
    raised = re.search(r"[⁰¹²³⁴⁵⁶⁷⁸⁹]*[⁺⁻]$", body)
    if raised:
        return _signed(text, start + raised.start(), raised[0], raised[0].translate(_SUPERSCRIPT))
    if "^" in body:
        at = body.index("^")
        return _signed(text, start + at, body[at:], body[at + 1 :])
    late = re.search(r"[+-]+\d+$|[+-]{2,}$", body)
    if late:
        sign = late[0][0]
        size = late[0].strip("+-") or str(len(late[0]))
        hint = f"Write the charge as ^{size}{sign}: {body[: late.start()]}^{size}{sign}."
        raise FormulaError(text, start + late.start(), late[0], hint)
    if body[-1] not in "+-":
        return 0, end
    _refuse_ambiguous(text, body, start)
    return (1 if body[-1] == "+" else -1), end - 1


def _signed(text: str, position: int, found: str, charge: str) -> tuple[int, int]:
    match = re.fullmatch(r"([1-9]?)([+-])", charge)
    if match is None:
        hint = "A charge is a number from 1 to 9 and a sign, as in Ca^2+ or SO4^2-."
        raise FormulaError(text, position, found, hint)
    size = int(match[1] or "1")
    return (size if match[2] == "+" else -size), position


def _refuse_ambiguous(text: str, body: str, start: int) -> None:
    """Refuse a digit before the last sign that could be a count or a charge.

    Read as a count: one digit in a species of several elements (HCO3-, NH4+). Refused: a lone
    element (Ca2+), two or more digits (SO42-), a square bracket before it ([Fe(CN)6]3-), and 2+ or
    3+ (VO2+ and FeSCN2+ are written both ways).
    """
    match = re.search(r"(\d+)([+-])$", body)
    if match is None:
        return
    head, digits, sign = body[: match.start()], match[1], match[2]
    lone = re.fullmatch(r"[A-Z][a-z]?", head) is not None
    complex_ion = head.endswith("]")
    doubtful = sign == "+" and digits in {"2", "3"}
    if not (lone or complex_ion or doubtful or len(digits) > 1):
        return
    count, size = digits[:-1], digits[-1]
    choices = [f"{head}{count}^{size}{sign}", f"{head}{digits}^{sign}"]
    hint = f"Count or charge? Write {choices[0]} or {choices[1]}, whichever is meant."
    raise FormulaError(text, start + match.start(), match[0], hint)


def check_counts_of_whole(text: str, body: str, start: int) -> None:
    """Refuse counts that are legal one by one but show a slip in the whole.

    Raises
    ------
    FormulaError
        For a hydrate without its dot (CuSO45H2O) and a zero for O after a lone element (H20).
    """
    if "." not in body:
        match = re.search(r"(?<=[A-Za-z)\]])(?<!C)(\d{2,})H2O$", body)
        if match:
            digits = match[1]
            fixed = f"{body[start : match.start()]}{digits[:-1]}.{digits[-1]}H2O"
            hint = f"Is a dot missing before the water of a hydrate: {fixed}?"
            raise FormulaError(text, match.start(), match[0], hint)
    lone = re.fullmatch(r"([A-Z][a-z]?)(\d*0\d*)", body[start:])
    # C60 and C70 exist; no other lone element is written with tens of atoms.
    if lone and lone[1] != "C":
        fixed = lone[1] + lone[2].replace("0", "O", 1)
        hint = f"Is a zero standing for the letter O: {fixed}?"
        raise FormulaError(text, start + lone.start(2), lone[2], hint)


def spellings_of(letters: str) -> Iterator[str]:
    """Yield the ways to read letters, whatever their case, as element symbols."""
    if not letters:
        yield ""
        return
    for size in (2, 1):
        symbol = letters[:size].capitalize()
        if len(letters) >= size and symbol in ELEMENTS:
            for rest in spellings_of(letters[size:]):
                yield symbol + rest
