"""What the knitter writes down."""
