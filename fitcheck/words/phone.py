"""Sentences that the scripts of the pages say: they fill whole values into ``{names}`` and make no sentence.

The walk's go with its page, because a phone asks and answers while the service is away; the others come with the
answer that the script asks for.
"""

from __future__ import annotations

READING = {
    "example": "A length is a number such as 58.7 or 23 1/8.",
    "nothing_typed": "Type what the tape says.",
    "space_before_fraction": "Before a fraction stands a space: {meant}?",
    "one_mark": "One decimal mark is enough: {first} or {second}.",
    "no_minus": "A length has no minus here; did you mean {meant}?",
    "no_plus": "A length has no plus here; did you mean {meant}?",
    "parts": "A tape is read in halves, quarters, eighths or sixteenths.",
    "over_whole": "The fraction is more than a whole: {meant}?",
    "units": "A length is in mm, cm, m, in, ft or yd.",
    "more_than_nothing": "A length is more than 0; skip the point where there is nothing to read.",
    "at_most": "A length is 100 m at most.",
    "was_inches": "It was inches",
    "was_centimetres": "It was centimetres",
    "was_millimetres": "It was millimetres",
    "as_inches": "As inches it would be {length}.",
    "as_centimetres": "As centimetres it would be {length}.",
    "as_millimetres": "As millimetres it would be {length}.",
    "was_round": "It is the round measure: {half} flat",
    "twice_the_half": "It is about twice the usual half.",
    "as_eighths": "As inches and eighths: {meant}?",
    "too_fine": "No tape tells so many decimals.",
    "read_at": "{read} for the {name}?",
    "read": "{read}?",
    "overhang_at": "{read} off at the {name}?",
    "neighbour": "The {name} was {said}.",
    "mostly": "It is mostly {low} to {high}.",
    "others_say": "Your other readings say otherwise.",
    "far_off": "So far off a piece hardly lies on its garment.",
    "far_from_one": "{apart} from your other reading. Lay the tape again and type what it says.",
    "far_from_many": "{apart} from your other readings. Lay the tape again and type what it says.",
}
"""What the phone says of one reading: why it is not taken, and what is asked about it."""

WALK = {
    "round_1": "first round",
    "round_2": "second round",
    "round_3": "third round",
    "to_read_1": "First round: {count} to read",
    "to_read_2": "Second round: {count} to read",
    "to_read_3": "Third round: {count} to read",
    "whole_inches": "A whole number of inches beside the eighths.",
    "level_means_0": "Level means 0. Which of the two is it?",
    "which_way": "Say which: it sticks out, falls short, or lies level.",
    "field": "{title}, {unit}",
    "field_of": "{title}, {whose}, {unit}",
    "inches": "whole inches",
    "title": "{title}: reading the {piece}",
    "title_at_end": "The {piece} is read",
    "tab": "{title} - Fitcheck",
    "where": "{number} of {count}, {round}.",
    "where_again": "{number} of {count}, {round}, {reading}, laid anew.",
    "only_round_1": "First round.",
    "only_round_2": "Second round.",
    "only_round_3": "Third round.",
    "change_unit": "{unit}: change to {other}",
    "reading_of": "reading {number} of {count}",
    "not_taken": "Not taken.",
    "not_taken_read": "Not taken: {read}.",
    "nothing_read": "nothing typed",
    "full": "the disk is full",
    "unpaired": "the service refuses this phone",
    "away": "the service is away",
    "not_kept_yet": "not kept: {trouble}; it stays in this field",
    "keeping": "keeping ...",
    "on_this_phone": "{text}: on this phone so far",
    "is_kept": "{text}: kept",
    "lay_anew": "Lay the {piece} down anew.",
    "count_kept": "{count} kept",
    "count_waiting": "{count} waiting: {trouble}",
    "count_here": "{count} still here",
    "count_on_phone": "{count} of {all} on this phone so far",
    "kept": "Kept {text}",
    "no_memory": "This phone cannot keep readings; wait for kept after each.",
    "no_memory_last": "This phone cannot keep readings; wait for kept after each. {text}: kept",
    "memory_full": "This phone's memory is full; it stays in this field.",
    "apart": "{readings}: {apart} apart",
    "keep": "Keep {read}",
    "spoken_kept": "Kept {text}, {point}.",
    "spoken_apart": "{apart}.",
    "spoken_next": "Next: {point}",
    "spoken_next_of": "Next: {point}, {whose}",
    "spoken_last": "That was the last.",
    "spoken_skipped": "Left out: {point}.",
    "nothing_to_undo": "Nothing to undo.",
    "taken_back": "Taken back: {text}, {point}.",
    "reason_taken_back": "taken back while measuring",
    "left_out": "{count} left out",
    "round_is_read": "This round is read.",
    "nothing_to_read": "Nothing has to be read again.",
    "read_point": "Read the {point}",
    "undo_last": "undo the last",
    "some_on_phone": "{count} read, {waiting} on this phone so far. The answer comes once the service has them.",
    "one_kept": "1 point read; it is kept.",
    "many_kept": "{count} points read; all of them are kept.",
    "away_just_now": "{kept} The service is away just now.",
    "mark_comma": "decimal comma",
    "mark_point": "decimal point",
}
"""What the walk says on the phone."""

AT_MACHINE = {
    "back": "one row back",
    "shows": "my counter shows ...",
    "sheet": "sheet",
    "counter": "My counter shows",
    "look": "Look",
    "between": "what lies between",
    "done": "Done",
    "last": "that was the last act",
    "next_part": "Next part",
    "stop": "Stop here if you like: it opens at this place again.",
    "begin": "Begin",
    "stays": "the sheet stays as it is",
    "to_sweater": "To the sweater",
    "to_scales": "Type its weight",
}
"""Labels of the page at the machine; the script sets the same."""

MACHINE = {
    "title": "{title} - Fitcheck",
    "here_is": "Here it is row {row}.",
    "up_to_one": "Up to {counter} lies 1 act:",
    "up_to_many": "Up to {counter} lie {count} acts:",
    "back_to_one": "1 act was done since row {counter}:",
    "back_to_many": "{count} acts were done since row {counter}:",
    "nothing_between": "No act lies between.",
    "and_more": "and {count} more",
    "were_done": "Were they done? Then {bed}.",
    "were_not_done": "Were they not done? Then {bed}.",
    "all_done": "All done",
    "not_done": "Not done",
    "same_act": "Same act",
    "go_to_row": "go to row {row}",
    "go_to_rib": "knit the rib",
    "stay": "no, stay at row {row}",
    "stay_here": "no, stay here",
    "whole_number": "Type the figure that the counter shows.",
    "beyond": "In this part the counter goes to {last}.",
    "unkept": "Not kept yet:",
    "unkept_told": "on this phone so far.",
    "no_memory": "This phone keeps nothing:",
    "no_memory_told": "the next act comes once the service has this one.",
    "elsewhere": "On another device:",
    "elsewhere_row": "it is row {row} there.",
    "elsewhere_act": "it is another act there.",
    "elsewhere_end": "all of it is done there.",
    "elsewhere_go": "Go there",
    "ended": "Not kept:",
    "ended_told": "this sheet was ended.",
    "ended_go": "Open the sheet",
    "refused": "Not kept:",
    "older": "Older sheet:",
    "older_go": "What changed",
    "awake": "The screen:",
    "awake_told": "set your screen to stay on.",
}
"""What the page at the machine says of places and of keeping, with a script and without one."""

LEFTOVER = {
    "one_was_here": "1 reading was on this phone; kept now.",
    "many_were_here": "{count} readings were on this phone; kept now.",
    "one_is_here": "1 reading on this phone so far.",
    "many_are_here": "{count} readings on this phone so far.",
    "refused": "Not kept: {text}. {why}",
    "in_its_walk": "Look at it in its walk",
}
"""What any page says of readings that a closed walk left on the phone."""

DRAFTS = {
    "put_back": "Put back what you typed at {time}.",
    "start_empty": "Start empty",
    "unkept": "This browser keeps nothing for a page: what you type is safe once the service has it.",
}
"""What any page says of a form that was typed in before, and of a browser that remembers nothing."""

DOCK = "Eighths for the field in hand"
"""What the marks of an inch at the foot of a phone's form are for."""

STALE = {
    "reading": "A reading came in at {time}.",
    "changed": "Something was changed at {time}.",
}
"""What a page left open says once its answer is an old one."""
