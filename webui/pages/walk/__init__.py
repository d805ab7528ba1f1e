"""The measuring walk."""
