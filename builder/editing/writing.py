"""How a value is written into a file: in brackets on one line, or as lines of their own."""

from __future__ import annotations

import re

from builder.editing.layout import Plain

#: A group or list of texts this short stands on one line; so does a column of numbers of any length.
_WIDEST = 100
_WIDEST_NUMBER = 16
#: A text that means itself wherever it stands, in brackets too, whichever program reads it.
_SAFE = re.compile(r"(?:-(?=[.\d])|[\w½¼¾⅛⅜⅝⅞(/.+°−])(?:[\w½¼¾⅛⅜⅝⅞ ()/.+°−×'’%*;=·–-]|:(?=\S))*(?<![\s:])", re.UNICODE)
#: Words and numbers that other readers of YAML take for something else than text; ours does not.
_TAKEN_FOR_ELSE = re.compile(r"(?:y|n|yes|no|true|false|null|~|on|off)", re.IGNORECASE)


def as_text(text: str, *, is_key: bool = False) -> str:
    """A single value: plain where that is clear, else in double quotes."""
    plain = _SAFE.fullmatch(text) and not (is_key and _TAKEN_FOR_ELSE.fullmatch(text))
    if plain and " #" not in text and "- " not in text[:2] and not text.startswith(("---", "...")):
        return text
    escaped = "".join(_ESCAPED.get(sign, sign) for sign in text)
    return f'"{escaped}"'


_ESCAPED = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r"}


def in_brackets(value: Plain) -> str:
    """A value on one line: `{parts: [linings, sides], at: 2026-03-04 14:30}`."""
    if isinstance(value, str):
        return as_text(value)
    if isinstance(value, list):
        return f"[{', '.join(in_brackets(each) for each in value)}]"
    return f"{{{', '.join(f'{as_text(key, is_key=True)}: {in_brackets(each)}' for key, each in value.items())}}}"


def entry_lines(key: str, value: Plain, *, in_lines: bool = False) -> list[str]:
    """A key with its value as lines, from the first column; a short group too, where `in_lines` says so."""
    named = as_text(key, is_key=True)
    if isinstance(value, str) and "\n" in value.strip("\n"):
        return [f"{named}: |", *(f"  {line}".rstrip() for line in value.rstrip("\n").split("\n"))]
    if isinstance(value, str):
        return [f"{named}: {as_text(value.rstrip(chr(10)))}"]
    if not value or (_is_short(value) and not in_lines):
        return [f"{named}: {in_brackets(value)}"]
    if isinstance(value, list):
        return [f"{named}:", *(f"  - {in_brackets(each)}" for each in value)]
    return [f"{named}:", *(f"  {line}" for name, each in value.items() for line in entry_lines(name, each))]


def item_lines(value: Plain, *, in_lines: bool) -> list[str]:
    """An entry of a list as lines, without its dash; a group in lines of its own where `in_lines` says so."""
    if in_lines and isinstance(value, dict) and value:
        return [line for name, each in value.items() for line in entry_lines(name, each)]
    return [in_brackets(value)]


def _is_short(value: Plain) -> bool:
    """Whether it is texts alone, or lists of them, and short enough for one line, or a column of numbers."""
    if isinstance(value, list) and all(isinstance(each, str) and len(each) <= _WIDEST_NUMBER for each in value):
        return True
    inside = value.values() if isinstance(value, dict) else value
    flat = all(
        isinstance(each, str) or (isinstance(each, list) and all(isinstance(i, str) for i in each)) for each in inside
    )
    return flat and len(in_brackets(value)) <= _WIDEST
