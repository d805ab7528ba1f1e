"""What one record cannot know: references, needles and dial of the machine, points that a piece lacks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import field
from datetime import date
from typing import Any

from fitcheck.records.base import Count, Record
from fitcheck.records.bounds import MOST_ENTRIES
from fitcheck.records.constructions import CONSTRUCTIONS, Construction, ConstructionKey
from fitcheck.records.faults import Accepts
from fitcheck.records.frozen import frozen
from fitcheck.records.garments import Garment
from fitcheck.records.households import Household, TapePool
from fitcheck.records.machines import Dial, Machine
from fitcheck.records.makes import Make, Piece
from fitcheck.records.places import Path
from fitcheck.records.points import FRONTS, POINTS, SLEEVES, PieceKind
from fitcheck.records.readings import Reading
from fitcheck.records.refusals import MOST_TOLD, Refusal, names_of, shown
from fitcheck.records.size_tables import Size, SizeTable
from fitcheck.records.stages import Stage
from fitcheck.records.swatches import Swatch
from fitcheck.records.wearers import Wearer
from fitcheck.records.yarns import Yarn

KINDS: Mapping[str, type[Record]] = {
    "wearers": Wearer,
    "garments": Garment,
    "yarns": Yarn,
    "machines": Machine,
    "swatches": Swatch,
    "size_tables": SizeTable,
    "makes": Make,
}
"""The lists of a household and what stands in them."""

_NOUNS = {
    "wearers": "wearer",
    "garments": "garment",
    "yarns": "yarn",
    "machines": "machine",
    "swatches": "swatch",
    "size_tables": "size table",
    "makes": "make",
}


@frozen
class Shelf:
    """The records of a household, each with its number in its list.

    In a record that was read in part, what was refused is None, or empty where several entries belong.

    named    ids of every record of a kind, as written: a reference to one of these stands
    refused  places at which, or inside which, something was refused
    sought   runs out with the unknown names of which it is worth saying what may have been meant
    """

    tape: TapePool
    records: Mapping[str, Mapping[int, Any]]
    named: Mapping[str, frozenset[str]]
    refused: frozenset[Path] = frozenset()
    sought: Iterator[int] = field(default_factory=lambda: iter(range(MOST_TOLD)))
    _numbers: dict[str, dict[str, int]] = field(init=False)

    def __post_init__(self) -> None:
        numbers = {
            kind: {one.id: n for n, one in kept.items() if one.id is not None} for kind, kept in self.records.items()
        }
        object.__setattr__(self, "_numbers", numbers)

    @classmethod
    def of(cls, household: Household) -> Shelf:
        """Return the shelf of a household in which every record was taken."""
        records = {kind: dict(enumerate(getattr(household, kind))) for kind in KINDS}
        named = {kind: frozenset(record.id for record in kept.values()) for kind, kept in records.items()}
        return cls(household.tape, records, named)

    def get(self, kind: str, key: str | None) -> Any:
        """Return the record of a kind with this id; None when it is not there."""
        number = self.number(kind, key)
        return None if number is None else self.records[kind][number]

    def number(self, kind: str, key: str | None) -> int | None:
        """Return the place of that record in its list."""
        return None if key is None else self._numbers[kind].get(key)


def cross_checks(shelf: Shelf) -> list[Refusal]:
    """Check records against each other; every refusal at once."""
    found = list(_unique_ids(shelf))
    found += _tape(shelf)
    for number, wearer in shelf.records["wearers"].items():
        found += _wearer(wearer, ("wearers", number))
    for number, garment in shelf.records["garments"].items():
        found += _garment(shelf, garment, ("garments", number))
    for number, machine in shelf.records["machines"].items():
        found += _machine(machine, ("machines", number))
    for number, swatch in shelf.records["swatches"].items():
        found += _swatch(shelf, swatch, ("swatches", number))
    for number, table in shelf.records["size_tables"].items():
        found += _size_table(table, ("size_tables", number))
    for number, make in shelf.records["makes"].items():
        found += _make(shelf, make, ("makes", number))
    return found


# Ids and references


def _unique_ids(shelf: Shelf) -> Iterator[Refusal]:
    for kind, kept in shelf.records.items():
        yield from _unique(((number, one.id) for number, one in kept.items()), (kind,), _NOUNS[kind])


def _unique(ids: Iterable[tuple[int, str | None]], place: Path, noun: str) -> Iterator[Refusal]:
    seen: set[str] = set()
    for number, key in ids:
        if key is None:
            continue
        if key in seen:
            yield Refusal((*place, number, "id"), shown(key), Accepts("id_of_its_own", noun=noun))
        seen.add(key)


def _twice(keys: Sequence[str], place: Path) -> Iterator[Refusal]:
    seen: set[str] = set()
    for number, key in enumerate(keys):
        if key in seen:
            yield Refusal((*place, number), shown(key), Accepts("each_once"))
        seen.add(key)


def _unknown(shelf: Shelf, noun: str, key: str, names: Iterable[str], place: Path) -> Refusal:
    known = sorted(names) if next(shelf.sought, None) is not None else []
    accepts = Accepts("id_of", noun=noun, **names_of(known, key)) if known else Accepts("record", noun=noun)
    return Refusal(place, shown(key), accepts)


def _named(shelf: Shelf, kind: str, key: str | None, place: Path) -> Iterator[Refusal]:
    if key is not None and key not in shelf.named[kind]:
        yield _unknown(shelf, _NOUNS[kind], key, shelf.named[kind], place)


def _tape(shelf: Shelf) -> Iterator[Refusal]:
    for number, one in enumerate(shelf.tape.sets):
        if one.of is not None and not any(one.of in names for names in shelf.named.values()):
            names = frozenset[str]().union(*shelf.named.values())
            yield _unknown(shelf, "record", one.of, names, ("tape", "sets", number, "of"))


def _readings(lists: Sequence[tuple[Path, Sequence[Reading]]], record: Path) -> Iterator[Refusal]:
    """Readings are no more than anybody takes, and their ids unique within the record that they stand in."""
    count = sum(len(readings) for _, readings in lists)
    if count > MOST_ENTRIES:
        yield Refusal(record, f"{count:,} readings", Accepts("readings_of_a_record", most=MOST_ENTRIES))
    seen: set[str] = set()
    for place, readings in lists:
        for number, reading in enumerate(readings):
            if reading.id is not None:
                if reading.id in seen:
                    accepts = Accepts("id_of_its_own", noun="reading")
                    yield Refusal((*place, number, "id"), shown(reading.id), accepts)
                seen.add(reading.id)


# Points of measure


def _generic(piece: PieceKind) -> PieceKind:
    return "front" if piece in FRONTS else "sleeve" if piece in SLEEVES else piece


def _plain(piece: PieceKind) -> str:
    return piece.replace("_", " ")


def _of_piece(points: Iterable[str], piece: PieceKind, place: Path) -> Iterator[Refusal]:
    for key in points:
        if piece is not None and piece not in POINTS[key].pieces:
            has = tuple(name for name, point in POINTS.items() if piece in point.pieces)
            accepts = Accepts("point_of_this_piece", piece=_plain(piece), lacks=POINTS[key].name, has=has)
            yield Refusal((*place, key), shown(key), accepts)


def _of_construction(points: Iterable[str], construction: Construction | None, place: Path) -> Iterator[Refusal]:
    if construction is None:
        return
    for key in points:
        point = POINTS[key]
        reason = construction.lacks.get(key, "")
        if not reason and point.pieces and not any(_generic(piece) in construction.pieces for piece in point.pieces):
            reason = f"{_with_article(construction)} has no {_plain(point.pieces[0])}"
        if reason:
            yield Refusal((*place, key), shown(key), Accepts("point_of_this_construction", because=reason))


def _with_article(construction: Construction) -> str:
    return construction.name if construction.panels else f"a sweater with {construction.name}s"


def _construction(key: ConstructionKey | None) -> Construction | None:
    """Return the construction; None where it was refused, and then nothing is held against it."""
    return None if key is None else CONSTRUCTIONS[key]


# Record by record


def _garment(shelf: Shelf, garment: Garment, place: Path) -> Iterator[Refusal]:
    yield from _named(shelf, "wearers", garment.wearer, (*place, "wearer"))
    occasions = (*place, "occasions")
    yield from _unique(((n, one.id) for n, one in enumerate(garment.occasions)), occasions, "occasion")
    construction = _construction(garment.construction)
    lists: list[tuple[Path, Sequence[Reading]]] = []
    for number, occasion in enumerate(garment.occasions):
        at = (*occasions, number, "readings")
        yield from _of_construction(occasion.readings, construction, at)
        lists += [((*at, key), readings) for key, readings in occasion.readings.items()]
    yield from _readings(lists, place)
    if garment.knitted is None:
        return
    for piece, counts in garment.knitted.counts.items():
        yield from _of_piece(counts, piece, (*place, "knitted", "counts", piece))
    yield from _of_construction(garment.knitted.fit, construction, (*place, "knitted", "fit"))


def _wearer(wearer: Wearer, place: Path) -> Iterator[Refusal]:
    lists: list[tuple[Path, Sequence[Reading]]] = [((*place, "head"), wearer.head)]
    lists += [((*place, "body", key), readings) for key, readings in wearer.body.items()]
    yield from _readings(lists, place)


def _machine(machine: Machine, place: Path) -> Iterator[Refusal]:
    low, high = machine.lowest_dial, machine.highest_dial
    for name, dial in (("lowest_dial", low), ("highest_dial", high)):
        yield from _marks(machine, dial, (*place, name))
    if not _has_dial(machine):
        return
    if low.position(machine.marks) > high.position(machine.marks):
        accepts = Accepts("setting_above_the_lowest", lowest=low.written())
        yield Refusal((*place, "highest_dial"), high.written(), accepts)


def _has_dial(machine: Machine) -> bool:
    """Whether the dial of a machine was read whole."""
    low, high = machine.lowest_dial, machine.highest_dial
    return None not in (machine.marks, low.number, low.marks, high.number, high.marks)


def _marks(machine: Machine, dial: Dial, place: Path) -> Iterator[Refusal]:
    if None not in (dial.number, dial.marks, machine.marks) and dial.marks > machine.marks:
        yield Refusal(place, dial.written(), Accepts("marks_after_a_number", most=machine.marks))


def _dial(machine: Machine | None, dial: Dial | None, place: Path) -> Iterator[Refusal]:
    if machine is None or dial is None:
        return
    yield from _marks(machine, dial, place)
    if not _has_dial(machine) or None in (dial.number, dial.marks):
        return
    low, high = machine.lowest_dial, machine.highest_dial
    lowest, highest = low.position(machine.marks), high.position(machine.marks)
    if lowest <= highest and not lowest <= dial.position(machine.marks) <= highest:
        yield Refusal(place, dial.written(), Accepts("setting", lowest=low.written(), highest=high.written()))


def _in_order(stages: Sequence[Stage], place: Path) -> Iterator[Refusal]:
    """A change in finishing is between a stage and the next, so their dates must not run backwards."""
    latest: date | None = None
    for number, stage in enumerate(stages):
        if stage.on is not None:
            if latest is not None and stage.on < latest:
                accepts = Accepts("date_after_the_stage_before", earliest=latest.isoformat())
                yield Refusal((*place, number, "on"), stage.on.isoformat(), accepts)
            latest = stage.on


def _swatch(shelf: Shelf, swatch: Swatch, place: Path) -> Iterator[Refusal]:
    yield from _named(shelf, "yarns", swatch.yarn, (*place, "yarn"))
    yield from _named(shelf, "machines", swatch.machine, (*place, "machine"))
    machine = shelf.get("machines", swatch.machine)
    yield from _dial(machine, swatch.dial, (*place, "dial"))
    if machine is not None and (*place, "stitches") not in shelf.refused:
        yield from _needles(swatch.stitches.between, machine, (*place, "stitches"))
    stages = (*place, "stages")
    yield from _in_order(swatch.stages, stages)
    lists: list[tuple[Path, Sequence[Reading]]] = []
    for number, stage in enumerate(swatch.stages):
        lists += [((*stages, number, "across"), stage.across), ((*stages, number, "along"), stage.along)]
    yield from _readings(lists, place)


def _size_table(table: SizeTable, place: Path) -> Iterator[Refusal]:
    names: set[str] = set()
    for number, size in enumerate(table.sizes):
        if size.name in names:
            at = (*place, "sizes", number, "name")
            yield Refusal(at, shown(size.name), Accepts("one_name_per_size", name=shown(size.name)))
        if size.name is not None:
            names.add(size.name)
    for number, size in enumerate(table.sizes):
        for piece, cells in size.pieces.items():
            yield from _of_piece(cells, piece, (*place, "sizes", number, "pieces", piece))


def _needles(stitches: int | None, machine: Machine, place: Path) -> Iterator[Refusal]:
    if stitches is not None and machine.needles is not None and stitches > machine.needles:
        yield _too_many(stitches, machine, place)


def _too_many(stitches: int, machine: Machine, place: Path) -> Refusal:
    return Refusal(place, f"{stitches} stitches", Accepts("stitches_on_this_bed", needles=machine.needles))


def _make(shelf: Shelf, make: Make, place: Path) -> Iterator[Refusal]:
    yield from _make_names(shelf, make, place)
    construction = _construction(make.construction)
    yield from _fits(shelf, make, construction, place)
    for name in ("wishes", "tolerances", "weights"):
        yield from _of_construction(getattr(make, name), construction, (*place, name))
    if make.panel_width is not None and construction is not None and not construction.panels:
        with_panels = tuple(key for key, built in CONSTRUCTIONS.items() if built.panels)
        accepts = Accepts("construction_with_side_panels", names=with_panels, this_one=make.construction)
        yield Refusal((*place, "panel_width"), make.panel_width.text, accepts)
    planned = [("planned", *each) for each in make.planned.items()]
    for name, piece, counts in [*planned, *(("planned_kept", *each) for each in make.planned_kept.items())]:
        at = (*place, name, piece)
        yield from _of_piece(counts, piece, at)
        yield from _piece_of_construction(piece, construction, at)
        yield from _of_construction(_still_open(counts, piece, construction), construction, at)
    yield from _planned_needles(shelf, make, place)
    yield from _pieces(shelf, make, construction, place)
    if make.started and make.finished and make.finished < make.started:
        accepts = Accepts("date_after_the_start", earliest=make.started.isoformat())
        yield Refusal((*place, "finished"), make.finished.isoformat(), accepts)


def _still_open(points: Iterable[str], piece: PieceKind, construction: Construction | None) -> list[str]:
    """Points to hold against the construction: what is refused with its piece is refused once."""
    if construction is None or _generic(piece) not in construction.pieces:
        return []
    return [key for key in points if piece in POINTS[key].pieces]


def _make_names(shelf: Shelf, make: Make, place: Path) -> Iterator[Refusal]:
    yield from _named(shelf, "wearers", make.wearer, (*place, "wearer"))
    yield from _named(shelf, "yarns", make.yarn, (*place, "yarn"))
    yield from _named(shelf, "machines", make.machine, (*place, "machine"))
    for number, key in enumerate(make.swatches):
        yield from _named(shelf, "swatches", key, (*place, "swatches", number))
    yield from _twice(make.swatches, (*place, "swatches"))
    yield from _named(shelf, "size_tables", make.size_table, (*place, "size_table"))
    yield from _named(shelf, "garments", make.became, (*place, "became"))
    if make.size is not None:
        if (*place, "size_table") in shelf.refused:
            pass  # what it was to be called is not known
        elif make.size_table is None:
            yield Refusal((*place, "size"), shown(make.size), Accepts("size_with_its_table"))
        elif (table := shelf.get("size_tables", make.size_table)) is not None and _size(table, make.size) is None:
            names = [size.name for size in table.sizes]
            if names and None not in names:
                yield Refusal((*place, "size"), shown(make.size), _sizes(names, make.size))
    for number, key in enumerate(make.learns_from):
        at = (*place, "learns_from", number)
        yield from _named(shelf, "makes", key, at)
        if key == make.id:
            yield Refusal(at, shown(key), Accepts("another_make"))
        elif (other := shelf.get("makes", key)) is not None and other.finished is None:
            if ("makes", shelf.number("makes", key), "finished") in shelf.refused:
                continue
            yield Refusal(at, shown(key), Accepts("finished_make"))
    yield from _twice(make.learns_from, (*place, "learns_from"))


def _sizes(names: Sequence[str], read: str) -> Accepts:
    """Name the sizes; XL is not near L, so only the same letters make a guess."""
    same = [name for name in names if name.casefold().split() == read.casefold().split()]
    return Accepts("size_meant", meant=same[0]) if same else Accepts("size", **names_of(names, None))


def _size(table: SizeTable, name: str | None) -> tuple[int, Size] | None:
    return next(((number, size) for number, size in enumerate(table.sizes) if size.name == name), None)


def _fits(shelf: Shelf, make: Make, construction: Construction | None, place: Path) -> Iterator[Refusal]:
    fits, at = make.fits, (*place, "fits")
    yield from _named(shelf, "garments", fits.garment, (*at, "garment"))
    garment: Garment | None = shelf.get("garments", fits.garment)
    if garment is not None and fits.occasion is not None:
        occasions = [occasion.id for occasion in garment.occasions]
        if occasions and fits.occasion not in occasions and None not in occasions:
            yield _unknown(shelf, "measuring of this garment", fits.occasion, occasions, (*at, "occasion"))
    yield from _of_construction(fits.numbers, construction, (*at, "numbers"))
    yield from _of_construction(fits.ease, construction, (*at, "ease"))
    if (*place, "wearer") in shelf.refused:
        return
    if make.wearer is None:
        for key, ease in fits.ease.items():
            if ease is None:
                continue
            yield Refusal((*at, "ease", key), ease.text, Accepts("ease_over_a_wearer"))
        return
    wearer: Wearer | None = shelf.get("wearers", make.wearer)
    if wearer is None:
        return
    body: Path = ("wearers", shelf.number("wearers", make.wearer) or 0, "body")
    for key, ease in fits.ease.items():
        if (
            ease is not None
            and body not in shelf.refused
            and not any(reading.counts for reading in wearer.body.get(key, ()))
        ):
            accepts = Accepts("ease_at_a_point_read_on_the_body", point=POINTS[key].name)
            yield Refusal((*at, "ease", key), ease.text, accepts)


def _planned_needles(shelf: Shelf, make: Make, place: Path) -> Iterator[Refusal]:
    """Planned stitches against the bed: the make's own plan first, else the size that was chosen."""
    machine: Machine | None = shelf.get("machines", make.machine)
    if machine is None:
        return
    for piece, counts in make.planned.items():
        for key, count in counts.items():
            if POINTS[key].direction == "across":
                yield from _needles(count, machine, (*place, "planned", piece, key))
    table: SizeTable | None = shelf.get("size_tables", make.size_table)
    chosen = _size(table, make.size) if table is not None else None
    table_number = shelf.number("size_tables", make.size_table)
    if chosen is None or table_number is None:
        return
    size_number, size = chosen
    for piece, cells in size.pieces.items():
        for key, cell in cells.items():
            if POINTS[key].direction == "across" and key not in make.planned.get(piece, {}):
                at: Path = ("size_tables", table_number, "sizes", size_number, "pieces", piece, key, "count")
                yield from _needles(cell.count, machine, at)


def _pieces(shelf: Shelf, make: Make, construction: Construction | None, place: Path) -> Iterator[Refusal]:
    at = (*place, "pieces")
    yield from _unique(((number, piece.id) for number, piece in enumerate(make.pieces)), at, "piece of this make")
    lists: list[tuple[Path, Sequence[Reading]]] = []
    for number, piece in enumerate(make.pieces):
        here = (*at, number)
        yield from _named(shelf, "yarns", piece.yarn, (*here, "yarn"))
        yield from _named(shelf, "machines", piece.machine, (*here, "machine"))
        yield from _replaced(shelf, make, piece, here)
        yield from _piece_of_construction(piece.piece, construction, (*here, "piece"))
        machine: Machine | None = shelf.get("machines", piece.machine or make.machine)
        if (*here, "machine") in shelf.refused:
            machine = None
        yield from _dial(machine, piece.dial, (*here, "dial"))
        yield from _piece_points(piece, piece.counts, construction, (*here, "counts"))
        if machine is not None:
            for key, counts in piece.counts.items():
                if POINTS[key].direction == "across":
                    for name in ("planned", "knitted", "counted"):
                        count: Count | None = getattr(counts, name)
                        yield from _needles(count, machine, (*here, "counts", key, name))
        yield from _in_order(piece.stages, (*here, "stages"))
        for stage_number, stage in enumerate(piece.stages):
            for name in ("readings", "overhangs", "held_at"):
                there = (*here, "stages", stage_number, name)
                entries = getattr(stage, name)
                yield from _piece_points(piece, entries, construction, there)
                if name != "held_at":
                    lists += [((*there, key), readings) for key, readings in entries.items()]
    yield from _readings(lists, place)


def _piece_points(
    piece: Piece, points: Iterable[str], construction: Construction | None, place: Path
) -> Iterator[Refusal]:
    yield from _of_piece(points, piece.piece, place)
    yield from _of_construction(_still_open(points, piece.piece, construction), construction, place)


def _piece_of_construction(piece: PieceKind, construction: Construction | None, place: Path) -> Iterator[Refusal]:
    if construction is not None and piece is not None and _generic(piece) not in construction.pieces:
        pieces = tuple(_plain(kind) for kind in construction.pieces)
        accepts = Accepts("piece_of_this_construction", pieces=pieces)
        yield Refusal(place, shown(piece), accepts)


def _replaced(shelf: Shelf, make: Make, piece: Piece, place: Path) -> Iterator[Refusal]:
    if piece.replaces is None or any(other.id is None for other in make.pieces):
        return
    at = (*place, "replaces")
    others = {other.id: other for other in make.pieces if other.id != piece.id}
    if piece.replaces not in others:
        yield _unknown(shelf, "earlier piece of this make", piece.replaces, others, at)
    elif None not in (piece.piece, others[piece.replaces].piece) and others[piece.replaces].piece != piece.piece:
        kind = _plain(piece.piece)
        yield Refusal(at, shown(piece.replaces), Accepts("piece_of_the_same_kind", kind=kind))
    else:
        seen = {piece.id}
        earlier: str | None = piece.replaces
        while earlier is not None and earlier not in seen:
            seen.add(earlier)
            earlier = others[earlier].replaces if earlier in others else None
        if earlier is not None:
            yield Refusal(at, shown(piece.replaces), Accepts("earlier_piece"))
