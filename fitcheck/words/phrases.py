"""Small helps to put a sentence together: capitals, full stops, lists, plurals, words for a direction."""

from __future__ import annotations

from collections.abc import Sequence


def spaced(code: str) -> str:
    """A code or key as words: "left_front" is "left front"."""
    return code.replace("_", " ")


def key_words(key: str) -> str:
    """A key that a person chose as words: "grey-at_7" is "grey at 7"."""
    return spaced(key).replace("-", " ")


def capital(text: str) -> str:
    """A text with its first letter large."""
    return text[:1].upper() + text[1:]


def small_first(text: str) -> str:
    """A text with its first letter small; a first word in capitals keeps them."""
    first = text.split(" ", 1)[0]
    return text if first.isupper() and len(first) > 1 else text[:1].lower() + text[1:]


def sentence(text: str) -> str:
    """A text with a capital and a full stop; its own end is kept."""
    text = capital(text.strip())
    return text if not text or text[-1] in ".?!" else text + "."


def listed(parts: Sequence[str], last: str = "and", *, mark: str = ",") -> str:
    """ "chest, hem and neck width"; `last` joins the last one; `mark` is ";" for parts with a comma."""
    return parts[0] if len(parts) == 1 else f"{f'{mark} '.join(parts[:-1])} {last} {parts[-1]}"


def count_words(number: int, noun: str) -> str:
    """A number with its noun: "1 reading", "3 stitches"."""
    if number != 1:
        noun += "es" if noun.endswith("ch") else "s"
    return f"{number} {noun}"


def times_words(number: int) -> str:
    """ "once", "twice", "3 times"."""
    return {1: "once", 2: "twice"}.get(number, f"{number} times")


def counted_words(direction: str, number: int) -> str:
    """Rows along, stitches otherwise: "2 rows"."""
    return count_words(number, "row" if direction == "along" else "stitch")


def side_word(direction: str, difference: float, *, comparative: bool = False) -> str:
    """The word for smaller or larger in a direction: "narrow", "longer"."""
    across = direction == "across"
    if comparative:
        word = ("narrower", "wider") if across else ("shorter", "longer")
    else:
        word = ("narrow", "wide") if across else ("short", "long")
    return word[difference >= 0]


def measure_word(direction: str) -> str:
    """What a measure in a direction is: a length along, a width otherwise."""
    return "length" if direction == "along" else "width"


_FEW = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


def few(count: int) -> str:
    """A small number as a word."""
    return _FEW[count] if 0 <= count < len(_FEW) else str(count)
