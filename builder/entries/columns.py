"""A column of numbers as it comes from paper, a spreadsheet or a file ─► its values, one text each.

One a line, or several with commas, semicolons, tabs or spaces between them. A fraction stays with its whole number
(`3 7/64`), a unit with its number (`36.5 mm`), and a dash that stands alone for a value that was not taken.
"""

from __future__ import annotations

import re

from builder.entries.keeping import Refused
from builder.lengths import plain_fractions
from builder.words import counted

#: What a line may begin with that is no value: a mark of a list.
_BULLET = re.compile(r"^\s*[*•]\s+")
_NUMBER = r"(?:\d+[ -]\d+/\d+|\d+/\d+|\d+\.\d+|\.\d+|\d+)"
_UNIT = r"(?:\s*(?:inches|inch|in|mm|cm|thou|cents?|lbs?|oz|kg|g|[\"″¢])(?![A-Za-z]))?"
_VALUE = re.compile(rf"[+−–-]?{_NUMBER}{_UNIT}", re.ASCII)
_NOT_TAKEN = re.compile(r"[-–—](?=\s|$)")
_BETWEEN = re.compile(r"\s+|$")
_DECIMAL_COMMA = re.compile(r"\d,\d")

#: How a value that was not taken is written in a column.
NOT_TAKEN = "-"


def values_of(text: str, count: int | None = None) -> tuple[str, ...]:
    """The values of a column, each as it was written; raises Refused where one is no number.

    `count` is how many there should be, if that is known: it tells commas that part values from decimal commas.
    """
    lines = [_BULLET.sub("", plain_fractions(line)).strip() for line in text.splitlines()]
    lines = [line for line in lines if line]
    if not lines:
        raise Refused("there are no numbers here", "paste them, or name a file with --from")
    _refuse_decimal_commas(lines, count)
    values: list[str] = []
    for number, line in enumerate(lines, 1):
        for piece in re.split(r"[,;\t]", line):
            values += _values_in(piece.strip(), number)
    return tuple(values)


def counted_values(text: str, count: int, what: str) -> tuple[str, ...]:
    """The same, where exactly so many belong; `what` names them, for the refusal."""
    values = values_of(text, count)
    if len(values) != count:
        said = f"this makes {counted(len(values), 'value')} for {counted(count, what)}"
        raise Refused(said, f"write one for each, in order; {NOT_TAKEN} where none was taken")
    return values


def _values_in(piece: str, line: int) -> list[str]:
    values, place = [], 0
    while place < len(piece):
        found = _NOT_TAKEN.match(piece, place) or _VALUE.match(piece, place)
        behind = _BETWEEN.match(piece, found.end()) if found else None
        if found is None or behind is None:
            raise Refused(
                f"«{piece[place:][:40]}» on line {line} is no number", "write it like 3 7/64, 0.002 or 36.5 mm"
            )
        values.append(NOT_TAKEN if found.re is _NOT_TAKEN else _plain(found[0]))
        place = behind.end()
    return values


def _plain(value: str) -> str:
    """With an ordinary minus, which is how records are written."""
    return f"-{value[1:]}" if value[0] in "−–" else value


def _refuse_decimal_commas(lines: list[str], count: int | None) -> None:
    """A comma inside a number would part it in two."""
    apart = [part for line in lines for part in re.split(r"[;\s]+", line)]
    commas = [part for part in apart if _DECIMAL_COMMA.search(part)]
    if not commas or any("." in part or part.count(",") > 1 for part in commas):
        return
    one_each = len(lines) > 1 and all(len(re.findall(r"\d,\d", line)) <= 1 for line in lines)
    if one_each or len(apart) == count:
        hint = f"write a decimal point: {commas[0].replace(',', '.')}"
        raise Refused(f"«{commas[0]}» has a comma in its number", hint)
