"""The page docs/studies/laboratories.md."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from scripts.study_laboratories.agreement import Agreement
from scripts.study_laboratories.laboratory import Laboratory
from scripts.study_laboratories.plans import Judgement
from scripts.study_laboratories.tally import (
    BIAS,
    BIAS_IN_U,
    COVERAGE,
    MOST_LOOKS,
    MOST_STOPS,
    SURE,
    Line,
)
from scripts.study_laboratories.words import broken, codes, percent, table

TEXT = """# Right in every laboratory?

Made by `python -m scripts.study_laboratories --page --series {n}`, seed {seed}: so many clean
series of each laboratory and physics (`make study` makes it with 200). The same seed gives the same
page. All readings are simulated and every laboratory is invented: its definition and what is really
so stand in `tests/laboratories/`.

A clean series is one in which nobody made a slip. For each a truth is drawn: the content as
`truth.toml` says, everything else from what is known beforehand; every error of every instrument is
drawn and the readings are rounded as instruments round. Then the series is reduced as a user's is,
without a look at the truth, and every finding is counted.

*stop* and *look*: series that get a finding of that severity (*look*: and no stop), whatever its
code. *no result*: series for which no content is stated. *bias*: mean relative error of
the content with its standard error; *allowed*: {bias} % or a fifth of u, whichever is larger; *u*:
root mean square of the stated standard uncertainties; *covers*: part of the 95 % intervals that
hold the truth; *textbook*: mean error of the textbook calculation; *s*: seconds for one reduction.

Asked for: stop in at most {stops} % and look in at most {looks} % of clean series, bias as allowed,
coverage from {low} to {high} %. Of so few series a figure may lie outside by chance: **!** marks
those for which chance does as much less than once in {sure}, ? all others that are outside.

## The laboratories, and what the plan says of them

*promises*: u of the content by the plan, before anything is poured. A laboratory that the plan
refuses need not keep the bounds, but no interval may be stated there that does not hold. *outputs*:
how many quantities plan, key, handout, report, page, terminal, workbook, CSV and JSON of one
simulated row have in common, each held against the others by its name and its printed digits
(`scripts/one_voice`).

{plans}

## Readings by our own model of the cup

{own}

## Readings by a physics that is not ours

Carbonates: PHREEQC 3 with ion pairs of sodium, potassium, calcium and magnesium, ions with sizes of
their own, and other constants; the gas leaves more slowly, and by another law (1/(1 + k t)).
Metals: heat of reaction, vapour in every bubble, evaporation from the warm surface and cooling,
integrated step by step.

{other}

## Findings that struck clean series

```
{codes}
```

## Bounds that are not met

{broken}
"""


def page(
    chosen: Sequence[Laboratory],
    lines: Sequence[Line],
    plans: Mapping[str, Judgement],
    agreements: Mapping[str, Agreement],
    seed: int,
    n: int,
) -> str:
    """Return the page.

    Parameters
    ----------
    chosen : sequence of Laboratory
    lines : sequence of Line
    plans : mapping of str to Judgement
        By the name of the laboratory.
    agreements : mapping of str to Agreement
        Likewise.
    seed, n : int
        Seed, and series of each laboratory and physics.
    """
    low, high = COVERAGE
    missed = [*broken(lines, plans), *apart(agreements)]
    return TEXT.format(
        seed=seed,
        n=n,
        bias=percent(BIAS),
        stops=percent(MOST_STOPS, 0),
        looks=percent(MOST_LOOKS, 0),
        low=percent(low),
        high=percent(high),
        sure=f"{1.0 / SURE:.0f}",
        plans=plans_table(chosen, plans, agreements),
        own=table((line for line in lines if line.physics == "own"), plans),
        other=table((line for line in lines if line.physics == "other"), plans),
        codes=codes(lines),
        broken="\n".join(f"* {what}" for what in missed) or f"None ({BIAS_IN_U:g} u, see above).",
    )


def plans_table(
    chosen: Sequence[Laboratory],
    plans: Mapping[str, Judgement],
    agreements: Mapping[str, Agreement],
) -> str:
    """Return what each laboratory is, what the plan says of it, and whether its outputs agree."""
    rows = [
        "| laboratory | title | plan | promises, g/g | outputs |",
        "| --- | --- | --- | --: | --- |",
    ]
    for laboratory in chosen:
        plan = plans[laboratory.name]
        word = "refuses" if plan.refuses else "goes"
        said = f"{word}: {plan.because}" if plan.because else word
        u = "–" if plan.refuses else f"{plan.u:.4f}"
        one = agreements[laboratory.name]
        agree = f"{len(one.apart)} **!**" if one.apart else f"{one.quantities} agree"
        title = laboratory.experiment.title
        rows.append(f"| {laboratory.name} | {title} | {said} | {u} | {agree} |")
    return "\n".join(rows)


def apart(agreements: Mapping[str, Agreement]) -> list[str]:
    """Return what two outputs of one row say differently."""
    return [f"{name}: {what}" for name, one in agreements.items() for what in one.apart]
