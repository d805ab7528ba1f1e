"""Numbers with uncertainty from what was written down."""
