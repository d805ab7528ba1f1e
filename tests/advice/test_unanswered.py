"""What is asked about is left out, and nothing else."""

from __future__ import annotations

from fitcheck.advice.unanswered import without
from fitcheck.records.garments import Garment
from fitcheck.records.places import Place


def test_of_a_list_some_of_which_is_asked_about_the_others_stay_and_one_that_is_asked_about_whole_goes():
    readings = {"chest": ["51 cm", "9 cm", "52 cm"], "hem": ["9 cm", "9 cm"], "neck_width": ["9 cm"]}
    garment = Garment.model_validate(
        {"id": "g", "name": "G", "occasions": [{"id": "a"}, {"id": "b", "readings": readings}]}
    )
    asked = [Place("garments", "g", ("occasions", 1, "readings", *at)) for at in (("chest", 1), ("hem", 0), ("hem", 1))]
    left = without(garment, asked)
    assert {point: [reading.text for reading in listed] for point, listed in left.occasions[1].readings.items()} == {
        "chest": ["51 cm", "52 cm"],
        "neck_width": ["9 cm"],
    }
    assert left.occasions[0] is garment.occasions[0]
    assert without(garment, []) is garment
