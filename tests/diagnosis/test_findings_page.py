"""docs/findings.md has every code that the program can give, with its severities, and no other."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from tarebook.diagnosis.slips.check import NOT_WEIGHED
from tarebook.diagnosis.slips.kinds import PREFIX, SlipKind
from tarebook.diagnosis.slips.values import kind_of
from tarebook.findings.finding import Severity
from tarebook.report.languages.writing import in_files

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "src" / "tarebook"
PLACES = (SOURCE / "diagnosis", SOURCE / "api")
SEVERITY = {f"Severity.{severity.name}": severity.value for severity in Severity}


def _strings(node: ast.expr) -> list[str]:
    return [
        each.value
        for each in ast.walk(node)
        if isinstance(each, ast.Constant) and isinstance(each.value, str)
    ]


def _pairs(code: ast.expr, severity: ast.expr) -> list[tuple[str, str]]:
    """Return each code with its severities; two that hang on one condition go side by side."""
    if isinstance(code, ast.IfExp) and isinstance(severity, ast.IfExp):
        sides = ((code.body, severity.body), (code.orelse, severity.orelse))
        return [pair for side in sides for pair in _pairs(*side)]
    return [(each, ast.unparse(severity)) for each in _strings(code)]


def _codes() -> dict[str, set[str]]:
    """Return the severities of each code, as the calls of `Finding` in the source have them."""
    found: dict[str, set[str]] = {NOT_WEIGHED: {"note"}}
    for place in PLACES:
        for file in sorted(place.rglob("*.py")):
            for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
                if not (isinstance(node, ast.Call) and ast.unparse(node.func) == "Finding"):
                    continue
                keywords = {keyword.arg: keyword.value for keyword in node.keywords}
                for code, said in _pairs(keywords["code"], keywords["severity"]):
                    severities = {word for name, word in SEVERITY.items() if name in said}
                    found.setdefault(code, set()).update(severities)
    found |= {PREFIX + kind.value: set() for kind in SlipKind}
    return found


def _sections() -> dict[str, str]:
    page = (ROOT / "docs" / "findings.md").read_text(encoding="utf-8")
    parts = re.split(r"^### (\S+)$", page, flags=re.MULTILINE)
    return dict(zip(parts[1::2], parts[2::2], strict=True))


CODES, SECTIONS = _codes(), _sections()


def test_the_page_has_every_code_and_no_other() -> None:
    assert len(CODES) > 50
    assert set(SECTIONS) == set(CODES)


@pytest.mark.parametrize("code", sorted(CODES))
def test_a_code_is_explained_with_its_severities(code: str) -> None:
    said = SECTIONS[code].split("\n## ")[0]
    assert len(said.split()) >= 3
    for severity in CODES[code]:
        assert re.search(rf"\*{severity}\.?\*", said), severity


@pytest.mark.parametrize("code", sorted(c for c in CODES if CODES[c] & {"stop", "look"}))
def test_what_is_worth_a_stop_or_a_look_says_what_to_do(code: str) -> None:
    assert "*Do:*" in SECTIONS[code]


@pytest.mark.parametrize("kind", list(SlipKind))
def test_a_slip_is_said_in_its_own_words(kind: SlipKind) -> None:
    clause = in_files().say(kind_of(kind, "diluent"))
    assert clause.lower() in SECTIONS[PREFIX + kind.value].lower()
