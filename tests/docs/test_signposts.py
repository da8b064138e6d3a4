"""What the pages name is there: files, modules, commands with their options, targets, scripts."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path

import click
import pytest

from tarebook.cli import main
from tarebook.diagnosis.slips.kinds import PREFIX, SlipKind

TOP = Path(__file__).parents[2]
SOURCE = TOP / "src" / "tarebook"
PAGES = [
    TOP / "README.md",
    TOP / "CONTRIBUTING.md",
    *sorted(path for path in (TOP / "docs").rglob("*.md") if path.parent.name != "licenses"),
]
KINDS = "py|toml|md|txt|html|js|cjs|typ|css|json|lock|sh|svg|png"
ELSEWHERE = ("out/", ".bench/", "FOLDER/", "tarebook/", "NAME", "<name>")
"""Beginnings of what lies in a user's folder, and what stands for a name."""
NO_COMMAND = "tarebook event"
"""What hashes of the record begin with."""


def codes(page: Path) -> Iterator[str]:
    """Yield all that stands in backticks, and each line of a block."""
    text = page.read_text(encoding="utf-8")
    blocks = re.findall(r"^```.*?\n(.*?)^```", text, re.M | re.S) + re.findall(
        r"^    \S.*$", text, re.M
    )
    for block in blocks:
        yield from (line.strip() for line in block.splitlines())
    prose = re.sub(r"^```.*?^```", "", text, flags=re.M | re.S)
    yield from (" ".join(code.split()) for code in re.findall(r"`([^`]+)`", prose))


def is_there(path: str, page: Path) -> bool:
    places = (
        TOP,
        SOURCE,
        page.parent,
        SOURCE / "web",
        SOURCE / "web" / "static",
        SOURCE / "report",
    )
    beside = SOURCE / "chemistry" / "tables"
    return any(next(place.glob(path), None) for place in (*places, beside))


def test_every_file_that_is_named_is_there() -> None:
    missing, seen = [], 0
    for page in PAGES:
        for code in codes(page):
            path = code.partition("::")[0]
            if not re.fullmatch(rf"[\w.*-]+(/[\w.*-]+)+(\.({KINDS})|/)?", path):
                continue
            if path.startswith(ELSEWHERE) or not re.search(rf"\.({KINDS})$|/$", path):
                continue
            seen += 1
            if not is_there(path.rstrip("/"), page):
                missing.append(f"{page.relative_to(TOP)}: {path}")
    assert missing == []
    assert seen > 100


def test_every_module_that_is_named_is_there() -> None:
    names = {
        name
        for page in PAGES
        for code in codes(page)
        for name in re.findall(r"(?<![\w./])tarebook(?:\.[a-z_]\w*)+", code)
        if not name.endswith((".db", ".toml"))
    }
    assert len(names) > 5
    for name in names:
        module, _, attribute = name.rpartition(".")
        # A module, or a function of one.
        assert find_spec(module) is not None, name
        if find_spec(name) is None:
            source = Path(str(find_spec(module).origin)).read_text(encoding="utf-8")  # type: ignore[union-attr]
            assert attribute in {
                node.name
                for node in ast.walk(ast.parse(source))
                if isinstance(node, ast.FunctionDef | ast.ClassDef)
            } | set(re.findall(r'"(\w+)"', source)), name


def commands(page: Path) -> Iterator[list[str]]:
    """Yield the words of each call of the program, without what explains it."""
    for code in codes(page):
        line = re.split(r"\s{2,}|\s#", code)[0]
        found = re.match(r"(?:\.venv/bin/)?tarebook\s+(?!\.)(.*)", line)
        if found and line != NO_COMMAND:
            yield re.sub(r"[][.]{1,3}(?=\s|$)|[][]", "", found[1]).split()


def test_every_command_and_option_is_one() -> None:
    seen = 0
    for page in PAGES:
        for words in commands(page):
            if words[0].startswith("-"):
                continue
            command = main.commands.get(words[0])
            assert command is not None, f"{page.name}: {words}"
            known = {
                name for param in command.params for name in (*param.opts, *param.secondary_opts)
            }
            known |= {"--help", "-h"}
            asked = [word.split("=")[0] for word in words[1:] if word.startswith("-")]
            assert set(asked) <= known, f"{page.name}: {words}"
            seen += 1
    assert seen > 50


def test_the_commands_of_the_readme_are_taken_as_they_stand() -> None:
    """Their arguments are as many and as the command wants them; nothing is run."""
    seen = set()
    for words in commands(TOP / "README.md"):
        command = main.commands[words[0]]
        with command.make_context(words[0], words[1:], parent=click.Context(main)):
            seen.add(words[0])
    assert {"start", "plan", "prepare", "bench", "check", "reduce", "report", "backup"} <= seen


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(TOP)))
def test_every_target_and_script_is_there(page: Path) -> None:
    targets = set(re.findall(r"^([a-z-]+):", (TOP / "Makefile").read_text(encoding="utf-8"), re.M))
    for code in codes(page):
        if found := re.match(r"make ([a-z-]+)", code):
            assert found[1] in targets, code
        if found := re.match(
            r"(?:python|\.venv/bin/python) (?:-m (scripts\.\w+)|(scripts/\w+\.py))", code
        ):
            place = TOP / (found[1].replace(".", "/") if found[1] else found[2])
            sources = sorted(place.glob("*.py")) or [place.with_suffix(".py")]
            text = "".join(source.read_text(encoding="utf-8") for source in sources)
            for option in re.findall(r"\s(--[a-z-]+)", code):
                assert f'"{option}"' in text, code


def test_every_slip_has_its_row_with_where_to_look() -> None:
    page = (TOP / "docs" / "slips.md").read_text(encoding="utf-8")
    rows = "".join(re.findall(r"^\| `slip-.*$", page, re.M))
    assert [kind for kind in SlipKind if f"`{PREFIX}{kind.value}`" not in rows] == []
