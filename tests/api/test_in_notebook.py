"""A result that ends a cell of a notebook is shown as its page's part, elsewhere as its text."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

from tarebook import api

FOLDER = Path(__file__).parents[2] / "examples" / "clean-pool-granules"

NOTEBOOK = """
import json, sys
from IPython.core.interactiveshell import InteractiveShell
shell = InteractiveShell.instance(history_length=0)
ran = shell.run_cell('''
from pathlib import Path
from tarebook import api
outcome = api.reduce(Path(sys.argv[1]), today=False, draws=1000)
html, text = api.as_html(outcome), api.as_text(outcome)
''', silent=True)
ran.raise_error()
made = shell.user_ns
shown, _ = shell.display_formatter.format(made["outcome"])
print("shown:" + json.dumps([shown, made["html"], made["text"]]))
"""


def test_a_notebook_shows_a_result_by_itself() -> None:
    done = subprocess.run(
        [sys.executable, "-c", "import sys" + NOTEBOOK.replace("sys.argv[1]", repr(str(FOLDER)))],
        capture_output=True, text=True, check=True, timeout=120,
    )  # fmt: skip
    before, _, told = done.stdout.partition("shown:")
    shown, html, text = json.loads(told)
    assert shown["text/html"] == html
    assert shown["text/plain"] == text.rstrip()
    assert "<svg" in html
    # To be asked for the text alone shows nothing.
    assert before.strip() == ""


def test_show_is_html_for_a_notebook_and_text_for_a_console() -> None:
    outcome = api.reduce(FOLDER, today=False, draws=1_000)
    shown = api.show(outcome)
    assert shown._repr_html_() == api.as_html(outcome)
    assert repr(shown) == api.as_text(outcome).rstrip()
    plan = api.plan(FOLDER, today=False)
    assert repr(api.show(plan)) == api.plan_as_text(plan).rstrip()


def test_without_a_notebook_nothing_is_loaded_for_one() -> None:
    code = "import sys; from tarebook import api; print('tarebook.api.in_notebook' in sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stdout.strip() == "False"
