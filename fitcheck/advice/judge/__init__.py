"""Whether a piece is right, and what explains it where it is not."""
