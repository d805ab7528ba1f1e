"""Households made by chance from a number: plausible, varied, and the same whenever they are made again.

`household(seed)` gives what stands in a household file. Behind the figures there is a truth: a body, a fabric whose
stitch and row grow with the dial and change in finishing, a tape that reads with an error, and a knitter who
miscounts, mistypes and forgets. Everybody and every figure is invented.

What varies, each with a chance of its own: the unit of the file and the units typed; construction and open front;
garments with one to three measurings, washed flat or worn; none to four swatches over dials, stages and yarns; a
size table, flat, round or of the pieces; what a make must fit (a garment, numbers, body and ease, a mix, nothing);
wishes, tolerances, bands, seams, what is planned; pieces off the machine, rested, blocked, blocked again, read over
several looks, laid over the garment; pieces knitted again; finished makes that another one learns from; a frozen
tape; readings set aside, wild or confirmed; counts that nobody counted and counts that are wrong.
"""

from __future__ import annotations

import math
from datetime import date, timedelta
from random import Random
from typing import Any

from fitcheck.records.households import FORMAT

Raw = dict[str, Any]

BODY = ("shoulder_width", "chest", "armhole_depth", "neck_width", "hem", "to_underarm", "body_length", "shoulder_drop")
SLEEVE = ("sleeve_length", "upper_arm", "cuff", "cap_height")
ACROSS = ("shoulder_width", "chest", "neck_width", "waist", "hem", "upper_arm", "cuff", "panel_width")
OF_PIECE = {
    "back": BODY,
    "front": (*BODY, "neck_depth"),
    "left_front": ("chest", "armhole_depth", "hem", "to_underarm", "body_length"),
    "right_front": ("chest", "armhole_depth", "hem", "to_underarm", "body_length"),
    "sleeve": SLEEVE,
    "left_sleeve": SLEEVE,
    "right_sleeve": SLEEVE,
    "side_panel": ("panel_width", "panel_length"),
}
LACKS = {
    "set_in": (),
    "side_panels": (),
    "drop_shoulder": ("shoulder_width", "cap_height"),
    "raglan": ("shoulder_width", "cap_height"),
}
"""Points that a construction does not have."""
EIGHTH_MM = 25.4 / 8
"""What a tape in inches is read to: an eighth [mm]."""
FIRST_DAY = date(2025, 1, 5)


def household(seed: int) -> Raw:
    """Return the household of a number, as a household file has it."""
    return _Household(Random(f"household {seed}")).written()


class _Household:
    """One household while it is made: what chance decides first is what the rest is made from."""

    def __init__(self, chance: Random) -> None:
        self.chance = chance
        self.unit: str = chance.choices(("cm", "in", "mm"), (6, 3, 2))[0]
        self.construction: str = chance.choices(("set_in", "drop_shoulder", "side_panels", "raglan"), (6, 3, 2, 1))[0]
        self.open_front = self.construction == "set_in" and chance.random() < 0.2
        self.tape_mm = chance.choice((0.8, 1.2, 2.0, 3.0))
        self.yarn, self.machine = chance.random() < 0.85, chance.random() < 0.85
        self.strands = chance.choice((1, 1, 1, 2))
        self.marks = chance.choice((2, 2, 2, 0, 3)) if self.machine else 2
        self.stitch_mm = chance.uniform(3.4, 5.2)
        self.row_mm = self.stitch_mm * chance.uniform(0.66, 0.8)
        self.dial_growth = math.log(1.07) * chance.uniform(0.6, 1.4)
        self.change = {"across": chance.uniform(-0.07, 0.02), "along": chance.uniform(-0.1, 0.03)}
        self.dial = chance.randint(4, 8)
        self.true = self._garment_truth()
        self.day = FIRST_DAY + timedelta(days=chance.randint(0, 300))

    def maybe(self, share: float) -> bool:
        """Whether something with this chance happens."""
        return self.chance.random() < share

    # Truth

    def _garment_truth(self) -> dict[str, float]:
        """True flat figures of the garment that fits [mm]."""
        between = self.chance.uniform
        chest = between(320, 420) if self.maybe(0.15) else between(440, 640)
        armhole = chest * between(0.37, 0.43)
        underarm = chest * between(0.66, 0.82)
        return {
            "shoulder_width": chest * between(0.72, 0.8),
            "chest": chest,
            "armhole_depth": armhole,
            "neck_width": chest * between(0.29, 0.34),
            "hem": chest * between(0.93, 1.02),
            "to_underarm": underarm,
            "body_length": underarm + armhole + 25,
            "shoulder_drop": between(18, 30),
            "neck_depth": between(65, 90),
            "sleeve_length": chest * between(1.0, 1.12),
            "upper_arm": chest * between(0.32, 0.37),
            "cuff": chest * between(0.19, 0.23),
            "cap_height": armhole * between(0.58, 0.68),
            "panel_width": between(60, 110),
            "panel_length": underarm,
        }

    def stitch(self, dial: float, *, row: bool, finished: bool) -> float:
        """True stitch or row at a dial, before or after finishing [mm]."""
        size = self.row_mm if row else self.stitch_mm
        size *= math.exp(self.dial_growth * (dial - 6))
        return size if finished else size / (1 + self.change["along" if row else "across"])

    def dial_written(self, position: float) -> str:
        """A dial as it is written: numbers and marks after them."""
        marks = round((position - math.floor(position)) * (self.marks + 1))
        return f"{math.floor(position)}.{marks}" if marks else str(math.floor(position))

    # Readings

    def length(self, mm: float, *, signed: bool = False) -> Any:
        """A length as somebody types it: mostly bare in the unit of the file, sometimes with a unit of its own."""
        mark = "+" if signed and mm > 0 else ""
        if self.unit == "in":
            eighths = round(abs(mm) / EIGHTH_MM)
            whole, part = divmod(eighths, 8)
            sign = "-" if mm < 0 and eighths else mark
            if self.maybe(0.2) and not signed:
                return f"{mm / 10:.1f} cm"
            return f"{sign}{whole} {part}/8 in" if part else f"{sign}{whole} in"
        if self.maybe(0.15):
            return f"{mark}{mm:.0f} mm"
        number = round(mm / 10, 1) if self.unit == "cm" else round(mm)
        if signed or self.maybe(0.3):
            text = f"{mark}{number}"
            return text.replace(".", ",") if self.maybe(0.3) else text
        return number

    def readings(self, mm: float, *, times: int | None = None, wild: float = 0.015) -> Any:
        """Readings of one true length [mm], with what goes wrong now and then."""
        times = times or self.chance.choices((1, 2, 3, 4), (3, 4, 4, 1))[0]
        laid = self.maybe(0.5)
        taken: list[Any] = []
        for number in range(times):
            read = self.chance.gauss(mm, self.tape_mm)
            out = self.maybe(wild)
            if out:
                read += self.chance.choice((-1, 1)) * self.chance.uniform(12, 60)
            text = self.length(max(read, 3.0))
            more: Raw = {"laying": number + 1} if laid else {}
            if out and self.maybe(0.3):
                more["confirmed"] = True
            elif out and self.maybe(0.4):
                more["set_aside"] = "the fabric was folded"
            taken.append({"text": text, **more} if more else text)
        return taken[0] if times == 1 and not isinstance(taken[0], dict) and self.maybe(0.7) else taken

    def on(self, days: int) -> str:
        """A day after the household's first one."""
        return (self.day + timedelta(days=days)).isoformat()

    # Records

    def written(self) -> Raw:
        """The whole household."""
        home: Raw = {"fitcheck": FORMAT, "unit": self.unit, "invented": True, "name": "An invented household"}
        home["wearers"] = self._wearers()
        home["garments"] = self._garments()
        home["yarns"] = self._yarns()
        home["machines"] = self._machines()
        home["swatches"] = self._swatches()
        home["size_tables"] = self._size_tables() if self.maybe(0.45) else []
        home["makes"] = self._makes(home)
        if self.maybe(0.2) and home["garments"]:
            home["tape"] = {"revision": 2, "sets": [{"of": home["garments"][0]["id"], "dof": 6, "ratio": 1.2}]}
        return {name: records for name, records in home.items() if records or name in ("fitcheck", "makes")}

    def _wearers(self) -> list[Raw]:
        if self.maybe(0.3):
            return []
        body = {
            "chest": self.readings(2 * self.true["chest"] * 0.9, wild=0.01),
            "upper_arm": self.readings(2 * self.true["upper_arm"] * 0.85, wild=0.01),
        }
        wearer: Raw = {"id": "ada", "name": "Ada", "measured": self.on(-20), "body": body}
        if self.maybe(0.5):
            wearer["head"] = self.readings(560, times=2, wild=0.0)
        if self.true["chest"] < 430:
            wearer["child"] = True
        return [wearer]

    def _garments(self) -> list[Raw]:
        """One or two garments; the first is of the truth, another is an older, looser one."""
        if self.maybe(0.15):
            return []
        garments = []
        for number in range(1 if self.maybe(0.7) else 2):
            looser = 1 + 0.03 * number
            occasions: list[Raw] = []
            for turn in range(self.chance.choices((1, 2, 3), (6, 3, 1))[0]):
                worn = self.maybe(0.25)
                points = {
                    point: self.readings(
                        mm * looser * (1.01 if worn else 1.0),
                        wild=0.02,
                    )
                    for point, mm in self.true.items()
                    if self._measured(point)
                }
                points.pop("panel_width", None)
                points.pop("panel_length", None)
                state = "worn" if worn else self.chance.choice(("washed_flat", "washed_flat", "unsaid"))
                occasions.append(
                    {"id": f"o{turn + 1}", "on": self.on(-100 + 20 * turn), "state": state, "readings": points}
                )
            garment: Raw = {
                "id": f"garment_{number + 1}",
                "name": ("old blue pullover", "loose red pullover")[number],
                "construction": self.construction,
                "occasions": occasions,
            }
            if self.open_front:
                garment["open_front"] = True
            if self.maybe(0.3):
                garment["thickness"] = self.length(3)
            if self.maybe(0.1):
                garment["rib"] = True
            if self.maybe(0.2):
                garment["growth_along_percent"] = 1.5
            garments.append(garment)
        return garments

    def _measured(self, point: str) -> bool:
        """Whether somebody measured a point of a garment."""
        if point in LACKS[self.construction]:
            return False
        return point in ("chest", "armhole_depth") or self.maybe(0.8)

    def _yarns(self) -> list[Raw]:
        if not self.yarn:
            return []
        fibre = self.chance.choice(("wool", "superwash_wool", "cotton", "alpaca", "acrylic"))
        yarn: Raw = {"id": "grey", "name": "grey yarn", "fibres": [{"fibre": fibre, "percent": 100}]}
        if self.maybe(0.5):
            yarn["tex"] = self.chance.choice((220, 330, 400))
        if fibre == "wool" and self.maybe(0.3):
            yarn["oiled"] = True
        if self.maybe(0.5):
            yarn["lots"] = [{"lot": "A", "grams": self.chance.choice((300, 700, 1200))}]
        return [yarn]

    def _machines(self) -> list[Raw]:
        if not self.machine:
            return []
        bed: Raw = {"id": "bed", "name": "the bed", "needles": 250, "marks": self.marks}
        if self.maybe(0.7):
            bed["pitch"] = "4.5 mm"
        return [bed]

    def _swatches(self) -> list[Raw]:
        swatches = []
        dials = [self.dial, self.dial + 1, self.dial - 1, self.dial]
        for number in range(self.chance.choices((0, 1, 2, 3, 4), (2, 4, 3, 3, 1))[0]):
            dial = dials[number]
            stitches, rows = self.chance.choice((40, 50, 60)), self.chance.choice((40, 60))
            stages: list[Raw] = []
            kinds = ["off_machine", "rested", "blocked"]
            for turn, kind in enumerate(kinds):
                if kind != "blocked" and self.maybe(0.4) and not (kind == "rested" and not stages and self.maybe(0.1)):
                    continue
                if kind == "blocked" and stages and self.maybe(0.12):
                    continue
                stage: Raw = {"kind": kind, "on": self.on(-10 + turn + number)}
                done = kind == "blocked"
                across = self.stitch(dial, row=False, finished=done) * (1 + self.chance.gauss(0, 0.006))
                stage["across"] = self.readings(across * stitches)
                if self.maybe(0.85):
                    along = self.stitch(dial, row=True, finished=done) * (1 + self.chance.gauss(0, 0.008))
                    stage["along"] = self.readings(along * rows)
                if done and self.maybe(0.3):
                    stage["blocking"] = self.chance.choice(("patted", "patted", "steamed", "pinned"))
                if done and self.maybe(0.05):
                    stage["pinned"] = ["across"]
                stages.append(stage)
            swatch: Raw = {"id": f"swatch_{number + 1}", **self.knitted(), "stages": stages}
            swatch["stitches"] = (
                {"count": stitches}
                if self.maybe(0.7)
                else {"first": -stitches // 2, "last": stitches // 2, "rule": "centre_to_centre"}
            )
            swatch["rows"] = {"count": rows}
            if self.maybe(0.9):
                swatch["dial"] = self.dial_written(dial + (0 if self.maybe(0.7) else 1 / (self.marks + 1)))
            if self.maybe(0.08):
                swatch["stitch_pattern"] = "rib 1x1"
            swatches.append(swatch)
        return swatches

    def knitted(self) -> Raw:
        """What swatches and pieces say alike of how they were knitted."""
        said: Raw = {"yarn": "grey"} if self.yarn else {}
        if self.machine:
            said["machine"] = "bed"
        if self.strands != 1:
            said["strands"] = self.strands
        return said

    def count_for(self, point: str, mm: float, dial: float) -> int:
        """Stitches or rows that a plan knits for a true finished length [mm], even where it is a width."""
        row = point not in ACROSS
        count = mm / self.stitch(dial, row=row, finished=True)
        if row:
            return max(4, round(count))
        seams = 0 if point == "neck_width" else 2
        return max(6, 2 * round((count + seams) / 2))

    def piece_truth(self, point: str, piece: str) -> float:
        """True wanted length of a point on a piece [mm], seams left out of account."""
        mm = self.true[point]
        if piece in ("left_front", "right_front") and point in ("chest", "hem"):
            return mm / 2
        if point in ("upper_arm", "cuff"):
            return 2 * mm
        if self.construction == "side_panels" and point in ("chest", "hem") and piece != "side_panel":
            return mm - self.true["panel_width"]
        return mm

    def _size_tables(self) -> list[Raw]:
        measures = self.chance.choices(("flat", "round", "piece"), (6, 2, 2))[0]
        sizes = []
        odd = self.maybe(0.2)
        for number in range(self.chance.randint(2, 5)):
            factor = 0.88 + 0.08 * number
            pieces: Raw = {}
            for piece in ("back", "front", "sleeve"):
                cells: Raw = {}
                for point in OF_PIECE[piece]:
                    if point in LACKS[self.construction] or point == "shoulder_drop" or self.maybe(0.15):
                        continue
                    mm = self.true[point] * (factor if point in ACROSS else 0.94 + 0.04 * number)
                    shown = 2 * mm if measures == "round" and point in ("chest", "hem", "upper_arm", "cuff") else mm
                    of_piece = self.piece_truth(point, piece) / self.true[point]
                    shown = of_piece * mm if measures == "piece" else shown
                    cell: Raw = {"measure": f"{5 * round(shown / 5) / 10:.1f} cm"}
                    if self.maybe(0.7):
                        cell["count"] = self.count_for(point, of_piece * mm, 6)
                        if odd and self.maybe(0.1):
                            cell["count"] += self.chance.choice((-10, 9, 20))
                    cells[point] = cell
                if cells:
                    pieces[piece] = cells
            sizes.append({"name": ("S", "M", "L", "XL", "2XL")[number], "pieces": pieces})
        gauge = {
            "stitches": round(100 / self.stitch(6, row=False, finished=True) * 2) / 2,
            "rows": round(100 / self.stitch(6, row=True, finished=True)),
            "over": "10 cm",
        }
        table: Raw = {"id": "pattern", "name": "a pattern", "measures": measures, "sizes": sizes}
        if self.maybe(0.85):
            table["gauge"] = gauge
        if self.maybe(0.5):
            table["print_step"] = "0.5 cm"
        return [table]

    # Makes

    def _makes(self, home: Raw) -> list[Raw]:
        makes = []
        if self.maybe(0.2):
            earlier = self._make(home, "earlier", finished=True)
            makes.append(earlier)
        make = self._make(home, "jumper", finished=self.maybe(0.08))
        if makes and self.maybe(0.6):
            make["learns_from"] = ["earlier"]
        makes.append(make)
        if self.maybe(0.15):
            makes.append(self._make(home, "next_one", finished=False))
        return makes

    def _make(self, home: Raw, key: str, *, finished: bool) -> Raw:
        chance = self.chance
        make: Raw = {"id": key, "name": {"earlier": "An earlier one", "jumper": "The jumper"}.get(key, "The next one")}
        make["construction"] = self.construction
        make["started"] = self.on(0)
        if home["wearers"]:
            make["wearer"] = "ada"
        self._what_it_fits(make, home)
        make |= {name: of for name, of in self.knitted().items() if name != "strands"}
        swatches = [swatch["id"] for swatch in home["swatches"]]
        if swatches and self.maybe(0.9):
            make["swatches"] = swatches if self.maybe(0.8) else swatches[:1]
        if home["size_tables"] and self.maybe(0.8):
            make["size_table"] = "pattern"
            if self.maybe(0.7):
                make["size"] = chance.choice(home["size_tables"][0]["sizes"])["name"]
        self._details(make)
        self._pieces(make)
        if finished:
            make["finished"] = self.on(60)
        return make

    def _what_it_fits(self, make: Raw, home: Raw) -> None:
        """A garment, numbers, body and ease, a mix of them; now and then nothing."""
        fits: Raw = {}
        if home["garments"] and self.maybe(0.75):
            garment = self.chance.choice(home["garments"])
            fits |= {"garment": garment["id"], "occasion": self.chance.choice(garment["occasions"])["id"]}
        if not fits or self.maybe(0.25):
            numbers: Raw = {}
            for point in BODY + SLEEVE:
                if point in LACKS[self.construction] or point == "shoulder_drop":
                    continue
                if not self.maybe(0.6 if not fits else 0.2):
                    continue
                mm = self.true[point]
                if point in ("chest", "hem") and self.maybe(0.2):
                    numbers[point] = {"length": self.length(2 * mm), "meant": "round"}
                else:
                    numbers[point] = self.length(mm)
            if numbers and self.maybe(0.93):
                fits["numbers"] = numbers
        if home["wearers"] and self.maybe(0.15):
            fits["ease"] = {"chest": self.length(80, signed=True)}
        if fits:
            make["fits"] = fits

    def _details(self, make: Raw) -> None:
        """Wishes, tolerances, bands, seams: what a careful knitter adds."""
        if self.maybe(0.2):
            make["wishes"] = {"body_length": self.length(self.chance.choice((-20, 20, 30)), signed=True)}
        if self.maybe(0.15):
            make["tolerances"] = {"chest": self.length(self.chance.choice((5, 15, 20)))}
        if self.maybe(0.1):
            make["weights"] = {"chest": 4}
        if self.maybe(0.5):
            how = self.chance.choice(("knitted_on", "knitted_on", "added_later", "turned"))
            make["bands"] = [{"edge": "hem", "depth": "5 cm", "how": how}]
            if self.maybe(0.5):
                make["bands"].append({"edge": "neck", "depth": "2.5 cm", "how": "added_later"})
            if self.maybe(0.5):
                make["bands"].append({"edge": "cuff", "depth": "6 cm", "how": how})
        if self.maybe(0.2):
            make["seams"] = {"side": self.chance.choice(("half_stitch", "linked", "none"))}
        if self.open_front and self.maybe(0.7):
            make["front_band"] = self.length(30)
        if self.construction == "side_panels" and self.maybe(0.7):
            make["panel_width"] = self.length(self.true["panel_width"])
        if self.maybe(0.3):
            make["thickness"] = self.length(self.chance.choice((2, 3, 6)))
        if self.maybe(0.4):
            make["multiple"] = self.chance.choice((1, 2, 2, 4))
        if self.maybe(0.1):
            make["steam"] = True
        if self.maybe(0.1):
            make["costs"] = {"block_again": 0.3}

    def _order(self) -> list[str]:
        """Pieces in the order of knitting."""
        fronts = ["left_front", "right_front"] if self.open_front else ["front"]
        panel = ["side_panel"] if self.construction == "side_panels" else []
        sleeves = ["left_sleeve", "right_sleeve"] if self.open_front else ["sleeve"]
        return ["back", *fronts, *panel, *sleeves]

    def _pieces(self, make: Raw) -> None:
        order = self._order()
        knitted = self.chance.choices((0, 1, 2, 3), (1, 7, 3, 1))[0]
        dial = self.dial + (0 if self.maybe(0.75) else self.chance.choice((-1, 1)) / (self.marks + 1))
        off = 1 + self.chance.gauss(0, 0.012)
        planned = {
            piece: {
                point: self.count_for(point, self.piece_truth(point, piece), self.dial)
                for point in OF_PIECE[piece]
                if self._planned(point)
            }
            for piece in order
        }
        if self.maybe(0.65):
            said = {piece: counts for piece, counts in planned.items() if piece in order[knitted:] or self.maybe(0.3)}
            make["planned"] = {piece: counts for piece, counts in said.items() if counts}
        pieces: list[Raw] = []
        for turn, kind in enumerate(order[:knitted]):
            pieces.append(self._piece(kind, kind, planned[kind], dial, off, turn, make))
        if pieces and self.maybe(0.08):
            kind = order[0]
            again = self._piece(f"{kind}_again", kind, planned[kind], dial, off, len(order), make)
            pieces.append({**again, "replaces": kind})
        if pieces:
            make["pieces"] = pieces

    def _planned(self, point: str) -> bool:
        if point in LACKS[self.construction] or point == "shoulder_drop":
            return False
        return point in ("chest", "upper_arm") or self.maybe(0.7)

    def _piece(
        self, key: str, kind: str, planned: dict[str, int], dial: float, off: float, turn: int, make: Raw
    ) -> Raw:
        """A piece as it was knitted: the counts that were believed, and the tape over what was really there."""
        believed = dict(planned)
        real = dict(believed)
        if self.maybe(0.12) and real:
            slipped = self.chance.choice(sorted(real))
            real[slipped] = max(4, real[slipped] + self.chance.choice((-10, -6, -4, 4, 8, 10)))
        piece: Raw = {"id": key, "piece": kind, **self.knitted()}
        if self.maybe(0.85):
            piece["dial"] = self.dial_written(dial)
        counts: Raw = {}
        for point, count in believed.items():
            if self.maybe(0.2):
                continue
            how = self.chance.random()
            if how < 0.4:
                counts[point] = count
            elif how < 0.6:
                counts[point] = {"planned": count}
            elif how < 0.8:
                counts[point] = {"planned": count, "knitted": count}
            else:
                counts[point] = {"planned": count, "knitted": count, "counted": real[point]}
        if counts:
            piece["counts"] = counts
        piece["stages"] = self._piece_stages(kind, real, dial, off, turn, make)
        return piece

    def _piece_stages(
        self, kind: str, real: dict[str, int], dial: float, off: float, turn: int, make: Raw
    ) -> list[Raw]:
        stages: list[Raw] = []
        points = [point for point in OF_PIECE[kind] if point not in LACKS[self.construction]]
        laid_over = "garment" in make.get("fits", {}) and self.maybe(0.12)
        kinds = self.chance.choices(
            (
                ("blocked",),
                ("off_machine", "blocked"),
                ("off_machine",),
                ("rested", "blocked"),
                ("off_machine", "rested"),
                ("blocked", "blocked"),
                (),
            ),
            (8, 6, 2, 2, 1, 1, 1),
        )[0]
        for number, stage_kind in enumerate(kinds):
            done = stage_kind == "blocked"
            stage: Raw = {"kind": stage_kind, "on": self.on(10 + 8 * turn + 2 * number)}
            few = not done and self.maybe(0.6)
            readings: Raw = {}
            for point in points:
                if (few and point not in ("chest", "body_length", "upper_arm", "sleeve_length")) or self.maybe(0.15):
                    continue
                row = point not in ACROSS
                if point in real:
                    mm = real[point] * self.stitch(dial, row=row, finished=done) * off
                else:
                    mm = self.piece_truth(point, kind) * off
                readings[point] = self._looked(mm, kind=stage_kind, last=number == len(kinds) - 1)
            if laid_over and done:
                stage["overhangs"] = {
                    point: self.length(self.chance.gauss(0, 7), signed=True) for point in points[:4] if self.maybe(0.9)
                }
            elif readings:
                stage["readings"] = readings
            if done and self.maybe(0.4):
                stage["blocking"] = self.chance.choice(("patted", "patted", "pinned", "steamed"))
                stage["treatment"] = "hand wash"
            if done and self.maybe(0.04):
                stage["pinned"] = [self.chance.choice(("across", "along"))]
            if self.maybe(0.2):
                stage["grams"] = 160
            stages.append(stage)
        return stages

    def _looked(self, mm: float, *, kind: str, last: bool) -> Any:
        """Readings of a piece; now and then with a second round after the verdict was seen."""
        taken = self.readings(mm)
        if kind == "blocked" and last and isinstance(taken, list) and self.maybe(0.12):
            again = {"text": self.length(self.chance.gauss(mm, self.tape_mm)), "look": 2}
            return [*(reading if isinstance(reading, dict) else {"text": reading} for reading in taken), again]
        return taken
