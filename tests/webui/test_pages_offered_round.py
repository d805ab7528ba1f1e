"""A round that is offered beside a plan which is sure enough opens at its points, three readings each (model 6.6)."""

from __future__ import annotations

import html
import json
import re
from importlib.resources import files

AT = "/makes/pullover"


def test_the_offered_round_opens_the_walk_at_its_points(client, ask):
    laid = json.loads((files("demo_garments") / "three_overhangs.json").read_text(encoding="utf-8"))
    assert ask("POST", "/bundle?how=merge", laid)[0] == 200
    advice = ask("GET", f"{AT}/report")[1]["recommendation"]
    assert advice["action"] == "carry_on"
    assert advice["round"] == ["armhole_depth"]
    assert (advice["side"], advice["readings"]) == ("piece", 3)
    page = client.get(AT).get_data(as_text=True)
    assert "Surer still: measure the armhole depth three times more first." in page
    to = html.unescape(re.search(r'href="([^"]+)">Measure once more, to be surer', page)[1])
    walk = client.get(to).get_data(as_text=True)
    assert re.search(r"<h1[^>]*>\s*Armhole depth", walk)
    assert "reading 1 of 3" in walk
