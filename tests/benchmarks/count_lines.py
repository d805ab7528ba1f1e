"""How much product code there is, room by room: lines of code without blank lines, comments and docstrings.

Counted are the Python of fitcheck and webui, the templates and the scripts. Run it from the top folder:

    python tests/benchmarks/count_lines.py [FOLDER]
"""

from __future__ import annotations

import ast
import io
import re
import sys
import tokenize
from collections import Counter
from pathlib import Path

_NO_CODE = {tokenize.COMMENT, tokenize.NL, tokenize.NEWLINE, tokenize.INDENT, tokenize.DEDENT, tokenize.ENDMARKER}
_SCRIPT_COMMENT = re.compile(r"/\*.*?\*/|^\s*//[^\n]*", re.S | re.M)
_TEMPLATE_COMMENT = re.compile(r"\{#.*?#\}|<!--.*?-->", re.S)


def python_lines(text: str) -> int:
    """Lines of Python that hold code: no docstring, no text that stands by itself to explain a constant."""
    said: set[int] = set()
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant) and isinstance(node.value.value, str):
            said |= set(range(node.lineno, (node.end_lineno or node.lineno) + 1))
    held: set[int] = set()
    for token in tokenize.generate_tokens(io.StringIO(text).readline):
        if token.type not in _NO_CODE:
            held |= set(range(token.start[0], token.end[0] + 1))
    return len(held - said)


def other_lines(text: str, comment: re.Pattern[str]) -> int:
    """Lines of a template or script that hold anything but comments."""
    return sum(bool(line.strip()) for line in comment.sub("", text).splitlines())


def counted(top: Path) -> Counter[str]:
    """Lines of code per room."""
    lines: Counter[str] = Counter()
    for path in sorted(path for package in ("fitcheck", "webui") for path in (top / package).rglob("*")):
        inside = path.relative_to(top)
        room = "/".join(inside.parts[:2]) if len(inside.parts) > 2 else inside.parts[0]
        if path.suffix == ".py":
            lines[room] += python_lines(path.read_text("utf-8"))
        elif path.suffix == ".html":
            lines[room] += other_lines(path.read_text("utf-8"), _TEMPLATE_COMMENT)
        elif path.suffix == ".js":
            lines[room] += other_lines(path.read_text("utf-8"), _SCRIPT_COMMENT)
    return lines


def main() -> None:
    """Print the lines of each room and all of them."""
    lines = counted(Path(sys.argv[1]) if len(sys.argv) > 1 else Path())
    for room, many in lines.items():
        print(f"{many:7,}  {room}")
    print(f"{sum(lines.values()):7,}  in all")


if __name__ == "__main__":
    main()
