"""The command line: translation only."""

from tarebook.cli.group import main
from tarebook.cli.lesson import bench, plan, prepare
from tarebook.cli.readings import check, reduce, report, start
from tarebook.cli.record import backup, bring_in, export, verify

for command in (
    start, reduce, check, report, plan, prepare, bench, bring_in, export, verify, backup,
):  # fmt: skip
    main.add_command(command)

__all__ = ["main"]
