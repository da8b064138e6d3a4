"""Finding a line of the report in a text, whatever numbers stand in it there.

The words of a line are the name under which its numbers are looked up; the numbers are those of
the text.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from scripts.one_voice.outputs import one_line
from scripts.one_voice.voices import NUMBER, Printed, read_number

BEFORE, BEHIND = r"(?<![0-9.−+±<>\w])", r"(?![0-9]|\.[0-9]|±| −?[0-9.]+±)"
"""What no line begins or ends in the middle of: a number, a word, a row of a wider table."""

_LITERAL = re.compile(r"\b[Rr]uns? $")
"""Behind these words a number is the name of a run."""


@dataclass(frozen=True, slots=True)
class Line:
    """A line as it is looked for: the pattern, and what each number in it is.

    Attributes
    ----------
    words : str
        The line without its numbers.
    pattern : str
        With a group for each number.
    names : tuple of str
        One for each group; empty for a number that is not gathered.
    """

    words: str
    pattern: str
    names: tuple[str, ...]


@dataclass(slots=True)
class Found:
    """What was found of lines in one text, and what of them was not."""

    printed: list[Printed] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)


def line(
    shown: str, names: Mapping[int, str] | None = None, *, start: str = "", only: bool = False
) -> Line:
    """Return a line to look for.

    Parameters
    ----------
    shown : str
        As the report has it.
    names : mapping of int to str, optional
        What a number is, by its place in the line, where another output knows it too.
    start : str
        What stands before it and is a name as it is, whatever digits it holds.
    only : bool
        Whether to gather no other numbers than those that have a name.
    """
    bare, start = one_line(start + shown), one_line(start)
    if not bare.startswith(start):
        start = start.rstrip()  # The blank before ± went.
    parts = re.split(rf"((?<![\w.]){NUMBER}(?!\w|/min))", bare[len(start) :])
    pattern, words = _loose(start), start
    counted: list[str] = []
    for place, part in enumerate(parts):
        if place % 2 == 0 or _LITERAL.search(start + "".join(parts[:place])):
            pattern += _loose(part)
            words += part
            continue
        decimals = len(part.partition(".")[2])
        fraction = rf"\.[0-9]{{{decimals}}}" if decimals else ""
        pattern += f"([<>]?[+−]?[0-9]+{fraction})"
        words += "#"
        counted.append(f"{len(counted)}")
    known = names or {}
    return Line(
        words,
        f"{BEFORE}{pattern}{BEHIND}",
        tuple(known.get(int(place), "" if only else f"“{words}” {place}") for place in counted),
    )


def _loose(words: str) -> str:
    """Return words as a pattern that a break behind a hyphen does not hide."""
    return re.escape(words).replace(r"\-", r"\-\s?")


def find(lines: Iterable[Line], text: str, where: str) -> Found:
    """Return the numbers of lines as a text has them.

    Parameters
    ----------
    lines : iterable of Line
    text : str
        On one line.
    where : str
        Which output the text is.
    """
    found, wanted = Found(), tuple(line for line in lines if line.names)
    alike = Counter(line.words for line in wanted)
    seen: Counter[str] = Counter()
    for each in wanted:
        turn, many = seen[each.words], alike[each.words]
        seen[each.words] += 1
        # Lines of the same words stand in the same order everywhere.
        matches = list(re.finditer(each.pattern, text))[turn::many]
        if not matches:
            found.missing.append(f"{each.words} is not on the {where}")
        more = f" ({turn})" if many > 1 else ""
        for match in matches:
            found.printed += _of_match(match, each.names, where, more)
    return found


def _of_match(
    match: re.Match[str], names: tuple[str, ...], where: str, more: str
) -> Iterator[Printed]:
    for group, name in enumerate(names, start=1):
        if not name:
            continue
        value, last = read_number(match[group])
        own = more if name.startswith("“") else ""
        yield Printed(name=name + own, where=where, value=value, last=last, span=match.span(group))
