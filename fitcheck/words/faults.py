"""What is refused: where, what was read, and the sentence for everything that can be accepted instead."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from string import Formatter
from typing import Any

from fitcheck.records.faults import Accepts, Fault
from fitcheck.words.phone import READING
from fitcheck.words.phrases import capital, listed, small_first
from fitcheck.words.questions import shortened


def fault_sentence(fault: Fault) -> str:
    """A refusal: where, what was read, and what is taken."""
    where = f"Line {fault.line}, {fault.place}. " if fault.line else f"At {fault.place}. "
    if fault.place == "file" and not fault.line:
        where = ""
    read = shortened(fault.read).rstrip(".") or "nothing typed"
    # Names of fields and units keep their small letters: they are to be typed so.
    accepts = accepted(fault.accepts)
    return f"{where}Not taken: {read}. {accepts}{'' if accepts.endswith(('.', '?', '!')) else '.'}"


def fault_lines(faults: Sequence[Fault]) -> str:
    """Refusals as an answer's detail, one a line."""
    return "\n".join(
        f"{f'line {fault.line}, ' if fault.line else ''}{fault.place}: read {fault.read}; {accepted(fault.accepts)}"
        for fault in faults
    )


def written_fault(fault: Fault) -> dict[str, Any]:
    """A refusal as data."""
    return {"place": fault.place, "read": fault.read, "accepts": accepted(fault.accepts), "line": fault.line}


def accepted(accepts: Accepts, *, on_page: bool = False) -> str:
    """The sentence of what would be accepted; a code without one gets its plain form.

    on_page  whether it is typed into a field, where nothing stands in quotes
    """
    words = SENTENCES.get(accepts.code)
    if words is None:
        return f"{capital(str(accepts))}."
    values = {**accepts.values, **(_ON_A_PAGE if on_page else _IN_A_FILE)}
    return words(**values) if callable(words) else _FILLED.vformat(words, (), values)


_IN_A_FILE = {"in_quotes": " in quotes", "without_quotes": ", without quotes", "minus": "-"}
_ON_A_PAGE = {"in_quotes": "", "without_quotes": "", "minus": "−"}


class _Filled(Formatter):
    """Fills a sentence: several names are joined as the sentence says after a colon."""

    def format_field(self, value: Any, format_spec: str) -> str:
        match format_spec:
            case "or":
                return listed([str(part) for part in value], "or")
            case "either":
                return " or ".join(value)
            case "all":
                return ", ".join(value)
            case "quoted":
                return ", ".join(json.dumps(part) for part in value)
            case "inside":
                return "inside " + ", there inside ".join(f'"{part}"' for part in value)
            case "capital":
                return capital(value)
        return str(super().format_field(value, format_spec))


_FILLED = _Filled()


def _names(names: tuple[str, ...], more: int | None, meant: tuple[str, ...] = ()) -> str:
    """Names that are accepted, and what was probably meant."""
    every = f"{', '.join(names)} or {more} more" if more else listed(names, "or")
    return f"{every}; did you mean {' or '.join(meant)}?" if meant else f"{every}."


def _fields(fields: tuple[str, ...], more: int | None) -> str:
    return f'{_names(fields, more)[:-1]}, which "fitcheck schema household" lists' if more else listed(fields, "or")


def _article(noun: str) -> str:
    return "an" if noun[0] in "aeiou" else "a"


def _number(
    noun: str,
    low: Any,
    above: Any,
    high: Any,
    quotes: str | None,
    without_quotes: str,
    minus: str,
    of: str = "",
    **_: Any,
) -> str:
    noun += f" of {of}" if of else ""
    if low is not None:
        lowest = f"{minus if low < 0 else ''}{abs(low):g}"  # a file knows no other minus than that of JSON
        noun += f" from {lowest} to {high:g}" if high is not None else f" from {lowest} up"
    elif above is not None and high is not None:
        noun += f" above {above:g}, {high:g} at most"
    return f"{noun}{without_quotes if quotes else ''}."


def _steps_that_go(most: int, every: int, over: float, plain: int, rows: int, **_: Any) -> str:
    beside = f" beside the {plain} that stay plain" if plain else ""
    go = "None goes" if not most else "1 goes" if most == 1 else f"{most} go"
    return f"{go} in{beside}. Take {'every row, or ' if every > 1 else ''}{rows} rows."


_LOOK = " Look there, and just before it."
SENTENCES: Mapping[str, str | Callable[..., str]] = {
    # A length
    "number_with_its_unit": "A length is a number with its unit: {such_as:either}.",
    "number_for_a_length": "A length is a number such as {such_as:either}.",
    "unit_of_length": "A length is in {units:or}.",
    "unit": "Say the unit: {meant:either}?",
    "one_unit": "One unit is enough: {meant:either}.",
    "one_decimal_mark": "One decimal mark is enough: {meant:either}.",
    "digit_after_the_mark": "A digit is missing after the mark: {meant:either}?",
    "one_number": "These are two numbers: {meant}?",
    "decimal_or_fraction": "A decimal or a fraction, not both: {meant:either}.",
    "space_before_a_fraction": READING["space_before_fraction"],
    "number_without_fraction": "The fraction is a whole: {meant:either}?",
    "number_and_fraction": "The fraction is more than a whole: {meant:either}?",
    "parts_above_0": "Below the stroke stands {parts:or}, not 0.",
    "parts_of_a_tape": "Below the stroke stands {parts:or}; as a decimal: {as_decimal}.",
    "less_than_a_foot_of_inches": "The inches are a foot or more: {meant}?",
    "length_without_minus": READING["no_minus"],
    "length_without_plus": READING["no_plus"],
    "length_above_0": "A length is more than 0; leave it out where there is nothing to read.",
    "length_at_most": "A length is {most} at most.",
    "characters_of_a_length": "A length is written in {most} characters at most, with its unit.",
    "length_with_its_sign": "A length with its sign, {such_as[0]} or {such_as[1]}, or {such_as[2]}.",
    "one_length": "One length alone: {meant:either}?",
    "list_of_readings": "Several readings go in [ ], each{in_quotes}: [{meant:quoted}].",
    "finite_number_of_millimetres": "A length to write is a finite number of millimetres.",
    # A value of a record
    "length_with_its_unit": "A length with its unit: {such_as:either}.",
    "overhang": "A length with a sign: {such_as[0]}, {such_as[1]}, or {such_as[2]}.",
    "tolerance": "A length with its unit, such as {such_as[0]}, or {such_as[1]}.",
    "wish": "A length with a sign, such as {such_as[0]}, or {such_as[1]}.",
    "wanted_measure": "A length with its unit, such as {such_as[0]}, or {such_as[1]}.",
    "count": "A whole number from 1 to 5000, such as {such_as[0]}, or {such_as[1]}.",
    "dial_setting": "A dial setting such as {such_as:or}.",
    "dial_setting_in_quotes": "A dial setting{in_quotes}: {such_as} is 7 and one mark. "
    "A bare number with decimals could be either.",
    "date": "A date such as {such_as}.",
    "date_and_time": "A date and time such as {such_as}, with its zone if known.",
    "true_or_false": "True or false, written true or false without quotes.",
    "number": partial(_number, "A number"),
    "whole_number": partial(_number, "A whole number"),
    "number_that_is_known": "A number; leave it out where it is not known.",
    "text": "A text{in_quotes}.",
    "number_as_a_text": "A text{in_quotes}: {meant}.",
    "text_not_empty": "A text that is not empty; leave it out where there is none.",
    "characters_of_a_text": "A text of {most} characters at most; this has {this_has}.",
    "key": lambda meant, **_: f"{_KEY}: {meant}?" if meant else f"{_KEY}.",
    "name": "A name{in_quotes}.",
    "one_of": lambda names, more, meant, **_: f"One of {_names(names, more, meant)}",
    "list": "A list in [ ].",
    "list_with_entries": "A list in [ ] with at least {at_least} entry; add it.",
    "entries": lambda fields, more, **_: f"Entries in {{ }}: {_fields(fields, more)}.",
    "entries_with_names": "Entries in {{ }}, each with its name: {such_as}.",
    "point_of_measure": "A point of measure: did you mean {meant:either}?",
    "point_of_the_catalogue": "A point of measure: one of {names:all}.",
    "shares_of_100_percent": "Shares that add up to 100 percent; these make {these_make:g}.",
    "count_alone": 'With the rule "between": count alone, what lies between the marks.',
    "first_and_last": 'With the rule "{rule}": first and last, the marked needles or rows.',
    "last_mark_beyond_the_first": "A last mark that lies beyond the first; these leave nothing between them.",
    "measure_or_count": "A measure, a count, or both; leave the cell out where the pattern has neither.",
    "garment_and_occasion": "Garment and occasion together: a make pins one measuring of one garment.",
    # A photograph
    "photograph_as_jpeg": "A photograph as a whole JPEG file.",
    "photograph_of_pixels": "A JPEG of {most} pixels at most on its longer side; make it smaller first.",
    "photograph_of_bytes": "A photograph of {most_mb:g} MB at most; make it smaller first.",
    "photograph_as_named": "The photograph that its name says; take the file as it was written.",
    "album": "A file that the export with photographs wrote.",
    # A field
    "known_value": "A value that belongs here; leave this out.",
    "field": lambda name, accepts, in_quotes, **_: (
        f'Add "{name}": {small_first(accepted(accepts, on_page=not in_quotes))}'
    ),
    "format": "Format {number} is what this program reads.",
    "format_no_newer": "Format {number} is what this program reads; a newer one wrote this file: open it there.",
    "format_of_a_household": 'A household file says "fitcheck": {number}; add it, or choose another file.',
    "sheet_of_a_household": "A sheet is what replay reads; write one: fitcheck sheet FILE PIECE --json.",
    "unit_of_a_household": 'A household file says the unit of its bare numbers; add "unit": "cm", "mm", "m" or "in".',
    "nothing_of_this_name": "No field {name} here; leave it out.",
    "entries_of_a_list": "{most} entries at most in one list.",
    "places_told_then": "Mend what is told first; the rest is told then.",
    "parts_of_a_record": "{most:,} lists and groups at most in one record.",
    "records_of_a_file": "{most:,} records at most in one file; take in the rest with another.",
    "rows_of_a_table": "{most:,} readings at most in one table; take in the rest with another.",
    "entries_of_a_file": "{most:,} readings and other entries at most in one file; take in the rest with another.",
    "readings_of_a_record": "{most:,} readings at most in one record; begin another.",
    "known_names": "No record has those names either; leave them out, too.",
    "known_name": "A name that is known here; did you mean {meant:either}?",
    "known_field": lambda fields, more, **_: f"A name that is known here: {_fields(fields, more)}.",
    "point_inside_a_list": 'This is a point of measure, "{point}": it stands inside "readings" or "counts".',
    "further_in": "It belongs further in: {inside:inside}. Move it there.",
    "further_out": 'It belongs further out, beside "{beside}". Move it there.',
    "elsewhere": "It belongs elsewhere: {inside:inside}. Move it there.",
    "shaping_line": (
        'One cast-off, then single stitches: "5 at once, then 2 every row, 6 every 2nd". Type further cast-offs as so '
        "many every row."
    ),
    "needles": "Needles from the first to the last{in_quotes}: {such_as:or}.",
    # A file
    "size_of_a_file": "A file of {most} at most; take out what is not needed.",
    "file_that_exists": "A file that exists; there is none of this name. Look for a slip in the name.",
    "readable_file": "A file that you may read; this one is closed to you. Change its permissions, or copy it.",
    "file_that_can_be_read": "A file that can be read; the system says: {system_says}. Try a copy of it.",
    "name_of_a_file": "The name of a file; this has characters that no name has.",
    "file_and_no_folder": "A file; this is a folder. Name a file in it.",
    "file_and_no_device": "A file; this is a device or a pipe. Name a file.",
    "plain_values": "Texts, numbers, true, false, None, lists and mappings only; give it as text.",
    "names_that_are_texts": "Names that are texts in every mapping.",
    "mapping_without_circles": "A mapping without circles.",
    "levels": "{most} levels at most.",
    "utf_8_text": "UTF-8 text; save the file again as UTF-8.",
    "utf_8_letters": lambda after, **_: (
        f"UTF-8 text: this line has the first letter that is none{f', after {after}' if after else ''}. "
        "Save the file again as UTF-8."
    ),
    "sheet": 'A knitting sheet as "fitcheck sheet FILE PIECE --json" writes it.',
    "household": 'A household: {{"fitcheck": {format}, "unit": "cm"}} is the least.',
    "number_of_a_few_figures": "A number of a few figures; look for the long one.",
    "whole_characters": "Whole characters; a half of one stands in this text. Type it again.",
    "each_name_once": lambda line, **_: (
        f"Each name once{f'; it stands on line {line} already' if line else ''}. Take one out."
    ),
    "rest_of_the_file": "The rest of it: open it where it was saved, or add what is missing; every {{ and [ is closed.",
    "name_in_double_quotes": f'A name in double quotes, "name", or the closing bracket }}}}.{_LOOK}',
    "no_comma_before_a_closing_bracket": f"No comma before a closing bracket; take it out.{_LOOK}",
    "colon_after_a_name": f"A colon between a name and its value.{_LOOK}",
    "comma_between_entries": f"A comma between two entries, or the closing bracket.{_LOOK}",
    "closing_quotes": f"A text that ends with double quotes.{_LOOK}",
    "text_on_one_line": rf"A text on one line; a new line inside it is written \n.{_LOOK}",
    "backslash_written_twice": rf"A backslash in a text written twice: \\.{_LOOK}",
    "nothing_after_the_closing_bracket": f"Nothing after the last closing bracket.{_LOOK}",
    "text_or_number": f'A text in double quotes, "cm", or a number, 58.7; a list begins with [.{_LOOK}',
    "decimal_point": f"A decimal point in a bare number, 58.7; a decimal comma stands in quotes.{_LOOK}",
    "quotes_around_a_text": f'Quotes around a text: "{{meant}}".{_LOOK}',
    "json": f"JSON.{_LOOK}",
    # One record beside another
    "id_of_its_own": "An id that no other {noun} has; choose another.",
    "each_once": "Each once; take one out.",
    "record": lambda noun, **_: f"{capital(_article(noun))} {noun}; there is none yet. Add it, or leave this out.",
    "id_of": lambda noun, names, more, meant, **_: f"The id of {_article(noun)} {noun}: {_names(names, more, meant)}",
    "point_of_this_piece": "A {piece} has no {lacks}; it has {has:all}. Put it where it was read.",
    "point_of_this_construction": "{because:capital}. Leave it out, or choose another construction.",
    "piece_of_this_construction": "A piece of this construction: {pieces:all}. "
    "Choose another piece, or another construction.",
    "construction_with_side_panels": "No side panel in this construction ({this_one}). "
    "Leave it out, or choose {names:either}.",
    "setting_above_the_lowest": "A setting from {lowest} up, the lowest one of this dial.",
    "setting": "A setting from {lowest} to {highest}: this dial has no other.",
    "marks_after_a_number": "{most} marks at most after a number: this dial has no more between two.",
    "stitches_on_this_bed": "This bed has {needles} needles. {needles} stitches at most, or another machine.",
    "date_after_the_stage_before": "A date from {earliest} on: stages stand in the order in which they happened.",
    "date_after_the_start": "A date from {earliest} on, when it was started.",
    "one_name_per_size": "One name per size: two are called {name}. Rename one.",
    "size_with_its_table": "A size of a size table; name the table with size_table too.",
    "size": lambda names, more, meant, **_: f"A size of this table: {_names(names, more, meant)}",
    "size_meant": "A size of this table: did you mean {meant}?",
    "another_make": "Another make: one does not learn from itself. Take it out.",
    "finished_make": "A make that is finished; give it the day, or take it out here.",
    "ease_over_a_wearer": "Ease over the body of a wearer; say whose with wearer, or leave it out.",
    "ease_at_a_point_read_on_the_body": "Ease at a point read on the body; read the {point} there, or leave it out.",
    "piece_of_the_same_kind": "Another {kind}: a {kind} is knitted again for a {kind}.",
    "earlier_piece": "A piece that was knitted earlier; these replace one another.",
    # A record that is kept
    "id_that_stays": "The id {id}: it stays. Add a new record instead.",
    "id_that_is_here": "The id of a record that is here; leave the set out.",
    "json_values": "Texts, numbers, true, false, null, lists and objects only, not too deep in one another.",
    "whole_characters_and_levels": "Whole characters, and nothing nested more than {most} deep; type it again.",
    "id_of_one_reading": "An id that no other reading has.",
    "reading_that_was_here": "The reading {text}. Set it aside instead.",
    "reading_as_it_was": "The reading {text} as it was. Set it aside, and add a new one.",
    "reason_that_stays": "A reason: it stays set aside. Read again.",
    "confirmed_that_stays": "True: it was confirmed. Or set it aside.",
    "reason": "The reason, in a few words: the tape had slipped.",
    "change_of_the_settings": "A household keeps its settings; change them instead.",
    "characters_of_a_table": lambda most, **_: f"{most / 1e6:.0f} million characters at most; cut it in two.",
    "first_line_with_columns": "A first line with the columns {names:all}.",
    "columns": "The columns {names:all}; take others out.",
    "each_column_once": "Each column once; take one out.",
    "cells_of_the_first_line": "{count} cells, as in the first line.",
    "table_of_a_spreadsheet": "A table as a spreadsheet saves it as CSV.",
    # Counts that cannot be knitted so
    "steps_do_not_fit": _steps_that_go,
    "rows_at_least": "{least} rows or more.",
    "rows_at_most": "{most} rows or fewer.",
    "stitches_left": "{least} stitches in work or more at row {counter}.",
    "edge_once": "One row more: an edge is shaped once while the counter shows a row.",
    "armhole_rows_even": "{rows:or}?",
    "too_few_needles": "This bed has {needles} needles; {needed} would do.",
    # What a public function, a page or the system says itself
    "in_words": "{text}",
}
"""The sentence of everything that can be accepted, by code."""

_KEY = "Small letters, figures, - and _, 64 at most, the first a letter or a figure"
