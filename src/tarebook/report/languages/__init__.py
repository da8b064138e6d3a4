"""What the printed sheets say, one file a language, and how each place writes numbers and dates."""
