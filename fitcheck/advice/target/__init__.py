"""What a piece must measure."""
