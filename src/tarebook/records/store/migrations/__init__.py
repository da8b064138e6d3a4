"""Changes of the tables, one file each, in the order of their numbers; a file is never edited."""
