"""Readings as a table: out, in, and every fault at once with its line."""

from __future__ import annotations

import csv
import io

import pytest

from fitcheck.records.faults import RecordsError
from fitcheck.records.places import Place
from fitcheck.store import Store

HEAD = "record kind,key,place,point,text,unit,at,by,tape,laying,look,set aside,confirmed,id"
BACK = "makes,moss-sweater,pieces/second-back/stages/0/readings"


def rows(text):
    return list(csv.DictReader(io.StringIO(text)))


def test_every_reading_is_a_line_also_those_set_aside(full):
    table = rows(full.readings_as_csv())
    # Counted by hand in the sample: 6 on the body and head, 19 of the garment, 10 of the swatch, 10 of the pieces.
    kinds = [row["record kind"] for row in table]
    assert {kind: kinds.count(kind) for kind in kinds} == {"wearers": 6, "garments": 19, "swatches": 10, "makes": 10}
    aside = [row for row in table if row["set aside"]]
    assert [(row["place"], row["point"], row["text"], row["unit"], row["set aside"], row["id"]) for row in aside] == [
        ("pieces/second-back/stages/0/readings", "chest", "20 1/4 in", "in", "the tape had slipped", "r3")
    ]
    assert full.readings_as_csv().splitlines()[0] == HEAD


def test_readings_go_out_and_into_a_household_without_them(full, tmp_path):
    table = full.readings_as_csv()
    with Store.open(tmp_path / "two.db") as two:
        two.import_bundle(full.export_bundle())
        for kind, key in (("makes", "moss-sweater"), ("swatches", "swatch-7")):
            doc = two.get(kind, key).doc
            for part in doc.get("pieces", [doc]):
                for stage in part["stages"]:
                    for name in ("readings", "overhangs", "across", "along"):
                        stage.pop(name, None)
            two.delete("makes", "moss-sweater", 1) if kind == "makes" else None
            two.put(kind, f"{key}-2", {**doc, "id": f"{key}-2"}, 0)
        emptied = table.replace("makes,moss-sweater,", "makes,moss-sweater-2,")
        emptied = emptied.replace("swatches,swatch-7,", "swatches,swatch-7-2,")
        done = two.add_readings_from_csv(emptied)
        assert (done.added, done.already_here) == (20, 25)
        for kind, key in (("makes", "moss-sweater"), ("swatches", "swatch-7")):
            assert two.get(kind, f"{key}-2").doc == {**full.get(kind, key).doc, "id": f"{key}-2"}


def test_the_same_table_twice_adds_nothing(full):
    before = full.export_bundle()
    done = full.add_readings_from_csv(full.readings_as_csv())
    assert (done.added, done.already_here) == (0, 45)
    assert full.export_bundle() == before


@pytest.mark.parametrize("apart", [";", "\t"])
def test_a_table_with_semicolons_or_tabs_a_mark_and_only_what_is_needed_comes_in(full, apart):
    line = f"{BACK},hem,51;5 cm".replace(",", apart).replace("51;5", "51,5")
    text = "\ufeffrecord kind,key,place,point,text\r\n".replace(",", apart) + f"{line}\r\n"
    assert full.add_readings_from_csv(text).added == 1
    hem = full.get("makes", "moss-sweater").record.pieces[1].stages[0].readings["hem"]
    assert [one.length.value_mm for one in hem] == pytest.approx([515.0])


def test_every_fault_is_told_at_once_with_its_line_and_nothing_is_added(full):
    before = full.export_bundle()
    text = "\n".join(
        [
            HEAD,
            f"{BACK},hem,51.5 cm,,,,,,,,,ok",
            f"{BACK},hem,fifty,,,,,,,,,a",
            f"{BACK},knee,50 cm,,,,,,,,,b",
            f"{BACK},chest,51 cm,,yesterday,,,,,,,c",
            f"{BACK},chest,51 cm,,,,,many,,,,d",
            "makes,nobody,pieces/a/stages/0/readings,chest,51 cm,,,,,,,,,e",
            f"{BACK},chest,50 cm,,,,,,,,,r1",
            "socks,pair,head,,51 cm,,,,,,,,,f",
            "",
            f"{BACK},hem,51.6 cm,,,,,,,,perhaps,g",
        ]
    )
    with pytest.raises(RecordsError) as caught:
        full.add_readings_from_csv(text)
    assert [fault.line for fault in caught.value.faults] == [3, 4, 5, 6, 7, 8, 9, 11]
    assert "fifty" in caught.value.faults[0].read
    assert full.export_bundle() == before


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "record kind"),
        ("key,text\na,b\n", "no column record kind, place"),
        (f"{HEAD},colour\n", "colour"),
        (f"{HEAD},text\n", "twice"),
        (f"{HEAD}\n{'x,' * 20}\n", "cells"),
        (f'{HEAD}\nmakes,"{"x" * 200_000}"\n', "field larger"),
    ],
)
def test_a_table_of_another_kind_is_refused(full, text, said):
    with pytest.raises(RecordsError, match=said):
        full.add_readings_from_csv(text)


def test_a_table_has_20_million_characters_at_most(full):
    with pytest.raises(RecordsError, match="no column"):
        full.add_readings_from_csv("\n" * 20_000_000)
    with pytest.raises(RecordsError, match="a longer table"):
        full.add_readings_from_csv("\n" * 20_000_001)


def test_a_text_that_a_spreadsheet_would_reckon_with_goes_out_marked_and_comes_back_as_it_was(full, tmp_path):
    at = Place.of_readings("makes", "moss-sweater", "pieces/second-back/stages/0/readings/hem")
    typed = ["=1+1", "@sum", "+49", "-", "'quoted", 'Ida, "the" elder\nof two']
    for number, by in enumerate(typed):
        full.add_reading(at, {"id": f"n{number}", "text": "51 cm", "by": by})
    table = rows(full.readings_as_csv())
    written = [row["by"] for row in table if row["id"].startswith("n")]
    assert not any(by.startswith(("=", "+", "-", "@")) for by in written)
    with Store.open(tmp_path / "two.db") as two:
        two.import_bundle(full.export_bundle())
        assert two.add_readings_from_csv(full.readings_as_csv()).added == 0


@pytest.mark.parametrize(
    ("text", "beside", "read_in"),
    [("21 cm", "in", "cm"), ("8 1/4", "in", "in"), ('8 1/4"', "cm", "in"), ("51.8", "cm", "cm"), ("0.5 m", "in", "m")],
)
def test_the_unit_column_says_the_unit_that_the_text_is_read_in_and_the_table_comes_in_again(
    full, text, beside, read_in
):
    place = "pieces/second-back/stages/0/readings/hem"
    full.add_reading(Place.of_readings("makes", "moss-sweater", place), {"id": "typed", "text": text, "unit": beside})
    before = full.export_bundle()
    table = full.readings_as_csv()
    (line,) = [row for row in rows(table) if row["id"] == "typed"]
    assert (line["text"], line["unit"]) == (text, read_in)
    assert full.add_readings_from_csv(table).added == 0
    assert full.export_bundle() == before


def test_the_same_id_with_another_bare_unit_is_another_reading(full):
    at = Place.of_readings("makes", "moss-sweater", "pieces/second-back/stages/0/readings/hem")
    full.add_reading(at, {"id": "typed", "text": "21", "unit": "in"})
    with pytest.raises(RecordsError):
        full.add_readings_from_csv(f"{HEAD}\n{BACK},hem,21,cm,,,,,,,,typed\n")


@pytest.mark.parametrize("text", ["+4,3", "-0.5", "+1/2 in"])
def test_an_overhang_that_a_spreadsheet_would_reckon_with_goes_out_marked_and_comes_back_as_it_was(full, text):
    place = "pieces/second-back/stages/0/overhangs/chest"
    full.add_reading(Place.of_readings("makes", "moss-sweater", place), {"id": "typed", "text": text, "unit": "cm"})
    before, table = full.export_bundle(), full.readings_as_csv()
    (line,) = [row for row in rows(table) if row["id"] == "typed"]
    assert line["text"] == f"'{text}"
    assert full.add_readings_from_csv(table).added == 0
    assert full.add_readings_from_csv(table.replace("typed", "again")).added == 1
    document = full.get("makes", "moss-sweater").doc
    (piece,) = [piece for piece in document["pieces"] if piece["id"] == "second-back"]
    typed, again = piece["stages"][0]["overhangs"]["chest"][-2:]
    assert (typed["text"], again["text"]) == (text, text)
    assert full.undo("makes", "moss-sweater", full.get("makes", "moss-sweater").revision)
    assert full.export_bundle() == before


SWATCH = "swatches,swatch-7,stages/0/across"


def test_a_table_is_one_revision_of_each_record_and_is_taken_back_as_one_change(full):
    before = full.export_bundle()
    kept = {record: full.get(*record).revision for record in (("makes", "moss-sweater"), ("swatches", "swatch-7"))}
    lines = [f"{BACK},hem,51.{number} cm,,,,,,,,,n{number}" for number in range(8)]
    lines += [f"{SWATCH},,16.{number} cm,,,,,,,,,n{number}" for number in range(8)]
    done = full.add_readings_from_csv("\n".join([HEAD, *lines]))
    assert (done.added, {(record.kind, record.key) for record in done.records}) == (16, {*kept})
    assert {record: full.get(*record).revision for record in kept} == {record: kept[record] + 1 for record in kept}
    assert full.together(done.form, done.at).count == 2
    full.take_back_together(done.form, done.at)
    assert full.export_bundle() == before
    assert {record: full.get(*record).revision for record in kept} == {record: kept[record] + 2 for record in kept}


def test_a_table_is_taken_back_though_other_figures_were_changed_since(full):
    lines = [f"{BACK},hem,51.5 cm,,,,,,,,,n1", f"{SWATCH},,16.5 cm,,,,,,,,,n1"]
    done = full.add_readings_from_csv("\n".join([HEAD, *lines]))
    swatch = full.get("swatches", "swatch-7")
    full.put("swatches", "swatch-7", {**swatch.doc, "notes": "typed since"}, swatch.revision)
    full.take_back_together(done.form, done.at)
    assert full.get("swatches", "swatch-7").record.notes == "typed since"
    assert "n1" not in full.readings_as_csv()


def test_a_fault_of_a_reading_stands_at_its_line_among_many_of_one_record(full):
    lines = [f"{BACK},hem,51.{number % 10} cm,,,,,,,,,n{number}" for number in range(12)]
    lines[10] = f"{BACK},hem,51 cm,,,,,many,,,,n10"
    with pytest.raises(RecordsError) as caught:
        full.add_readings_from_csv("\n".join([HEAD, *lines]))
    assert [fault.line for fault in caught.value.faults] == [12]


@pytest.mark.parametrize(
    ("text", "unit", "read"), [("20 ell", "", '"20 ell"'), ("20", "ell", '"20 ell"'), ("wide", "cm", '"wide cm"')]
)
def test_a_length_that_is_none_is_told_as_it_was_typed_and_not_as_a_record(full, text, unit, read):
    with pytest.raises(RecordsError) as refused:
        full.add_readings_from_csv(f"{HEAD}\n{BACK},chest,{text},{unit},,,,,,,,\n")
    (fault,) = refused.value.faults
    assert (fault.line, fault.read) == (2, read)
