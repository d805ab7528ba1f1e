"""The answers as text for a terminal, 80 columns."""
