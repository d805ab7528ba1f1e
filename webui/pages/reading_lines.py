"""Readings listed per point: what was typed, on what, where it stands and how a form carries that place."""

from __future__ import annotations

from collections.abc import Mapping
from urllib.parse import urlencode

from fitcheck.advice.target.wanted import stage_of
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household, by_key
from fitcheck.records.makes import Make
from fitcheck.records.places import Place
from fitcheck.records.readings import Reading
from fitcheck.reports.shapes import Report
from fitcheck.words import piece_name, reference_name
from fitcheck.words.dates import day_words


@frozen
class ReadingLine:
    """One reading as it is listed.

    whose  the piece or the sweater, in words
    place  the list that it stands in
    """

    text: str
    whose: str
    place: Place
    id: str
    aside: str
    confirmed: bool
    told: str

    @property
    def carried(self) -> str:
        """Its list as a form carries it: "makes grey pieces/back/stages/0/readings/chest"."""
        return f"{self.place.kind} {self.place.key} {self.place.address}"

    @property
    def fixed_at(self) -> str:
        """Where it is put right: the page of its piece, or of its sweater."""
        at = f"/makes/{self.place.key}/pieces/{self.place.path[1]}"
        page = f"/wardrobe/{self.place.key}" if self.place.kind == "garments" else at
        return f"{page}?{urlencode({'fix': self.place.at(self.id).address}, safe='/')}#fix"


def lines_of(report: Report, make: Make, household: Household) -> Mapping[str, list[ReadingLine]]:
    """Every reading behind the points of a report: of the piece at the stage that was judged, and of its reference."""
    lines: dict[str, list[ReadingLine]] = {}
    piece = by_key(make.pieces, report.head.piece)
    at = stage_of(piece) if piece else None
    if piece is not None and at is not None:
        stage = piece.stages[at]
        begin = Place("makes", make.id, ("pieces", piece.id, "stages", at))
        for name, points, what in (
            ("readings", stage.readings, piece_name(report.head)),
            ("overhangs", stage.overhangs, "overhang"),
        ):
            for key, listed in points.items():
                lines.setdefault(key, []).extend(_line(reading, what, begin.at(name, key)) for reading in listed)
    garment = by_key(household.garments, make.fits.garment)
    occasion = by_key(garment.occasions, make.fits.occasion) if garment else None
    if garment is not None and occasion is not None:
        for key, listed in occasion.readings.items():
            place = Place("garments", garment.id, ("occasions", occasion.id, "readings", key))
            lines.setdefault(key, []).extend(_line(reading, reference_name(report.head), place) for reading in listed)
    return lines


def _line(reading: Reading, whose: str, place: Place) -> ReadingLine:
    text = (
        reading.text if reading.unit is None or not reading.text[-1:].isnumeric() else f"{reading.text} {reading.unit}"
    )
    told = [
        f"laying {reading.laying}" if reading.laying else "",
        f"round {reading.look}" if reading.look > 1 else "",
        reading.by,
    ]
    if reading.at:
        told.append(day_words(reading.at.isoformat()))
    beside = ", ".join(part for part in told if part)
    return ReadingLine(text, whose, place, reading.id or "", reading.set_aside, reading.confirmed, beside)


def where_of(field: str) -> Place:
    """The place that a form carries, read."""
    kind, _, rest = field.partition(" ")
    key, _, address = rest.partition(" ")
    return Place.of_readings(kind, key, address)
