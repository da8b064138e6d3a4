"""A language is one folder: a fourth one, put beside the others, is there without any code."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from fluent.syntax import FluentParser, FluentSerializer, ast

import tarebook

PACKAGE = Path(tarebook.__file__).parent
CODE, NAME, MARK = "eo", "Elpensita", "\u2020"
"""The code of a language that has no folder, so that its dates and plurals are known."""


SEES = """
from pathlib import Path
from tarebook import api
from tarebook.report.languages.writing import writing

assert api.language_names()["eo"] == "Elpensita", api.language_names()
assert writing("eo").number(12.345) == "12,3"
folder = Path("folder")
text = (folder / "experiment.toml").read_text(encoding="utf-8")
(folder / "experiment.toml").write_text(text + '\\n[course]\\nlanguage = "eo"\\n', encoding="utf-8")
made = api.prepare(folder, groups=2)
print(*(place for place, _ in made.files), sep="\\n")
"""


@pytest.fixture
def elsewhere(tmp_path: Path) -> Path:
    """Return a place with the package and, beside its languages, one in which all is marked."""
    package = tmp_path / "tarebook"
    shutil.copytree(PACKAGE, package, ignore=shutil.ignore_patterns("__pycache__"))
    languages = package / "report" / "languages"
    (languages / CODE).mkdir()
    for file in (languages / "en").iterdir():
        read = FluentParser().parse(file.read_text(encoding="utf-8"))
        for entry in read.body:
            if isinstance(entry, ast.Message):
                _mark(entry)
        (languages / CODE / file.name).write_text(FluentSerializer().serialize(read), "utf-8")
    return tmp_path


def _mark(message: ast.Message) -> None:
    key, pattern = message.id.name, message.value
    assert pattern is not None
    if key == "language-name":
        pattern.elements = [ast.TextElement(NAME)]
    elif key.startswith("language-"):
        pattern.elements = [ast.TextElement(CODE)]
    else:
        pattern.elements.insert(0, ast.TextElement(MARK))


def run(place: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Run Python on the package that stands at a place."""
    environment = {**os.environ, "PYTHONPATH": str(place), "PYTHONIOENCODING": "utf-8"}
    return subprocess.run(
        [sys.executable, *arguments],
        cwd=place,
        env=environment,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


def test_a_folder_more_is_a_language_more_everywhere(elsewhere: Path) -> None:
    started = run(elsewhere, "-m", "tarebook", "start", "folder")
    assert started.returncode == 0, started.stderr
    helped = run(elsewhere, "-m", "tarebook", "prepare", "--help")
    assert re.search(r"\[de\|en\|eo\|es\]", helped.stdout), helped.stdout
    made = run(elsewhere, "-c", SEES)
    assert made.returncode == 0, made.stderr
    sheet = next(name for name in made.stdout.split() if name.endswith("bench-sheets.pdf"))
    show = f"import pypdf; print(pypdf.PdfReader({sheet!r}).pages[0].extract_text())"
    read = run(elsewhere, "-c", show)
    assert MARK in read.stdout


def test_a_language_without_a_folder_is_refused_with_all_that_there_are(elsewhere: Path) -> None:
    run(elsewhere, "-m", "tarebook", "start", "folder")
    definition = elsewhere / "folder" / "experiment.toml"
    text = definition.read_text(encoding="utf-8")
    wrong = text.replace("temperature_C = 21", "temperature_C = 210")
    definition.write_text(f'{wrong}\n[course]\nlanguage = "xx"\n', encoding="utf-8")
    refused = run(elsewhere, "-m", "tarebook", "plan", "folder")
    assert refused.returncode != 0
    assert "Traceback" not in refused.stderr
    assert "course.language: found 'xx'" in refused.stderr
    assert '"de", "en", "eo", "es"' in refused.stderr
    assert "temperature_C" in refused.stderr
