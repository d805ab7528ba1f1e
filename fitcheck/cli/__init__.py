"""The `fitcheck` command."""

from fitcheck.cli.parser import main

__all__ = ["main"]
