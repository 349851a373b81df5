"""The ending of an unlisted instrument's address, which nobody can guess: one line in `address.txt` of its folder."""

from __future__ import annotations

import os
from pathlib import Path

from builder.limits import UNMISTAKABLE
from builder.problems import Problem

ADDRESS_FILE = "address.txt"
#: What an ending is made of: small, for some web servers hold a large and a small letter for one and others do not.
LETTERS = UNMISTAKABLE.lower()
#: 26 of 32 letters are 130 bits of chance; more is never drawn, but may be written.
LETTERS_DRAWN, MOST_LETTERS = 26, 64
_MOST_BYTES = 1_000

_HINT = "put the file back as it was; without it a new address is drawn, and printed codes lead nowhere"


def read_address(path: Path, said: str) -> tuple[str | None, tuple[Problem, ...]]:
    """The ending that stands in the file, None where there is no file; and what is wrong with it.

    `said` is how the file is called in problems. No problem shows the line itself: it is not for every pair of eyes.
    """
    if not os.path.lexists(path):
        return None, ()
    try:
        with path.open("rb") as stream:
            content = stream.read(_MOST_BYTES + 1)
    except FileNotFoundError:
        return _problem("unreadable-file", said, 0, 0, "this link leads nowhere")
    except OSError as error:
        return _problem("unreadable-file", said, 0, 0, f"the file cannot be opened: {error.strerror}")
    line, _, more = content.decode("utf-8", "replace").removeprefix("\ufeff").partition("\n")
    ending = line.strip()
    if not ending:
        return _problem("bad-address", said, 1, 1, "there is no address in the first line")
    if more.strip():
        return _problem("bad-address", said, 2, 1, "there is more than one line")
    for column, letter in enumerate(ending, line.index(ending) + 1):
        if letter not in LETTERS:
            named = f"«{letter}»" if letter.isprintable() else f"U+{ord(letter):04X}"
            return _problem("bad-address", said, 1, column, f"{named} is no letter of an address")
    if not LETTERS_DRAWN <= len(ending) <= MOST_LETTERS:
        message = f"there are {len(ending)} letters where {LETTERS_DRAWN} to {MOST_LETTERS} belong"
        return _problem("bad-address", said, 1, 1, message)
    return ending, ()


def _problem(code: str, said: str, line: int, column: int, message: str) -> tuple[None, tuple[Problem, ...]]:
    return None, (Problem(code, said, line, column, message, _HINT),)
