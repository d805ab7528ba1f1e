"""The rest of the sweater as it is knitted and sewn: counts of every piece, plans, seams, yarn."""
