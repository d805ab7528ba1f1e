"""The pages and the service."""
