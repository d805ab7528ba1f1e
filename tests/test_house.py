"""The house: imports go one way, nothing heavy at import, the top level holds what was agreed."""

from __future__ import annotations

import ast
import json
import re
import subprocess
import sys
import tomllib
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from fitcheck.words import why_not
from tests.benchmarks.bench_report import household

ROOT = Path(__file__).resolve().parent.parent
PACKAGES = ("fitcheck", "webui", "demo_garments")

FLOORS = {
    "records": 1,
    "estimates": 2,
    "knitting": 3,
    "advice": 4,
    "reports": 5,
    "words": 6,
    "drawing": 7,
    "terminal": 7,
    "store": 7,
    "cli": 8,
    "webui": 8,
}
"""Rooms of the house from the ground up; each imports only those below it, and its own."""
ALONE = {"store": {"records"}, "notebook": {"records", "estimates"}, "cli": {*FLOORS, "notebook"} - {"cli"}}
"""Rooms that see only these: the store knows records and nothing else, the notebook stands beside the answer."""
WORDS = (
    "phrases", "said", "phone", "figures", "bed", "costs", "dates", "names", "newer", "as_knitted",
    "demanded",
    "why_no_rest", "why_not", "odd", "pieces_drawn",
    "questions", "faults", "unshaped", "lifting",
    "cannot_say", "data", "copied", "first_piece", "points", "point_lines",
    "explanation", "granted", "bands", "changes", "rest", "measure_again", "knit_again", "recommendation", "changed",
    "reasons", "in_figures", "fabric", "sizes", "in_short", "pages", "shelves", "pasting", "walking", "deeds",
    "wants", "left_out", "carried",
    "table", "history", "knitted", "photographs", "backups", "sharing", "picked_up", "sheet", "at_machine",
    "sheet_page", "replayed", "on_the_needles", "the_rest", "ways_to_join", "seams", "yarn_left", "followed",
    "finished", "home", "which",
)  # fmt: skip
"""Parts of the words, each only from those before it."""


def modules() -> list[Path]:
    return [path for package in PACKAGES for path in sorted((ROOT / package).rglob("*.py"))]


@cache
def imported(path: Path, *, top_only: bool = False) -> list[str]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    nodes = tree.body if top_only else list(ast.walk(tree))
    found = []
    for node in nodes:
        if isinstance(node, ast.Import):
            found += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            found += [f"{node.module}.{alias.name}" for alias in node.names]
    return found


def module_of(path: Path) -> str:
    return ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


def room(name: str) -> str:
    """The room that a module or a name in it belongs to; the package itself for what stands at its door."""
    parts = name.split(".")
    return parts[1] if parts[0] == "fitcheck" and parts[1:2] and parts[1] in {*FLOORS, *ALONE} else parts[0]


def allowed_in(own: str) -> set[str]:
    """The rooms that a room may import."""
    if own in ALONE:
        return ALONE[own]
    if own == "fitcheck":
        return {*FLOORS, "notebook"} - {"cli", "webui"}
    if own == "webui":
        return {*FLOORS, "notebook", "fitcheck"} - {"cli"}
    return {other for other, floor in FLOORS.items() if floor < FLOORS.get(own, 0)}


def wrong_imports(own: str, names: list[str]) -> list[str]:
    ours = [name for name in names if name.split(".")[0] in (*PACKAGES, "tests")]
    wrong = [name for name in ours if room(name) not in {own, *allowed_in(own)}]
    if own in ("cli", "webui", "store"):
        return wrong
    return wrong + [name for name in names if name.split(".")[0] in ("flask", "sqlite3", "waitress", "jinja2")]


def test_imports_go_one_way():
    wrong = {}
    for path in modules():
        own = room(module_of(path))
        names = imported(path)
        if own == "cli":
            names = [name for name in names if name.split(".")[0] not in ("webui", "demo_garments")]
        wrong[str(path.relative_to(ROOT))] = wrong_imports(own, names)
    assert {path: names for path, names in wrong.items() if names} == {}
    assert len(wrong) > 300  # every module was looked at


def circles(arrows: dict[str, set[str]]) -> list[list[str]]:
    """Groups of names that reach one another along the arrows (Tarjan 1972)."""
    order: dict[str, int] = {}
    low: dict[str, int] = {}
    path: list[str] = []
    found = []

    def visit(name: str) -> None:
        order[name] = low[name] = len(order)
        path.append(name)
        for other in sorted(arrows.get(name, ())):
            if other not in order:
                visit(other)
                low[name] = min(low[name], low[other])
            elif other in path:
                low[name] = min(low[name], order[other])
        if low[name] == order[name]:
            group = path[path.index(name) :]
            del path[path.index(name) :]
            if len(group) > 1:
                found.append(sorted(group))

    for name in sorted(arrows):
        if name not in order:
            visit(name)
    return found


def arrows_between(place: Callable[[str], str]) -> dict[str, set[str]]:
    """Who imports whom, at any depth of a module; modules told apart by `place`."""
    names = {module_of(path) for path in modules()}
    arrows: dict[str, set[str]] = {}
    for path in modules():
        for name in imported(path):
            module = name if name in names else name.rpartition(".")[0]
            own, other = place(module_of(path)), place(module)
            if module in names and own != other:
                arrows.setdefault(own, set()).add(other)
    return arrows


def test_no_circle_of_imports_between_modules():
    assert circles(arrows_between(lambda name: name)) == []


def test_no_circle_of_imports_between_rooms():
    packages = {module_of(path) for path in modules() if path.name == "__init__.py"}

    mixed = {name.rpartition(".")[0] for name in packages}

    def folder(name: str) -> str:
        # A module that lies beside folders is a room of its own, and so is a package's door.
        above = name.rpartition(".")[0]
        return name if name in packages or above in mixed else above

    assert circles(arrows_between(folder)) == []


def test_the_search_for_circles_sees_one():
    assert circles({"a": {"b"}, "b": {"c"}, "c": {"a"}, "d": {"a"}}) == [["a", "b", "c"]]


def knitting_seen_from(module: str) -> set[str]:
    """Modules of the room of knitting that one of them imports, directly or by others."""
    seen: set[str] = set()
    waiting = [module]
    while waiting:
        path = ROOT / "fitcheck" / "knitting" / f"{waiting.pop()}.py"
        for name in imported(path):
            parts = name.split(".")
            if parts[:2] == ["fitcheck", "knitting"] and parts[2] not in seen:
                seen.add(parts[2])
                waiting.append(parts[2])
    return seen


def test_the_replay_knows_lines_and_needles_and_nothing_of_the_plans():
    assert knitting_seen_from("replay") == {"lines", "needles"}
    assert "plan" in knitting_seen_from("sheet")


@pytest.mark.parametrize("suffix", ["*.py", "*.js"])
def test_no_file_is_longer_than_600_lines(suffix):
    found = [path for package in ("fitcheck", "webui") for path in (ROOT / package).rglob(suffix)]
    lines = {str(path.relative_to(ROOT)): len(path.read_text("utf-8").splitlines()) for path in found}
    assert {path: many for path, many in lines.items() if many > 600} == {}


def test_a_reason_is_a_code_with_values_and_its_sentences_stand_in_the_words():
    made = {}
    texts = {path: path.read_text(encoding="utf-8") for path in modules()}
    for path in (path for path, text in texts.items() if "CannotSay(" in text or "Refused(" in text):
        for node in ast.walk(ast.parse(texts[path])):
            called = node.func.id if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) else ""
            if called == "CannotSay" or (called == "Refused" and path.is_relative_to(ROOT / "fitcheck")):
                code = node.args[0]
                if isinstance(code, ast.Constant):
                    assert len(node.args) == 1, f"{path}:{node.lineno}"
                    made[code.value] = path
    assert made.keys() == why_not._SAID.keys()


def test_the_parts_of_the_words_build_on_those_before_them():
    folder = ROOT / "fitcheck" / "words"
    assert {path.stem for path in folder.glob("*.py")} == {"__init__", *WORDS}
    for place, part in enumerate(WORDS):
        of_words = [name for name in imported(folder / f"{part}.py") if name.startswith("fitcheck.words")]
        assert {name.split(".")[2] for name in of_words} <= set(WORDS[:place]), part


def test_nothing_heavy_is_imported_at_module_level():
    def heavy(path, **where):
        return [name for name in imported(path, **where) if name.split(".")[0] in ("scipy", "pint")]

    somewhere = [path for path in modules() if heavy(path)]
    assert somewhere
    assert {path: names for path in somewhere if (names := heavy(path, top_only=True))} == {}


def test_a_frozen_value_is_made_by_the_one_decorator_that_costs_no_start_up():
    """It stands in ``records/frozen.py``, which says why."""
    dear = re.compile(r"^ *@dataclass\([^)]*frozen=True", re.MULTILINE)
    assert dear.search("@dataclass(slots=True, frozen=True)\nclass Dear:")
    assert [path for path in modules() if dear.search(path.read_text(encoding="utf-8"))] == []


def test_every_package_that_is_imported_is_declared():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    declared = {re.match(r"\w+", dependency)[0].lower() for dependency in project["dependencies"]}
    third = {name.partition(".")[0] for path in modules() for name in imported(path)}
    third -= {*sys.stdlib_module_names, *PACKAGES, "_typeshed"}
    assert third - {"pydantic_core"} == declared  # its version is the one that pydantic names


def test_the_import_test_sees_a_wrong_import(tmp_path):
    wrong = tmp_path / "wrong.py"
    wrong.write_text("def f():\n    from fitcheck.advice.decide.decision import recommend\n", encoding="utf-8")
    assert imported(wrong) == ["fitcheck.advice.decide.decision.recommend"]
    assert wrong_imports("estimates", imported(wrong)) == imported(wrong)
    assert wrong_imports("store", imported(wrong)) == imported(wrong)
    assert wrong_imports("reports", imported(wrong)) == []


def test_the_top_level_holds_what_was_agreed():
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if listed.returncode:
        names = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    else:
        names = {line.split("/")[0] for line in listed.stdout.splitlines()}
        names = {name for name in names if not name.startswith(".")}
    agreed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "fitcheck", "webui", "tests", "demo_garments"}
    assert names <= agreed


def test_every_file_that_the_developers_document_names_is_there():
    named = re.findall(
        r"`([\w./-]+\.(?:py|js|css|html|json|toml))`", (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    )
    held = {f"/{path.relative_to(ROOT)}" for top in (*PACKAGES, "tests") for path in (ROOT / top).rglob("*.*")}
    addresses = {"/tapes.css", "make.json"}
    gone = {name for name in named if not any(path.endswith(f"/{name}") for path in held)} - addresses
    assert len(named) > 300
    assert not {name for name in gone if not name.startswith(".ci/")}


def loaded_by(*codes: str) -> list[set[str]]:
    """What a new process has loaded after each of these, one after the other."""
    text = "import sys\n" + "\n".join(f"{code}\nprint('loaded:', *sorted(sys.modules))" for code in codes)
    done = subprocess.run([sys.executable, "-c", text], capture_output=True, text=True, check=True)
    return [set(line.split()[1:]) for line in done.stdout.splitlines() if line.startswith("loaded: ")]


def test_neither_importing_fitcheck_nor_its_help_loads_anything_heavy():
    helped = "from fitcheck.cli import main\ntry:\n    main(['--help'])\nexcept SystemExit:\n    pass"
    by_import, by_help = loaded_by("import fitcheck; dir(fitcheck)", helped)
    assert "fitcheck.cli" in by_help - by_import
    heavy = {"numpy", "scipy", "pydantic", "pint", "flask"}
    assert not by_import & heavy
    assert not by_help & (heavy | {"fitcheck.reports", "sqlite3"})


def test_a_report_loads_nothing_that_it_does_not_ask_for_and_builds_the_checks_of_records_once(tmp_path):
    file = tmp_path / "make.json"
    file.write_text(json.dumps(household()), encoding="utf-8")
    reported, built = loaded_by(
        f"from fitcheck.cli import main; assert main(['report', {str(file)!r}]) == 0",
        """
from fitcheck.records.base import Record
kinds = [Record]
for kind in kinds:
    kinds.extend(kind.__subclasses__())
sys.modules.update({f"built:{kind.__name__}": None for kind in kinds if kind.__pydantic_complete__})""",
    )
    elsewhere = {"scipy", "pint", "flask", "jinja2", "sqlite3", "logging", "fitcheck.drawing", "fitcheck.store"}
    asked_for = {
        "fitcheck.knitting.replay",
        "fitcheck.knitting.written",
        "fitcheck.words.fabric",
        "fitcheck.words.sizes",
    }
    assert "fitcheck.reports.shaped" in reported
    assert not reported & (elsewhere | asked_for)
    assert {name for name in built if name.startswith("built:")} == {"built:Household"}


@pytest.mark.full
def test_words_and_report_load_what_is_of_fabric_and_sizes_only_where_it_is_asked_for():
    words = {"fitcheck.words.fabric", "fitcheck.words.sizes"}
    models = {"fitcheck.advice.fabric.of_make", "fitcheck.estimates.fabric.fit", "fitcheck.advice.sizes.which_size"}
    shapes = {"fitcheck.advice.groups", "fitcheck.advice.sizes.answers", "fitcheck.estimates.fabric.assumptions"}
    seldom, asked = loaded_by(
        "import fitcheck.words, fitcheck.terminal.report, fitcheck.reports.shaped",
        "import fitcheck.terminal.fabric, fitcheck.terminal.sizes\n"
        "import fitcheck.advice.fabric.of_make, fitcheck.advice.sizes.which_size",
    )
    assert not seldom & (words | models | shapes)
    assert asked >= words | models


@pytest.mark.full
def test_counts_of_five_pieces_and_why_there_are_none_need_no_integer_programme():
    """Each part of them has so few combinations that all are looked at."""
    code = """
from fitcheck.advice.rest.counts import counts_for_rest
from tests.benchmarks.bench_rest import programme
assert counts_for_rest(programme()).counts
assert counts_for_rest(programme(possible=False)).to_lift
"""
    (loaded,) = loaded_by(code)
    assert not {name for name in loaded if name.startswith(("scipy.optimize", "scipy.sparse"))}


def test_every_lazy_name_is_there_and_the_report_is_a_function_even_after_its_room_was_imported():
    loaded_by(
        "import fitcheck.reports, fitcheck\nassert callable(fitcheck.report)\n"
        "for name in fitcheck.__all__: assert getattr(fitcheck, name) is not None, name"
    )
