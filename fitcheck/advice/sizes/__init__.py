"""Which size's numbers to knit."""
