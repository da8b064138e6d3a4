"""The page of all codes that a finding can have: what each says, and what it says to do.

The sentences are those of the catalogue with made-up values in them, so a new code has its line as
soon as it has its message. What a code means stands in the pages that the table points to.

    python -m scripts.finding_codes            writes docs/finding_codes.md
    python -m scripts.finding_codes --check    exits 1 if the page is not as it would be written
"""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from collections.abc import Iterator, Mapping
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Final

from fluent.syntax import FluentParser
from fluent.syntax import ast as fluent
from fluent.syntax.visitor import Visitor

from tarebook.core.phrase import Phrase, Value
from tarebook.diagnosis.slips.check import NOT_WEIGHED
from tarebook.diagnosis.slips.kinds import PREFIX, SlipKind
from tarebook.planning.rules_gas import CODES
from tarebook.records.readings import Quantity
from tarebook.report.languages.catalogue import OF_FINDINGS, MissingTextError
from tarebook.report.languages.writing import in_files

TOP: Final = Path(__file__).parents[2]
SOURCE: Final = TOP / "src" / "tarebook"
LANGUAGES: Final = SOURCE / "report" / "languages"
EXAMPLES: Final = Path(__file__).parent / "examples.toml"
PAGE: Final = TOP / "docs" / "finding_codes.md"
PAGES: Final = ("findings.md", "planning.md", "prepare.md")

HEAD: Final = """# All codes of findings

Written by `python -m scripts.finding_codes`. Each sentence is what the program says, with made-up
values in it; where it chooses between several wordings, one of them stands here. What a code means,
when it is given and how grave it is stands where its name leads to.

| code | for example | what to do |
| --- | --- | --- |
"""

SET_AS_NUMBERS: Final = frozenset({"SIG", "FIX", "PERCENT", "CHANCE", "PM"})
"""Functions of the catalogue that set a number."""

TEXTS: Final[Mapping[str, Value]] = {
    "analyte": "NaHCO3", "balance": "0.01 g balance", "beyond": ("7", "8"),
    "because": "the two lines need 4 usable runs, and there are 3", "diluent": "water",
    "end": "18 mL", "first": "7", "gas": "CO2", "instrument": "50 mL cylinder",
    "key": "nominal_g", "last": "9", "liquid": "reagent", "low": "51.9", "high": "52.6",
    "meant": "52.71", "now": "5f2c", "nearest": ("7.5",), "off": "1.2", "open_runs": ("6", "7"),
    "others": ("8",), "per_g": "2.47 ± 0.26 mmol of protons", "quantity": Quantity.FINAL,
    "reagent": "HCl", "run": "3", "same_as": "2", "shape": "straight-line", "side": "less",
    "seen": "cup 1 got no reagent and still lost 0.053 g", "should_be": "52.71",
    "source": "the definition", "table": "sample", "typed": "52.17", "unit": "g",
    "values": ("52.17", "52.71"), "vessel": "250 mL beaker", "volume": "18.3 ± 0.2 mL",
    "volumes": ("7.3",), "was": "9ab0", "what": (Quantity.FINAL,),
    "would_be": "the content would then be 57.5 ± 2.2 %", "written": "52.17 g",
}  # fmt: skip
"""What stands for a text in every example that has no other."""


def codes() -> frozenset[str]:
    """Return every code that the program can give a finding."""
    found = {PREFIX + kind.value for kind in SlipKind} | set(CODES.values()) | {NOT_WEIGHED}
    for path in SOURCE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and ast.unparse(node.func) == "Finding":
                code = next(word.value for word in node.keywords if word.arg == "code")
                found |= {str(one.value) for one in ast.walk(code) if isinstance(one, ast.Constant)}
    return frozenset(code for code in found if _is_said(code))


def _is_said(code: str) -> bool:
    try:
        in_files().also(Phrase(code), "do")
    except MissingTextError as error:
        return not str(error).strip("\"'").startswith("no message")
    return True


def example(code: str) -> tuple[str, str]:
    """Return what a code says and says to do, with made-up values."""
    own = tomllib.loads(EXAMPLES.read_text(encoding="utf-8")).get(code, {})
    how, phrase = in_files(), Phrase(code, {**_made_up(), **own})
    said = how.say(phrase)
    do = how.also(phrase, "do")
    if code.startswith(PREFIX):
        with suppress(MissingTextError):
            do = how.say(Phrase(code.replace(PREFIX, f"{PREFIX}now-", 1), phrase.values))
    return said[:1].upper() + said[1:], do


@cache
def _made_up() -> Mapping[str, Value]:
    """Return a value for everything that any sentence asks for, of the kind that it asks for."""
    found = _Asked()
    for subject in OF_FINDINGS:
        text = (LANGUAGES / "en" / f"{subject}.ftl").read_text(encoding="utf-8")
        found.visit(FluentParser().parse(text))
    values: dict[str, Value] = dict.fromkeys(found.texts, "…")
    values |= {name: 0.12 if _is_part(name) else 12.5 for name in found.numbers}
    values |= dict.fromkeys(found.counts, 2)
    return values | {name: value for name, value in TEXTS.items() if name in found.texts}


def _is_part(name: str) -> bool:
    return name.endswith(("part", "fraction", "content", "chance", "relative", "share", "_g", "u"))


class _Asked(Visitor):
    """What the sentences ask for: numbers, counts and texts."""

    def __init__(self) -> None:
        self.numbers, self.counts, self.texts = set[str](), set[str](), set[str]()

    def visit_VariableReference(self, node: fluent.VariableReference) -> None:  # noqa: N802 (theirs)
        """Note a value, whatever it is."""
        self.texts.add(node.id.name)

    def visit_FunctionReference(self, node: fluent.FunctionReference) -> None:  # noqa: N802 (theirs)
        """Note the numbers that a function sets."""
        if node.id.name in SET_AS_NUMBERS:
            self.numbers |= {
                one.id.name
                for one in node.arguments.positional
                if isinstance(one, fluent.VariableReference)
            }
        self.generic_visit(node)

    def visit_SelectExpression(self, node: fluent.SelectExpression) -> None:  # noqa: N802 (theirs)
        """Note the counts by which a sentence chooses its words."""
        keys = {getattr(one.key, "name", getattr(one.key, "value", "")) for one in node.variants}
        if isinstance(node.selector, fluent.VariableReference) and keys & {"one", "0"}:
            self.counts.add(node.selector.id.name)
        self.generic_visit(node)


def _lines() -> Iterator[str]:
    headings = {
        heading: page
        for page in PAGES
        for heading in re.findall(
            r"^### (\S+)$", (TOP / "docs" / page).read_text(encoding="utf-8"), re.MULTILINE
        )
    }
    for code in sorted(codes()):
        said, do = example(code)
        name = f"[{code}]({headings[code]}#{code})" if code in headings else f"`{code}`"
        yield f"| {name} | {said} | {do} |".replace("\n", " ")


def page() -> str:
    """Return the page as it should be."""
    return HEAD + "\n".join(_lines()) + "\n"


def main() -> int:
    """Write the page, or say whether it is as it should be."""
    if "--check" in sys.argv[1:]:
        return 0 if PAGE.read_text(encoding="utf-8") == page() else 1
    PAGE.write_text(page(), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
