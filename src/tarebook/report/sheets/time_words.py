"""The time on the bench, in the words of the booklet."""

from __future__ import annotations

from tarebook.planning.prepare.bench_time import BenchTime
from tarebook.report.sheets.setting import Data, Setting

NO_WAIT = 0.05
"""Less than this is no wait at all, [min]: it would be printed as 0.0."""


def bench_time(setting: Setting) -> Data:
    """Return the time on the bench: rows of the table, what follows from them, the assumptions."""
    prepared, writing = setting.prepared, setting.writing
    bench, words = prepared.bench, writing.words
    wished, pace = bench.as_wished, bench.pace

    rows = [
        *_waits(setting, wished),
        [
            words("time.end"),
            words(
                "time.end_value",
                end=_minutes(setting, wished.end),
                late=_minutes(setting, wished.late_end),
            ),
        ],
        [words("time.busy"), writing.percent(wished.busy, 2)],
        [words("time.jam"), _jam(setting, wished)],
    ]
    return {
        "intro": words(
            "time.intro",
            groups=prepared.groups,
            balances=prepared.balances,
            cups=prepared.experiment.preparation.cups_per_visit,
        ),
        "rows": rows,
        "advice": _advice(setting),
        "assumed": words(
            "time.assumed",
            weighing=writing.number(pace.weighing),
            pouring=writing.number(pace.pouring),
            adding=writing.number(pace.adding),
            fizzing=writing.number(pace.fizzing),
            waiting=writing.number(pace.waiting),
            basis=words(f"basis.{pace.source.basis}"),
        ),
    }


def _minutes(setting: Setting, value: float) -> str:
    return setting.writing.fixed(value, 0 if value >= 10 else 1)


def _waits(setting: Setting, time: BenchTime) -> list[list[str]]:
    words = setting.writing.words
    if time.wait_per_group < NO_WAIT:
        return [[words("time.wait"), words("time.no_wait")]]
    mean, long = _minutes(setting, time.mean_wait), _minutes(setting, time.long_wait)
    return [
        [words("time.wait"), words("time.wait_value", mean=mean, long=long)],
        [words("time.per_group"), f"{_minutes(setting, time.wait_per_group)}\u00a0min"],
    ]


def _jam(setting: Setting, time: BenchTime) -> str:
    words, writing = setting.writing.words, setting.writing
    if not time.jam_stage:
        return words("time.no_jam")
    return words(
        "time.jam_value",
        start=writing.fixed(time.jam_from, 0),
        end=writing.fixed(time.jam_to, 0),
        stage=words(f"time.stage_{time.jam_stage}"),
    )


def _advice(setting: Setting) -> list[str]:
    bench, writing = setting.prepared.bench, setting.writing
    words = writing.words
    lesson = writing.number(bench.lesson)
    if bench.fits:
        return [words("time.fits", lesson=lesson)]
    lines = []
    if bench.least_end > bench.lesson:
        lines.append(words("time.too_long", least=writing.fixed(bench.least_end, 0), lesson=lesson))
    elif bench.as_wished.late_end > bench.lesson:
        lines.append(words("time.late", lesson=lesson))
    if bench.as_wished.long_wait <= bench.wait_limit:
        return lines
    lines.append(words("time.long_waits", limit=writing.number(bench.wait_limit)))
    for key, found in (("balances", bench.more_balances), ("stagger", bench.stagger)):
        if found is None:
            lines.append(words(f"time.no_{key}"))
            continue
        lines.append(
            words(
                f"time.{key}",
                count=found.balances,
                stagger=writing.number(found.stagger) if found.stagger else "",
                mean=writing.fixed(found.mean_wait, 1),
                end=writing.fixed(found.end, 0),
            )
        )
    return lines
