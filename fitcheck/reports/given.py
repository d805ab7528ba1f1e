"""What an answer is given: the records that a make names, the hands that read them, the counts that are in doubt."""

from __future__ import annotations

from fitcheck.advice.hands import pools
from fitcheck.advice.judge.doubts import Doubt
from fitcheck.estimates.readings import Pool
from fitcheck.records.frozen import frozen
from fitcheck.records.garments import Garment, Occasion
from fitcheck.records.households import Household, by_key
from fitcheck.records.makes import Make, Piece
from fitcheck.records.named import named_by
from fitcheck.records.questions import questions
from fitcheck.records.questions.question import Question
from fitcheck.records.readings import Reading
from fitcheck.records.swatches import Swatch
from fitcheck.records.wearers import Wearer
from fitcheck.records.yarns import Yarn

Count = tuple[str, str]
"""A count by the key of its piece and its point of measure."""


@frozen
class Given:
    """The records that a make names, and the piece that is asked about: all that an answer is a function of.

    household  nothing in it but what the make names
    piece      the piece on the table; None where the make has none yet
    garment    the garment that it must fit, as it was read at `occasion`
    yarn       of the make, else of the piece
    swatches   in the order of the household
    questions  what is unlikely in these records and was not confirmed
    """

    household: Household
    make: Make
    piece: Piece | None
    garment: Garment | None
    occasion: Occasion | None
    wearer: Wearer | None
    yarn: Yarn | None
    swatches: tuple[Swatch, ...]
    questions: tuple[Question, ...]


@frozen
class Hands:
    """Repeatability of the hands that read this make: of the tape, and of overhangs."""

    tape: Pool
    overhang: Pool


@frozen
class Doubts:
    """What feeds nothing until it is answered: counts as counts, so that their piece keeps its dial, yarn and washing.

    asked     counts that the records themselves speak against
    judged    counts that the lengths of the piece speak against, and that nobody counted on it
    swatches  questions about the make's swatches
    first     what is counted or answered before anything is decided; None where the deed does not hang on any
    copied    points whose figure of the garment is asked about before it is copied, where the deed hangs on them; the
              one that is furthest off first
    """

    asked: frozenset[Count] = frozenset()
    judged: frozenset[Count] = frozenset()
    swatches: tuple[Question, ...] = ()
    first: Doubt | None = None
    copied: tuple[str, ...] = ()

    @property
    def counts(self) -> frozenset[Count]:
        """All the counts."""
        return self.asked | self.judged

    def asked_of(self, piece: Piece) -> frozenset[str]:
        """Points of a piece whose count the records themselves speak against."""
        return frozenset([point for key, point in self.asked if key == piece.id])


def given_of(make: Make, household: Household, piece: Piece | None = None) -> Given:
    """What the answers on a make are a function of.

    make   a make of the household, or one that is only looked at
    piece  the piece of it that is asked about
    """
    named = named_by(make, household)
    garment = by_key(named.garments, make.fits.garment)
    return Given(
        household=named,
        make=make,
        piece=piece,
        garment=garment,
        occasion=by_key(garment.occasions, make.fits.occasion) if garment else None,
        wearer=by_key(named.wearers, make.wearer),
        yarn=by_key(named.yarns, make.yarn or (piece.yarn if piece else None)),
        swatches=tuple(swatch for swatch in named.swatches if swatch.id in make.swatches),
        questions=questions(named),
    )


def hands_of(given: Given) -> Hands:
    """Pool the hands: every reading of this make's pieces, garment and swatches, and the household's frozen sets."""
    stages = [stage for piece in given.make.pieces for stage in piece.stages]
    readings: list[list[Reading]] = [listed for stage in stages for listed in stage.readings.values()]
    if given.occasion:
        readings += given.occasion.readings.values()
    readings += [
        listed for swatch in given.swatches for stage in swatch.stages for listed in (stage.across, stage.along)
    ]
    overhangs = [listed for stage in stages for listed in stage.overhangs.values()]
    reads = frozenset({given.make.id, given.garment.id if given.garment else "", *given.make.swatches})
    return Hands(*pools(readings, overhangs, given.household.tape, reads))
