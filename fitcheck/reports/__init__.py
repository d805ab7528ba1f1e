"""One make in, the whole answer out."""
