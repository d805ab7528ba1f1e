"""The sentences for terminal, page and API: a calm colleague at the next machine.

Domain code carries codes and numbers; here they become words. Every function is pure: parts of a report in,
text out. Lengths are written in `unit` (cm, in or mm) with the decimal mark that the person uses; a minus is
a real minus. "likely a to b" is the interval that the label used. A code without words of its own gets a
plain sentence made from its name, so that an answer never breaks on a new one.

The parts build on each other, each only on those before it: phrases and figures, names, cannot_say, questions and
faults, points, explanation and granted, changes, measure_again, recommendation, reasons. What is said about fabric and
sizes stands in ``fitcheck.words.fabric`` and ``fitcheck.words.sizes``; they are imported only where there is
something to say, because an answer without them starts faster.
"""

from __future__ import annotations

from fitcheck.words.cannot_say import cannot_say_sentence, refused_sentence
from fitcheck.words.explanation import ease_sentence, explanation_sentences, gauge_sentence
from fitcheck.words.faults import accepted, fault_sentence
from fitcheck.words.figures import CM, Mark, Tape, Unit, chance_figure, chance_words, share_words, work_words
from fitcheck.words.granted import CAUTIONS, assumed_sentence, caution_sentence, help_sentence, help_sentences, minded
from fitcheck.words.measure_again import unanswered
from fitcheck.words.names import (
    ACTIONS,
    STAGES,
    ZONES,
    action_name,
    action_of,
    other_piece,
    piece_kind,
    piece_name,
    point_name,
    point_sign,
    point_title,
    reference_name,
    stage_name,
    stamp,
    stamp_parts,
    unit_of_work,
    zone_sign,
    zone_word,
)
from fitcheck.words.points import (
    Row,
    allowed_words,
    changed_sentence,
    likely_sentence,
    likely_words,
    point_figures,
    point_sentence,
    read_and_taken,
    row_figures,
    signs_sentence,
    so_far_sentence,
    tape_alone_sentence,
    tape_at,
    too_close_sentence,
    wanted_sentence,
)
from fitcheck.words.questions import (
    meant_words,
    question_answers,
    question_asked,
    question_sentence,
    slip_words,
)
from fitcheck.words.reasons import (
    REASONS,
    about_costs,
    action_line,
    because_left_out,
    brought,
    chance,
    cost,
    judged_so_far,
    loss_in_all,
    why,
)
from fitcheck.words.recommendation import advised, finished_words, headline
from fitcheck.words.said import Said
