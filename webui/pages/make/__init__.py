"""The pages of one make."""
