"""Everything that a person reads on a page goes through the catalogue."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Final

import pytest
from scripts.pad_keys import KEYS, keys
from tests.words import messages, places

import tarebook.web

WEB: Final = Path(tarebook.web.__file__).parent
TEMPLATES: Final = sorted((WEB / "templates").glob("*.html"))
SCRIPTS: Final = sorted(
    path for path in (WEB / "static").rglob("*.js") if path.name not in {"nacl.js", "fluent.js"}
)
READ_ALOUD: Final = frozenset(("aria-label", "placeholder", "alt", "title"))

NO_SENTENCES: Final = {
    "tarebook bench FOLDER --share": "a command, typed as it stands",
    "ABC-123": "what a code looks like",
    "A4": "the name of a paper",
    "Letter": "the name of a paper",
    "Tarebook": "the name of the program",
    "←": "a picture of a key",
    "not fit": "a code, compared and not shown",
}
"""What may stand in a template as it is, and why."""

NO_PAGES: Final = {
    "serve.py": "speaks in the terminal",
    "certificate.py": "speaks in the terminal",
    "log.py": "writes the log",
    "security.py": "writes the log",
    "protocol.py": "answers before it is known who asks",
    "connections.py": "answers before it is known who asks",
}
"""Modules whose sentences are on no page, and where they are."""

SAID: Final = re.compile(r"""say\(\s*"([\w-]+)"((?:,\s*\w+=[^,()]+(?:\([^()]*\))?)*)\)""")
JINJA: Final = re.compile(r"\{\{.*?\}\}|\{%.*?%\}|\{#.*?#\}", re.DOTALL)
SENTENCE: Final = re.compile(r"[A-Za-zÀ-ÿ]{2,}[,:;]? [a-zß-ÿ]{2,}")
STRING: Final = re.compile(r'"(?:[^"\\\n]|\\.)*"|`(?:[^`\\]|\\.)*`')
SHOWN: Final = re.compile(
    r"""(?:(?:textContent|placeholder|title) = |"aria-label"[,:] )["`]\s*[A-Za-z]"""
)


class _Texts(HTMLParser):
    """The texts of a page and of what is read aloud on it."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        del tag
        self.found += [value or "" for name, value in attrs if name in READ_ALOUD]

    def handle_data(self, data: str) -> None:
        self.found += [line.strip() for line in data.splitlines()]


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_a_template_holds_no_words_of_its_own(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    made = _Texts()
    made.feed(JINJA.sub("", re.sub(r"\{% block body_class %\}[\w-]*", "", text)))
    found = [one for one in made.found if re.search(r"[A-Za-z]{2}", one)]
    assert [one for one in found if one not in NO_SENTENCES] == []
    literals = re.findall(r'"([^"]*)"', " ".join(JINJA.findall(text)))
    assert [one for one in literals if SENTENCE.search(one) and one not in NO_SENTENCES] == []


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_a_template_gives_each_message_its_values(path: Path) -> None:
    known = messages("en")
    text = path.read_text(encoding="utf-8")
    said = SAID.findall(text)
    assert len(said) == text.count("say("), "a call that is not read here"
    for key, given in said:
        assert key in known, key
        assert sorted(re.findall(r"(\w+)=", given)) == places(known[key]), key


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.name)
def test_a_script_holds_no_sentence_of_its_own(path: Path) -> None:
    assert list(_sentences_of_script(path.read_text(encoding="utf-8"))) == []


def _sentences_of_script(text: str) -> Iterator[str]:
    code = re.sub(r"/\*.*?\*/|(?<!:)//[^\n]*", "", text, flags=re.DOTALL)
    yield from SHOWN.findall(code)
    for literal in STRING.findall(code):
        plain = re.sub(r"\$\{[^{}]*\}", "1", literal[1:-1])
        is_faulty = plain.startswith(("the page has no ", "tarebook event"))
        begins = bool(re.match(r"[“„«(]?[A-ZÀ-Þ]", plain))
        ends = plain.rstrip().endswith((".", "?", "!", "…"))
        if SENTENCE.search(plain) and (begins or ends) and not is_faulty:
            yield plain


@pytest.mark.parametrize(
    "path",
    [path for path in sorted(WEB.glob("*.py")) if path.name not in NO_PAGES],
    ids=lambda path: path.name,
)
def test_a_module_of_the_web_holds_no_sentence_of_its_own(path: Path) -> None:
    assert list(_sentences_of_module(path.read_text(encoding="utf-8"))) == []


def _sentences_of_module(text: str) -> Iterator[str]:
    tree = ast.parse(text)
    told = {
        id(node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in told:
            begins = bool(re.match(r"[“(]?[A-Z]", node.value))
            ends = node.value.rstrip().endswith((".", "?", "!"))
            if SENTENCE.search(node.value) and (begins or ends):
                yield node.value


def test_what_bypasses_the_catalogue_is_found() -> None:
    script = 'state.textContent = "sent"; h("p", {}, "The app sleeps."); ask(`Run ${run} is done`);'
    assert len(list(_sentences_of_script(script))) == 3
    module = '"""Of a page."""\n\ndef f() -> str:\n    """Say it."""\n    return "That is wrong."\n'
    assert list(_sentences_of_module(module)) == ["That is wrong."]


def test_the_scripts_know_the_messages_as_they_are() -> None:
    """The check of types then finds a misspelt key and a value that lacks."""
    assert KEYS.read_text(encoding="utf-8") == keys(), "python -m scripts.pad_keys"
