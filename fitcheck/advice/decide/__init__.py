"""What to do: every way to go on with its expected loss."""
