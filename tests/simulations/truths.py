"""What the simulated knitters share: what is allowed and matters, what deeds cost, which slips are made."""

from __future__ import annotations

from collections.abc import Mapping

from tests.worked.truth import BODY, FRONT, SLEEVE

ORDER = ("back", "front", "sleeve", "other_sleeve")
"""The pieces of a sweater by their names: two of them are sleeves."""
SLEEVES = ("sleeve", "other_sleeve")
ALIKE = {"back": "front", "sleeve": "other_sleeve"}
"""What is blocked as a piece was, once it is knitted."""
RIGHT: Mapping[str, dict[str, int]] = {"back": BODY, "front": FRONT, "sleeve": SLEEVE}
OF_BACK = ("shoulder_width", "neck_width")
"""Widths that are measured across the back."""
TOGETHER = ("hem", "chest", "armhole_depth")
"""What back and front have together: the garment measures the mean of both."""
AT_THE_HEM = ("to_underarm", "body_length")
"""Lengths that they have together too, once both are knitted."""
ABOVE_UNDERARM = ("armhole_depth", "shoulder_width", "neck_width", "neck_depth", "cap_height")
ZONES = (
    (("hem", "chest"), (-8, -6, -4, 4, 6, 8)),
    (("to_underarm", "body_length"), (-12, -10, -8, 8, 10, 12)),
    (("armhole_depth", "body_length"), (-8, -6, 6, 8)),
)
SINGLE = (("chest", (-6, -4, 4, 6)), ("shoulder_width", (-6, -4, 4, 6)), ("neck_width", (-4, -2, 2, 4)))
ALLOWED = {
    "hem": 10.0, "to_underarm": 15.0, "chest": 10.0, "armhole_depth": 6.0, "shoulder_width": 10.0, "neck_width": 6.0,
    "body_length": 15.0, "neck_depth": 6.0, "cuff": 6.0, "sleeve_to_underarm": 13.0, "upper_arm": 6.0,
    "cap_height": 6.0, "sleeve_length": 13.0,
}  # fmt: skip
"""What is allowed, flat (fit rule 8's defaults) [mm]."""
MATTERS = {"shoulder_width": 3.0, "chest": 2.0, "body_length": 2.0, "sleeve_length": 2.0}
"""How much a point matters beside the others [1]."""
COSTS = {"read": 0.03, "block_again": 0.15, "shape": 0.15, "alter_hem": 0.12, "rip_back": 0.43, "knit_again": 1.05}
"""Work of each deed on a back [works of a back]."""
SHARES = {"back": 1.0, "front": 1.0, "sleeve": 0.62}
MOST_ANSWERS = 12
"""Nobody asks longer than this about one piece."""
GENUINE = ("carry_on", "other_counts", "alter_hem", "block_again", "shape", "rip_back", "knit_again")
PULLED_SD = 0.03
WASHED = {"across": 0.99, "along": 1.07}
"""How a piece measures before it is washed, as a factor."""


def loss(off_mm: float, allowed_mm: float, matters: float = 1.0) -> float:
    """Loss at a point of the finished garment (model 6) [works of a back]."""
    far = abs(off_mm) / allowed_mm
    return matters * (0.1 * far**2 + 1.2 * max(0.0, far - 1.0))
