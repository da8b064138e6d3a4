"""The page of the study: all its prose stands here, all its figures are handed in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from scripts.study_slips.tally import READING, WEIGHING, Line, OfKind
from scripts.study_slips.worlds import OWN

from tarebook.diagnosis.slips.kinds import NOT_TOLD_APART


def page(
    worlds: Mapping[str, Sequence[Line]],
    kinds: Sequence[OfKind],
    small: Sequence[Line],
    seed: int,
) -> str:
    """Return the page.

    Parameters
    ----------
    worlds : mapping of name to lines
        The same lines in the same order in each.
    kinds : sequence of OfKind
    small : sequence of Line
    seed : int
    """
    own = worlds[OWN.name]
    others = {name: lines for name, lines in worlds.items() if name != OWN.name}
    table = "\n".join(f"| {line.what} | {line.n} | {line.found} | {line.asked} |" for line in own)
    elsewhere = "\n".join(
        f"| {line.what} | " + " | ".join(lines[i].found for lines in others.values()) + " |"
        for i, line in enumerate(own)
    )
    sizes = "\n".join(f"- {name}: {_sizes(lines)}" for name, lines in worlds.items())
    return TEXT.format(
        seed=seed,
        sizes=sizes,
        own=table,
        names=" | ".join(others),
        rules=" | ".join("--:" for _ in others),
        elsewhere=elsewhere,
        small="\n".join(f"| {line.what} | {line.n} | {line.found} |" for line in small),
        kinds="\n".join(map(_kind, kinds)),
        sets="\n".join(
            "- " + ", ".join(sorted(kind.value for kind in group)) for group in NOT_TOLD_APART
        ),
        **_weighings(own),
    )


def _weighings(own: Sequence[Line]) -> dict[str, int]:
    """Return how often the reading named first was wrong, and how often only which weighing."""
    reading = next(line for line in own if line.what == READING)
    weighing = next(line for line in own if line.what == WEIGHING)
    return {"wrong": reading.n - reading.hits, "only_weighing": weighing.hits - reading.hits}


def _sizes(lines: Sequence[Line]) -> str:
    counts = {line.what.partition(":")[0]: line.n for line in reversed(lines)}
    clean, one, two = (counts[what] for what in ("clean", "one slip", "two slips"))
    return f"{clean} clean, {one} with one slip, {two} with two"


def _kind(row: OfKind) -> str:
    others = ", ".join(f"{name} {count}" for name, count in row.instead)
    return (
        f"| {row.kind.value} | {row.n} | {row.found} | {row.run} | {row.reading} | "
        f"{row.right} | {others} |"
    )


TEXT = """# Are slips found, and are clean series left in peace?

Made by `make study` (scripts/study_slips), seed {seed}; the same seed gives the same page. All
readings are simulated. Number of series:

{sizes}

Each series is one of two definitions, those of examples/clean-pool-granules and
examples/weak-acid-foot-bath in turn. A truth is drawn from all that is not known beforehand, and
every error of every instrument. Then slips are planted, each of a kind drawn evenly from all the
kinds there are, in a run and a reading drawn evenly. `tarebook check` sees the readings and nothing
else.

A slip counts if it is *larger than five times the uncertainty in its effect*: if it moves the two
differences that a run's readings should make zero (mass of the liquid, mass of the gas) by more
than 5 u, u being how well the other runs, clean, foresee those two. What is smaller is drawn again;
what becomes of small ones stands further below. A slip of a few milligrams in the vessel with
liquid, where the cylinder is known to 0.1 mL, is many u of the balance and does not show: nobody
can find it, and it moves the answer as little.

## Where the planted slips come from

Not from the table of the check: sizes and chances are drawn by laws of their own, so that the check
meets slips that it does not know in that form.

| slip | planted | expected by the check |
| --- | --- | --- |
| which kind | all kinds alike | digits often, other kinds rarely |
| wrong digit | any other digit, evenly | 60 % neighbours on the keypad or alike by hand |
| extra digit | half of them hit twice | any digit |
| wrong line | 1, 2, 5 or 10 lines | 1, 5 or 10 lines |
| edge of the meniscus | 1 to 3 mm of a scale of 130 mm for 50 mL | 3 to 10 of the finest steps |
| target written | off by 0.5 to 4 mL, log-evenly | about 5 % of the total volume |
| balance | zero off by 0.1 g, or a thing of 0.5 to 20 g | any size, each decade alike |
| unknown | a tenth of the number, normal | any size, each decade alike |
| liquid lost | 0.05 to 2 g, log-evenly | exponential, mean 0.5 g |
| sample lost | exponential, mean a fifth | any part alike |
| weighed early | first-order release, after 1 to 5 time constants | exponential, mean 15 % of it |
| weighed late | 1 to 24 hours, log-evenly | 1, 2, 4, 8 or 24 hours |
| another stock | 0.1, 0.25, 0.5 or 1 mol/L, or 0.6 to 0.95 of the right one | half or double |
| copied | the row above in seven of ten, else any other | the row above; of masses rarely another |

All of them are assumptions: we found no published frequencies of such slips but for digits. They
are made by the forward model of the check itself, and in a second world by another chemistry.

## By our own model

*Found* means that a finding (*stop* or *look*) names a run that carries the slip. *First* is the
finding that stands first in what `tarebook check` prints. It has the right run if it names runs of
the slip and no other, and the right reading if it names one in which the slip shows. A slip in the
cup leaves every number right, so there are several: sample lost shows in the sample and in the
final mass. *The very reading that carries it* is the strictest count: there the finding has to
name the sample for a lost sample, the final mass for lost liquid. *Weighings as one* is the most
lenient: where a slip moves the gas and not the liquid (by less than 3 u), the vessel with liquid,
the sample and the final mass count as one.

| what | n | per cent (95 % interval) | asked for |
| --- | --: | --: | --- |
{own}

The very reading cannot be had from readings: mass that is missing at the end is missing, whether
liquid splashed out, part of the sample stayed in the boat or the cup stood for hours. The check
then names first what its table takes to be the most frequent, and the others after it. Of the
{wrong} slips for which the reading named first is wrong or missing, {only_weighing} are of this
kind too: another weighing is named, one that moves the mass lost by as much. Every kind is planted
as often as any other here, so what the table takes to be rare is often misjudged. The interval says
what the number of series allows to say: where it reaches beyond what was asked for, the figure is
met by these series and not proved.

Kinds count as such *that can be told* if they are in none of these sets, in which the same mass is
gone or has come whatever took or brought it, or the number says nothing of what was there:

{sets}

*Where the number can be told as well* leaves out those cases in which another kind, with at least
a tenth of the chance, proposes a number within 3 u of the right one. Both are decided from the
clean series and the planted slip before the check is asked.

## In other worlds

In the first the gas that stays dissolved is worked out by PHREEQC 3 with the ion pairs NaHCO3 and
NaCO3-, which the check does not know. In the second every error of a reading follows Student's t
with 4 degrees of freedom, its standard deviation the same: errors of more than 4 u are then 75
times as frequent as with a normal distribution, and some of them look like slips. Per cent, 95 %
interval in brackets.

| what | {names} |
| --- | {rules} |
{elsewhere}

## Small slips

One slip with an effect of less than 5 u, by our own model: how many are found.

| effect | n | per cent (95 % interval) |
| --- | --: | --: |
{small}

## Kind by kind

By our own model, one slip. *Named instead* counts the first findings of another kind.

| kind | n | found | right run first | and reading | and kind | named instead |
| --- | --: | --: | --: | --: | --: | --- |
{kinds}

Not in the table: another stock in the whole row, a temperature in the wrong unit and two sheets
exchanged have tests of their own.

## What this does not show

The slips are as we imagine them. A class that follows up its findings learns how often each really
happens, and can make the odds its own (docs/slips.md). Plain checks of single numbers, which
`tarebook check` makes too, have no part in these figures.
"""
