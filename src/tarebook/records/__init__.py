"""What was read at the bench."""
