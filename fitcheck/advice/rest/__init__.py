"""Counts for the pieces still to knit."""
