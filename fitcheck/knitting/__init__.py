"""How the pieces still to come are knitted: shaping over rows, plans by row counter, sheets and their replay."""
