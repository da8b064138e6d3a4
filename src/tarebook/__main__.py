"""The command line, where the folder of its script is on no path: ``python -m tarebook``."""

from tarebook.cli import main

if __name__ == "__main__":
    main()
