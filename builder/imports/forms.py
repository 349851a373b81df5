"""How days are written in a spreadsheet, `M/D/YYYY`, and the same day as a record has it."""

from __future__ import annotations

import re
from dataclasses import dataclass

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_PARTS = {
    "YYYY": r"(?P<year>\d{4})",
    "MMM": rf"(?P<name>{'|'.join(_MONTHS)})[a-z]*\.?",
    "MM": r"(?P<month>\d{1,2})",
    "M": r"(?P<month>\d{1,2})",
    "DD": r"(?P<day>\d{1,2})",
    "D": r"(?P<day>\d{1,2})",
}
_EXAMPLE = "write it like M/D/YYYY, D.M.YYYY or D MMM YYYY"
#: A day may have the midnight behind it that a spreadsheet writes of itself.
_MIDNIGHT = r"(?:[ T]0?0:00(?::00)?)?"
_COUNTED_DAYS = re.compile(r"[1-9]\d{4}(?:\.0)?", re.ASCII)


class NoForm(Exception):
    """This says no order of day, month and year."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(f"{message}; {hint}")
        self.message, self.hint = message, hint


@dataclass(frozen=True, slots=True)
class DayForm:
    """How the days of a column are written: as said by the maker, and as a pattern."""

    said: str
    pattern: str


def day_form(said: str) -> DayForm:
    """`M/D/YYYY`: D, M and YYYY once each, MMM for the first letters of a month's English name. Raises NoForm."""
    pieces = re.findall(r"[A-Za-z]+|[^A-Za-z]+", said.strip())
    letters = [piece.upper() for piece in pieces if piece.isalpha()]
    if "YY" in letters:
        raise NoForm(f"«{said}» has two figures for the year, which may be of any century", "write years with four")
    kinds = sorted(piece[:1] for piece in letters)
    if kinds != ["D", "M", "Y"] or not set(letters) <= set(_PARTS):
        raise NoForm(f"«{said}» is not how a day can be written", _EXAMPLE)
    return DayForm(said, "".join(_PARTS.get(piece.upper(), re.escape(piece)) for piece in pieces) + _MIDNIGHT)


def day_as_written(cell: str, form: DayForm) -> str:
    """`3/14/2019` as `2019-03-14`. Raises NoForm where the cell is not written in this form."""
    found = re.fullmatch(form.pattern, cell, re.IGNORECASE | re.ASCII)
    if found is None:
        if _COUNTED_DAYS.fullmatch(cell):
            hint = "let the spreadsheet show this column as dates, and save it again"
            raise NoForm(f"«{cell}» is a day as spreadsheets count them", hint)
        raise NoForm(f"«{cell}» is not written {form.said}", "write every day of this column in one way")
    parts = found.groupdict()
    month = _MONTHS.index(parts["name"].lower()) + 1 if parts.get("name") else int(parts["month"])
    return f"{parts['year']}-{month:02d}-{int(parts['day']):02d}"
