"""Decisions: what is wanted, whether it is met, and what to do."""
