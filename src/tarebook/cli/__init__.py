"""The command line: translation only."""

import sys

try:
    from tarebook.cli.group import main
    from tarebook.cli.lesson import bench, plan, prepare
    from tarebook.cli.readings import check, reduce, report, start
    from tarebook.cli.record import backup, bring_in, export, settle, verify
except KeyboardInterrupt:
    # To load what the commands need takes a moment, and a person may think better of it.
    sys.stderr.write("Stopped; nothing was written.\n")
    raise SystemExit(130) from None

for command in (
    start, reduce, check, report, plan, prepare, bench, bring_in, export, verify, backup,
    settle,
):  # fmt: skip
    main.add_command(command)

__all__ = ["main"]
