"""Make the pictures and the table of the README from the clean example.

Run it from the top of the repository: python scripts/make_pictures.py

Charts and the page of the report come out the same on every machine. The pictures of the page in a
browser need Chromium; where it is missing they are left as they are, and the script says so.
"""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from pathlib import Path

from tarebook.api.reduce_series import reduce
from tarebook.report import charts
from tarebook.report.document import first_page
from tarebook.report.drawing import svg
from tarebook.report.outcome import Outcome
from tarebook.report.page import page
from tarebook.report.text import summary

ROOT = Path(__file__).parents[1]
EXAMPLE = ROOT / "examples" / "clean-pool-granules"
PICTURES = ROOT / "docs" / "pictures"
README = ROOT / "README.md"

BEGIN, END = "<!-- table of the demo: begin -->", "<!-- table of the demo: end -->"
"""Lines of the README between which the table stands; scripts/make_pictures.py writes it."""

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome")
WINDOWS = {"page-phone.png": (390, 844), "page-desktop.png": (1280, 900)}
"""Width and height of the window, [px]."""


def with_table(readme: str, table: str) -> str:
    """Return the README with the table between its two marks."""
    before, begin, rest = readme.partition(BEGIN)
    _, end, after = rest.partition(END)
    if not (begin and end):
        message = f"README.md needs the lines {BEGIN!r} and {END!r}"
        raise SystemExit(message)
    return f"{before}{BEGIN}\n```text\n{table.rstrip()}\n```\n{END}{after}"


def draw(outcome: Outcome) -> None:
    """Write the charts, on white so that they read on a dark page too, and the first page."""
    for name, spec in (
        ("curve", charts.curve(outcome, width=620, height=340)),
        ("waterfall", charts.waterfall(outcome, width=700)),
    ):
        if spec is None:
            message = f"the example allows no {name}"
            raise SystemExit(message)
        (PICTURES / f"{name}.svg").write_text(svg(spec), encoding="utf-8")
    (PICTURES / "report-page-1.png").write_bytes(first_page(outcome, ppi=72))


def photograph(outcome: Outcome) -> None:
    """Take pictures of the page in a phone's and a desk's window."""
    browser = next((found for name in BROWSERS if (found := shutil.which(name))), None)
    if browser is None:
        print("No Chromium found: the pictures of the page are left as they are.")
        return
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "report.html"
        file.write_text(page(outcome), encoding="utf-8")
        for name, (width, height) in WINDOWS.items():
            command = [
                browser,
                "--headless",
                "--no-sandbox",
                "--disable-gpu",
                "--hide-scrollbars",
                f"--user-data-dir={folder}/profile",
                f"--window-size={width},{height}",
                f"--screenshot={PICTURES / name}",
                file.as_uri(),
            ]
            subprocess.run(command, check=True, capture_output=True, timeout=120)


def main() -> None:
    """Make all of it and print the table."""
    outcome = reduce(EXAMPLE, today=False)
    PICTURES.mkdir(parents=True, exist_ok=True)
    draw(outcome)
    photograph(outcome)
    table = summary(outcome)
    README.write_text(with_table(README.read_text(encoding="utf-8"), table), encoding="utf-8")
    print(table, end="")


if __name__ == "__main__":
    main()
