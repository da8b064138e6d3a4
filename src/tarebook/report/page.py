"""The report as one HTML file: nothing is fetched, no script runs, it opens without a network."""

from __future__ import annotations

import base64
from functools import cache
from importlib import resources

from jinja2 import Environment, StrictUndefined, Template
from markupsafe import Markup

from tarebook.report import charts, drawing
from tarebook.report.languages.writing import Writing, course_writing
from tarebook.report.outcome import Outcome
from tarebook.report.story import Story, tell

WIDE, NARROW = 620, 300
"""Widths of a plot on a desk and on a phone, [px]; the page shows one of the two."""

NOTEBOOK_IS = (
    (':is([data-jp-theme-light="true"], .vscode-light)', "light.css"),
    (':is([data-jp-theme-light="false"], .vscode-dark)', "dark.css"),
)
"""How notebooks mark a page of theirs that is light or dark, whatever the system prefers."""


def page(outcome: Outcome, *, how: Writing | None = None) -> str:
    """Return the report as a page that adapts to width, to light and dark, and to paper.

    Parameters
    ----------
    outcome : Outcome
    how : Writing, optional
        Language and numbers; those of the course without it.

    Returns
    -------
    str
        HTML, to be written as UTF-8.
    """
    how = how or course_writing(outcome.experiment)
    story = tell(outcome, how)
    return rendered(
        "report.html",
        story=story,
        curve_key=charts.curve_key(outcome, how),
        ph_note=charts.ph_note(outcome, how),
        charts=_charts(outcome, story, how),
    )


def rendered(template: str, **values: object) -> str:
    """Return a page: the shared head, then a template of ours.

    Parameters
    ----------
    template : str
        Of a file beside `macros.html`.
    **values : object
        What it reads, `story` among them.
    """
    fonts = {"regular": _font("Regular"), "bold": _font("SemiBold")}
    style = f"{colors(':root')}{_text('report.css')}"
    # The style sheet ships with the package.
    return _template("head.html", template).render(
        **values,
        fonts=fonts,
        style_sheet=Markup(style),  # noqa: S704
    )


def colors(where: str) -> str:
    """Return the colours as CSS: the light ones, and the dark ones where a person prefers them.

    Parameters
    ----------
    where : str
        Selector of what they hold for.
    """
    light, dark = _text("light.css"), _text("dark.css")
    return (
        f"{where} {{\n{light}}}\n@media (prefers-color-scheme: dark) {{\n{where} {{\n{dark}}}\n}}\n"
    )


def part_of_page(template: str, style_sheet: str, **values: object) -> str:
    """Return HTML that stands within a page of somebody else's, with the style that it needs.

    Parameters
    ----------
    template : str
        Of a file beside `macros.html`.
    style_sheet : str
        Another one, for that template.
    **values : object
        What it reads.
    """
    style = "".join(
        (
            colors(".tarebook"),
            *(f"{where} .tarebook {{\n{_text(name)}}}\n" for where, name in NOTEBOOK_IS),
            _text(style_sheet),
        )
    )
    return _template(template).render(**values, style_sheet=Markup(style))  # noqa: S704


def both_widths(wide: drawing.Spec, narrow: drawing.Spec, name: str, alt: str) -> dict[str, str]:
    """Return a chart for desk and phone as a template shows it.

    Parameters
    ----------
    wide, narrow : Spec
    name : str
        Unique on the page.
    alt : str
        For those who cannot see it.
    """
    return {
        "alt": alt,
        # vl-convert escapes every text in its SVG.
        "wide": Markup(drawing.svg(wide, adaptive=True, prefix=f"{name}-w")),  # noqa: S704
        "narrow": Markup(drawing.svg(narrow, adaptive=True, prefix=f"{name}-n")),  # noqa: S704
    }


def _charts(outcome: Outcome, story: Story, how: Writing) -> dict[str, dict[str, str]]:
    kinds = (
        ("curve", charts.curve, story.curve_alt, WIDE),
        ("waterfall", charts.waterfall, story.model.waterfall_alt if story.model else "", WIDE),
        ("ph", charts.ph, story.model.ph_alt if story.model else "", WIDE),
        ("limiting", charts.limiting, story.limiting_alt, WIDE),
        ("budget", charts.budget, story.budget_alt, 440),
        ("liquid", charts.liquid, story.liquid_alt, WIDE),
    )
    drawn = {}
    for name, make, alt, width in kinds:
        wide = make(outcome, width=width, how=how)
        narrow = make(outcome, width=NARROW, how=how)
        if wide is None or narrow is None:
            continue
        drawn[name] = both_widths(wide, narrow, name, alt)
    return drawn


@cache
def _font(cut: str) -> str:
    file = resources.files("tarebook.report") / "webfonts" / f"TarebookSans-{cut}.woff2"
    return base64.b64encode(file.read_bytes()).decode("ascii")


def _text(name: str) -> str:
    return (resources.files("tarebook.report") / "templates" / name).read_text(encoding="utf-8")


@cache
def _template(*names: str) -> Template:
    environment = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True)
    return environment.from_string("".join(map(_text, ("macros.html", *names))))
