"""In which language the app speaks: that of the course, unless a device chose another."""

from __future__ import annotations

from importlib import resources

from tarebook.core.errors import InputError
from tarebook.core.phrase import Phrase
from tarebook.findings.finding import Finding
from tarebook.report.languages.known import LANGUAGES
from tarebook.report.languages.writing import Writing, writing
from tarebook.report.noticed import message, to_do
from tarebook.series.experiment import Course, Experiment


def spoken(experiment: Experiment | None, chosen: str = "") -> Writing:
    """Return how a device is spoken to.

    Parameters
    ----------
    experiment : Experiment or None
        None where none is open.
    chosen : str
        The language that the device chose; what is none stands for that of the course.
    """
    course = experiment.preparation.course if experiment is not None else Course()
    if chosen in LANGUAGES and chosen != course.language:
        return writing(chosen)
    try:
        return writing(course.language, locale=course.locale)
    except InputError:
        # The page must not fail for a place that nobody knows; preparing the lesson names it.
        return writing(course.language)


def messages_of_scripts(how: Writing) -> str:
    """Return the messages that a page's scripts say, as they stand in the catalogue."""
    folder = resources.files("tarebook.report.languages") / how.words.language
    return (folder / "pad.ftl").read_text(encoding="utf-8")


def noticed(what: Finding | Phrase, how: Writing) -> str:
    """Return what was noticed, and what to do about it where there is something to do.

    Parameters
    ----------
    what : Finding or Phrase
    how : Writing
    """
    if isinstance(what, Finding):
        return f"{message(what, how)} {to_do(what, how)}".rstrip()
    return how.say(what)
