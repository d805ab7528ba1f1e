"""Several versions of one size table brought into one grid, so that each cell stands beside the same cell."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from fitcheck.records.row_labels import key_of

Typed = Mapping[str, str]


def aligned(forms: Sequence[Typed]) -> list[dict[str, str]]:
    """The same forms with one order of sizes and rows; what one of them lacks is empty in it."""
    sizes = list(dict.fromkeys(name for form in forms for name in _sizes(form) if name))
    rows = {key: label for form in reversed(forms) for key, label in _rows(form) if key}
    order = list(dict.fromkeys(key for form in forms for key, _ in _rows(form) if key))
    filled = []
    for form in forms:
        plain = {name: text for name, text in form.items() if not name.startswith(("c_", "size_", "row_"))}
        plain |= {"columns": str(len(sizes)), "rows": str(len(order))}
        plain |= {f"size_{place}": name for place, name in enumerate(sizes)}
        plain |= {f"row_{number}": rows[key] for number, key in enumerate(order)}
        cells = _cells(form)
        for number, key in enumerate(order):
            for place, name in enumerate(sizes):
                plain[f"c_{number}_{place}"] = cells.get((key, name), "")
        filled.append(plain)
    return filled


def cell_names(form: Typed) -> dict[str, str]:
    """What each cell of a grid is called: "back chest, size 42"."""
    return {
        f"c_{number}_{place}": f"{label}, size {name}"
        for number, (_, label) in enumerate(_rows(form))
        for place, name in enumerate(_sizes(form))
    }


def _sizes(form: Typed) -> list[str]:
    return [form.get(f"size_{place}", "").strip() for place in range(int(form.get("columns") or 0))]


def _rows(form: Typed) -> Iterator[tuple[str, str]]:
    """The rows: which point each is of (its label where that names none), and its label."""
    for number in range(int(form.get("rows") or 0)):
        label = form.get(f"row_{number}", "").strip()
        yield key_of(label) or label, label


def _cells(form: Typed) -> dict[tuple[str, str], str]:
    sizes = _sizes(form)
    return {
        (key, name): text
        for number, (key, _) in enumerate(_rows(form))
        for place, name in enumerate(sizes)
        if (text := form.get(f"c_{number}_{place}", "").strip())
    }
