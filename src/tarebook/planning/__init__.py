"""Before anything is poured: what to choose, what to expect, what to bring to the bench."""
