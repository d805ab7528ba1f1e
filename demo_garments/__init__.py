"""An invented household to try the tool on: people, garments, yarns, pattern and every figure are made up.

household.json         wearers, a wardrobe, swatches, a size table, and a make for every outcome of the
                       decision; the first make is the one to look at first
three_overhangs.json   the least that gives an answer: a back laid on a garment, read at three points
six_numbers.json       the least with a tape: three points of a garment and the same three of the back

The figures were drawn as truth + laying (0.4 %) + tape (1.5 mm) and rounded to what a tape shows; whatever
the tool would have asked about was laid and read again, but for the one slip that a make is there to show.
"""
