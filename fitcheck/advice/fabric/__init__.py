"""What a make's own fabric does."""
