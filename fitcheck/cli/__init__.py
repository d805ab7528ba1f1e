"""The `fitcheck` command."""

from fitcheck.cli.command import main

__all__ = ["main"]
