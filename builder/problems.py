"""What is wrong in a record, said so that a maker can mend it: where, what, and what to write instead.

A sum that finds something wrong knows only the field (`Finding`); whoever read the file knows the line, and turns
the finding into a `Problem`. `in_words` is the only place where a problem becomes text.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, get_args

from builder.words import in_a_row

#: An error keeps the site from being built; a warning does not; a hint names what would let a sum begun be done.
Severity = Literal["error", "warning", "hint"]

#: Every code a problem may carry, and what it means. Codes are for life: scripts and notes refer to them.
CODES: dict[str, str] = {
    "unreadable-file": "The file is missing, is not text, is empty, is too large, or cannot be opened.",
    "control-character": "A character that cannot be seen (a tab, a control or a direction mark) is in the file.",
    "yaml-syntax": "The file breaks the grammar of YAML, so nothing after this place could be read.",
    "yaml-feature": "The file uses a part of YAML that records do without: anchors, aliases, tags, merge keys.",
    "second-document": "The file holds more than one YAML document.",
    "duplicate-key": "The same key stands twice in one place.",
    "unknown-key": "A key that has no meaning here, most often a slip of the pen.",
    "missing-key": "A key without which the record makes no sense is absent.",
    "wrong-shape": "A list stands where a single value belongs, or the other way round.",
    "flow-style-trap": "A comma or a # inside { } or [ ] has cut a text in two.",
    "not-understood": "A value cannot be read as what it should be: a length, a note, a date.",
    "unknown-word": "A word that is not one of those possible here.",
    "out-of-range": "A value that no instrument can have, or a text that is too long.",
    "unknown-format": "The file says it is of a format that this version does not know.",
    "folder-serial": "The folder's name and the serial in its record differ.",
    "duplicate-serial": "Two folders claim one serial.",
    "not-in-shop": "The record names something that the shop's own files do not list.",
    "impossible-fret": "A fret is asked for that the layout does not have.",
    "does-not-fit": "Two things in a record that belong together do not agree.",
    "date-order": "A date lies before one that must come first.",
    "address-taken": "Two pages would have the same address.",
    "bad-address": "The file with the address of an unlisted instrument does not hold one that nobody can guess.",
    "no-address": "An unlisted instrument has no address yet, and this command draws none.",
    "address-moved": "An instrument's page has another address than the one printed on its certificate.",
    "address-told": "A page that everybody may read gives the address of an unlisted instrument away.",
    "photo-missing": "The record has words for a photograph that does not lie in the folder photos.",
    "photo-misplaced": "A link, a folder or something else lies among the photographs, or one is named outside of it.",
    "photo-kind": "A file among the photographs is no picture, moves, or is of a kind that is not read here.",
    "photo-broken": "A photograph is empty, cut off, or damaged.",
    "photo-too-large": "A photograph has more pixels than are opened.",
    "mark-missing": "The shop file names a picture as its mark that does not lie beside it.",
    "mark-unusable": "What is to be the shop's mark is no picture of a kind that is read, or is damaged or too large.",
    "recording-missing": "The record has words for a recording that does not lie in the folder recordings.",
    "recording-misplaced": "A link, a folder or something else lies among the recordings, or one is named elsewhere.",
    "recording-kind": "A file among the recordings is no sound, or of a kind that cannot be made bare here.",
    "recording-broken": "A recording is empty, cut off, damaged, or holds no sound.",
    "recording-too-large": "A recording is larger than is played.",
    "half-known": "A sum is begun and cannot be done, for a field it needs is not written.",
    "impossible": "What the record describes cannot be built, or would break.",
    "not-as-issued": "A stored certificate, snapshot or amendment is not the one that was issued.",
    "changed-since-issued": "What was issued says something else, and no amendment tells of it.",
    "doubtful": "What the record describes can be built, but a careful maker would look at it again.",
}

#: A longer list of words is no help: the reader is told of a near one, or of none.
MOST_WORDS_LISTED = 40

#: A longer text is cut when a message quotes it.
MOST_LETTERS_QUOTED = 60


@dataclass(frozen=True, slots=True)
class Finding:
    """Something wrong with a field, found by a sum or a comparison that knows no files.

    `field` is the path of the field in its record, such as `spec.frets.add[1]`.
    """

    code: str
    field: str
    message: str
    hint: str = ""
    severity: Severity = "error"


@dataclass(frozen=True, slots=True)
class Problem:
    """Something wrong at a place in a file. `line` and `column` count from 1; 0 means the file as a whole."""

    code: str
    file: str
    line: int
    column: int
    message: str
    hint: str = ""
    field: str = ""
    severity: Severity = "error"
    source_line: str = ""

    def __post_init__(self) -> None:
        if self.code not in CODES:
            raise ValueError(f"no such problem code: {self.code}")

    @property
    def in_reading_order(self) -> tuple[str, int, int, str]:
        """Key for sorting: as a person would meet the problems, file by file, top to bottom."""
        return (self.file, self.line, self.column, self.code)


def in_words(problem: Problem) -> str:
    """A problem as a maker reads it: `file:line:column: what; what to write instead`, the line, and a caret."""
    place = problem.file if not problem.line else f"{problem.file}:{problem.line}:{problem.column}"
    severity = "" if problem.severity == "error" else f"{problem.severity}: "
    hint = f"; {problem.hint}" if problem.hint else ""
    said = [f"{place}: {severity}{problem.message}{hint} [{problem.code}]"]
    if problem.source_line.strip():
        said += _line_with_caret(problem.source_line, problem.column)
    return "\n".join(said)


def _line_with_caret(line: str, column: int, width: int = 100) -> list[str]:
    """The line itself and a caret under the place; a very long line is shown as the part around the caret."""
    start = 0 if len(line) <= width else max(0, min(column - width // 2, len(line) - width))
    shown = "".join(letter if letter.isprintable() else "·" for letter in line[start : start + width])
    return [f"    {shown}", "    " + " " * (column - 1 - start) + "^"]


def count_in_words(problems: Iterable[Problem]) -> str:
    """`3 errors and 1 warning`, for the last line of a report."""
    severities = [problem.severity for problem in problems]
    counts = [(severities.count(severity), severity) for severity in get_args(Severity)]
    return in_a_row(f"{n} {word}{'' if n == 1 else 's'}" for n, word in counts if n) or "no problems"


def in_short(text: str) -> str:
    """A text as it is quoted in a message: in one line, and no longer than a glance takes in."""
    line = " ".join(text.split())
    return line if len(line) <= MOST_LETTERS_QUOTED else f"{line[: MOST_LETTERS_QUOTED - 1]}…"


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """`did you mean «soundboard»?` where a known word is near, else the list of known words if it is short."""
    words = list(known)
    word = word[:MOST_LETTERS_QUOTED]
    lower = {candidate.casefold(): candidate for candidate in words}
    near = difflib.get_close_matches(word.casefold(), lower, n=1, cutoff=0.6)
    if near:
        return f"did you mean «{lower[near[0]]}»?"
    if words and len(words) <= MOST_WORDS_LISTED:
        return "write " + in_a_row(words, "or")
    return ""
