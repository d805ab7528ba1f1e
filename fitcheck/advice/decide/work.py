"""What each act costs, in works of a back."""

from __future__ import annotations

from fitcheck.records.makes import Costs

ABOVE_UNDERARM = 1.0 / 3.0
"""Share of a piece's work that lies above its underarm (fit rule 4: about a third; common practice, no source)."""

CHANGED_COUNT = 0.03
"""Trouble of a part that changes, beyond that of its printed numbers: only with it a perfect back is carried on in
eight of ten (assumed) [works of a back]."""


def work_of(costs: Costs, share: float) -> dict[str, float]:
    """Work of each act alone on a piece [1 = knitting a back once].

    share  work of knitting the piece once [1 = knitting a back once]

    rip back = (share above the row) x share + extra; knit again = share + extra.
    """
    return {
        "carry_on": 0.0,
        "other_counts": costs.printed_counts + CHANGED_COUNT,
        "alter_hem": costs.alter_hem,
        "block_again": costs.block_again,
        "rip_back": ABOVE_UNDERARM * share + costs.rip_extra,
        "knit_again": share + costs.knit_extra,
        "measure_again": costs.measure,
    }
