"""The text of one file ─► a tree of texts with their places, or the problems that stand in the way.

Only the plain part of YAML is read: keys, values, lists, block texts and quotes. Whatever would let one line mean
something else than it says (anchors, tags, merge keys, a second document) is refused with its place. The words of
the parser are not shown to the maker: they speak of tokens, and a maker does not.
"""

from __future__ import annotations

import codecs
import re
import unicodedata
from collections.abc import Callable, Iterator

import yaml

from builder.problems import Problem, in_short
from builder.reading.tree import Entries, Items, Node, Place, Text

MOST_BYTES = 1_000_000
DEEPEST = 20

_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

_BIDIRECTIONAL = {chr(code) for code in (*range(0x202A, 0x202F), *range(0x2066, 0x206A), 0x200E, 0x200F, 0x061C)}
_LINE_ENDS_OF_OTHERS = {"\x85", "\u2028", "\u2029"}
_NO_WIDTH = {"\u00ad", "\u200b", "\u2060", "\ufeff", "\ufffe", "\uffff"}
_COMMENT_STUCK_TO_WORD = re.compile(r"\s#\S")

_NO_BEGINNING = ("cannot start any token", "a text cannot begin with this sign", 'put the text in "quotes"')

#: What the parser complains of ─► what it most often means.
_SYNTAX_IN_PLAIN_WORDS: tuple[tuple[str, str, str], ...] = (
    (
        "mapping values are not allowed",
        "there is a second colon here, or this line is indented further than the one it belongs with",
        'put a text that has a colon in it in "quotes", and start lines of one group in one column',
    ),
    (
        "did not find expected key",
        "this line does not line up with the others of its group",
        "start all keys of one group in the same column",
    ),
    (
        "did not find expected '-' indicator",
        "this line does not line up with the list above it",
        "start every entry of a list with - in the same column",
    ),
    (
        "block sequence entries are not allowed",
        "a list cannot start here",
        "start the list on a line of its own, below its key",
    ),
    (
        "did not find expected ',' or ']'",
        "the list that starts with [ is not closed properly",
        "close it with ], with commas between its entries",
    ),
    (
        "did not find expected ',' or '}'",
        "the group that starts with { is not closed properly",
        "close it with }, with commas between its entries",
    ),
    (
        "could not find expected ':'",
        "this is neither a key with its value nor the entry of a list",
        "write key: value, with a space after the colon, or - before an entry",
    ),
    ("unexpected end of stream", "the quote that starts here is never closed", "close it with the same sign"),
    (
        "did not find expected comment or line break",
        "nothing may follow | or > on its line",
        "start the text on the next line, indented further than its key",
    ),
    (
        "did not find expected node content",
        "there should be a value here",
        'write one; a text that begins with this sign goes in "quotes"',
    ),
    _NO_BEGINNING,
    (
        "unknown escape character",
        "a backslash in double quotes has a meaning of its own",
        "use 'single quotes'",
    ),
    ("did not find expected <document start>", "there is something after the end of the record", "remove it"),
)
#: What it was reading when it met the end ─► the same, at the sign that made it read that.
_SIGNS_WITH_A_MEANING = ("scanning an alias", "scanning an anchor", "scanning a tag", "scanning a directive")
_SYNTAX_OTHERWISE = ("this cannot be read", 'check the spaces at the start of the line, colons, and "quotes"')


class _Refused(Exception):
    """Reading of this file ends here; carries the problem."""

    def __init__(self, code: str, place: Place, message: str, hint: str) -> None:
        super().__init__(message)
        self.code, self.place, self.message, self.hint = code, place, message, hint


def read_yaml(content: bytes, file: str) -> tuple[Node | None, list[Problem], list[str]]:
    """Read the bytes of `file`: the tree (None where there is none), every problem found, and the file's lines.

    Never raises. A break of YAML's grammar ends the reading of this file; all other problems are reported together.
    """
    text, problems = _decode(content, file)
    lines = text.split("\n")
    if problems:
        return None, problems, lines

    def report(code: str, place: Place, message: str, hint: str) -> None:
        line = lines[place.line - 1] if 0 < place.line <= len(lines) else ""
        problems.append(Problem(code, file, place.line, place.column, message, hint, source_line=line))

    for code, place, message, hint in _hidden_characters(lines):
        report(code, place, message, hint)
    if problems:
        text = "".join(letter if letter == "\n" or not _why_hidden(letter) else " " for letter in text)
    try:
        tree = _Builder(text, lines, report).document()
    except _Refused as refused:
        hidden_lines = {problem.line for problem in problems}
        if refused.code == "yaml-syntax" and refused.place.line in hidden_lines:
            return None, problems, lines  # it is the hidden character that breaks the grammar
        report(refused.code, refused.place, refused.message, refused.hint)
        return None, problems, lines
    return tree, problems, lines


def _decode(content: bytes, file: str) -> tuple[str, list[Problem]]:
    if len(content) > MOST_BYTES:
        message, hint = "the file is larger than 1 MB", "a record is text alone; photos go into photos/"
        return "", [Problem("unreadable-file", file, 0, 0, message, hint)]
    content = content.removeprefix(codecs.BOM_UTF8)
    try:
        text = content.decode()
    except UnicodeDecodeError as error:
        before = content[: error.start].decode().replace("\r\n", "\n").split("\n")
        message, hint = "this is not UTF-8 text", "save the file as UTF-8 in your editor"
        shown = content.decode(errors="replace").replace("\r\n", "\n")
        line = shown.split("\n")[len(before) - 1]
        place = (len(before), len(before[-1]) + 1)
        return shown, [Problem("unreadable-file", file, *place, message, hint, source_line=line)]
    if not text.strip():
        return "", [Problem("unreadable-file", file, 0, 0, "the file is empty", "write something, or remove it")]
    return text.replace("\r\n", "\n"), []


def _hidden_characters(lines: list[str]) -> Iterator[tuple[str, Place, str, str]]:
    """The first tab, control or direction mark of each line: nobody can see them, so nobody means them."""
    for number, line in enumerate(lines, 1):
        if line.isascii() and line.isprintable():
            continue
        for column, letter in enumerate(line, 1):
            hidden = _why_hidden(letter)
            if hidden:
                yield "control-character", Place(number, column), *hidden
                break


def _why_hidden(letter: str) -> tuple[str, str] | None:
    if " " <= letter <= "~":
        return None
    if letter == "\t":
        return "there is a tab here", "use spaces"
    if letter == "\r":
        return "this line ends as on the oldest Macs", "save the file with the line ends of Windows or Linux"
    if letter in _BIDIRECTIONAL:
        return (
            f"there is a hidden direction mark here (U+{ord(letter):04X})",
            "remove it, or type the text anew",
        )
    if unicodedata.category(letter) in ("Cc", "Cs") or letter in _LINE_ENDS_OF_OTHERS or letter in _NO_WIDTH:
        return f"there is an invisible character here (U+{ord(letter):04X})", "remove it, or type the text anew"
    return None


class _Builder:
    """Builds the tree from the parser's events, one method per kind of node."""

    def __init__(self, text: str, lines: list[str], report: Callable[[str, Place, str, str], None]) -> None:
        self._events = yaml.parse(text, Loader=_LOADER)
        self._lines = lines
        self._report = report

    def document(self) -> Node | None:
        self._next()
        started = self._next()
        if isinstance(started, yaml.StreamEndEvent):
            raise _Refused("unreadable-file", Place(1, 1), "the file has only comments in it", "write the record")
        tree = self._node(self._next(), 0)
        if isinstance(tree, Text) and tree.is_blank:
            raise _Refused("unreadable-file", Place(1, 1), "nothing is written in this file", "write the record")
        self._next()
        after = self._next()
        if not isinstance(after, yaml.StreamEndEvent):
            self._report(
                "second-document",
                _start(after),
                "a second document starts here",
                "keep one record per file; remove ---",
            )
        return tree

    def _next(self) -> yaml.Event:
        try:
            return next(self._events)
        except yaml.MarkedYAMLError as error:
            raise self._syntax_error(error) from None
        except (yaml.YAMLError, ValueError, OverflowError):
            # The parser written in Python raises the last two for an escape such as "\UFFFFFFFF".
            raise _Refused("yaml-syntax", Place(1, 1), *_SYNTAX_OTHERWISE) from None

    def _syntax_error(self, error: yaml.MarkedYAMLError) -> _Refused:
        met = self._place(error.problem_mark or error.context_mark)
        begun = self._place(error.context_mark or error.problem_mark)
        for number in range(begun.line - 1, met.line):
            cut = _COMMENT_STUCK_TO_WORD.search(self._lines[number])
            if cut and ("[" in self._lines[number][: cut.start()] or "{" in self._lines[number][: cut.start()]):
                return _Refused(
                    "flow-style-trap", Place(number + 1, cut.start() + 2),
                    "what follows # after a space is a comment, so the bracket before it is never closed",
                    "write F#3 without a space, or put the text in \"quotes\"",
                )  # fmt: skip
        return _Refused("yaml-syntax", *self._in_plain_words(error, met, begun))

    def _in_plain_words(self, error: yaml.MarkedYAMLError, met: Place, begun: Place) -> tuple[Place, str, str]:
        """Where the maker should look, what is wrong there, and what to write instead."""
        said, doing = error.problem or "", error.context or ""
        line = self._lines[met.line - 1]
        before, sign = line[: met.column - 1].strip(), line[met.column - 1 : met.column]
        if sign and sign in "]}" and "did not find expected key" in said:
            return met, "this bracket closes nothing", "remove it"
        if sign == ":" and not before:
            return met, "there is no key before this colon", "write key: value"
        if before.endswith(("'", '"')) and said.startswith("did not find expected"):
            return met, "something follows the closing quote", "put the whole text in quotes, or leave them out"
        if any(reading in doing for reading in _SIGNS_WITH_A_MEANING):
            return begun, *_NO_BEGINNING[1:]
        message, hint = next(
            ((message, hint) for part, message, hint in _SYNTAX_IN_PLAIN_WORDS if part in said),
            _SYNTAX_OTHERWISE,
        )
        opened_above = "while parsing a flow" in doing and begun.line < met.line
        looks_back = opened_above or "expected ':'" in said or "end of stream" in said
        return begun if looks_back else met, message, hint

    def _place(self, mark: yaml.Mark | None) -> Place:
        """A mark of the parser as a place that is in the file: it may stand behind the last line."""
        if mark is None:
            return Place(1, 1)
        if mark.line >= len(self._lines):
            return Place(len(self._lines), len(self._lines[-1]) + 1)
        return Place(mark.line + 1, min(mark.column, len(self._lines[mark.line])) + 1)

    def _node(self, event: yaml.Event, depth: int) -> Node:
        if depth > DEEPEST:
            raise _Refused("wrong-shape", _start(event), "this is nested too deeply", "no record needs so many levels")
        if isinstance(event, yaml.AliasEvent):
            name = in_short(event.anchor or "")
            self._refuse_feature(event, f"«*{name}» refers to another place", "write the value out here")
            return Text("", _start(event))
        anchor, tag = getattr(event, "anchor", None), getattr(event, "tag", None)
        if anchor:
            self._refuse_feature(
                event, f"«&{in_short(anchor)}» is an anchor", "remove it; write the value where it is needed"
            )
        if tag:
            written = tag.replace("tag:yaml.org,2002:", "!!")
            self._refuse_feature(
                event, f"«{in_short(written)}» is a tag", "remove it; every value is read as it is written"
            )
        if isinstance(event, yaml.ScalarEvent):
            return self._text(event)
        if isinstance(event, yaml.SequenceStartEvent):
            return self._items(event, depth)
        if isinstance(event, yaml.MappingStartEvent):
            return self._entries(event, depth)
        raise _Refused("yaml-syntax", _start(event), *_SYNTAX_OTHERWISE)

    def _refuse_feature(self, event: yaml.Event, message: str, hint: str) -> None:
        self._report("yaml-feature", _start(event), message, hint)

    def _text(self, event: yaml.ScalarEvent) -> Text:
        text = Text(event.value, _start(event), in_quotes=event.style in ("'", '"', "|", ">"))
        hidden = next(filter(None, map(_why_hidden, event.value.replace("\n", ""))), None)
        if hidden:
            self._report("control-character", text.place, *hidden)
        return text

    def _items(self, event: yaml.SequenceStartEvent, depth: int) -> Items:
        items = []
        while not isinstance(inner := self._next(), yaml.SequenceEndEvent):
            items.append(self._node(inner, depth + 1))
        return Items(tuple(items), _start(event), bool(event.flow_style))

    def _entries(self, event: yaml.MappingStartEvent, depth: int) -> Entries:
        entries: dict[str, tuple[Text, Node]] = {}
        while not isinstance(inner := self._next(), yaml.MappingEndEvent):
            key = self._node(inner, depth + 1)
            value = self._node(self._next(), depth + 1)
            if isinstance(inner, yaml.AliasEvent):
                continue
            if not isinstance(key, Text):
                self._report("wrong-shape", key.place, "a key must be a single word or two", "write key: value")
            elif key.text == "<<" and not key.in_quotes:
                self._report("yaml-feature", key.place, "«<<» merges another place", "write the values out here")
            elif key.text in entries:
                line = entries[key.text][0].place.line
                message = f"«{in_short(key.text)}» stands here already, on line {line}"
                self._report("duplicate-key", key.place, message, "keep one")
            elif event.flow_style and _is_nothing(value) and self._is_cut_off(key):
                self._report("flow-style-trap", key.place, *self._why_cut_off(key))
            else:
                entries[key.text] = (key, value)
        return Entries(tuple(entries.values()), _start(event), bool(event.flow_style))

    def _is_cut_off(self, key: Text) -> bool:
        """Whether a key without a value has no colon either: then it is the rest of the text before it."""
        line = self._lines[key.place.line - 1]
        behind = line[key.place.column - 1 + len(key.text) + 2 * key.in_quotes :]
        return not key.is_blank and not behind.lstrip().startswith(":")

    def _why_cut_off(self, key: Text) -> tuple[str, str]:
        before = self._lines[key.place.line - 1][: key.place.column - 1]
        if re.search(r"\d,$", before) and key.text[:1].isdigit():
            return "a comma cuts this number in two", "write a decimal point"
        return (
            f"«{in_short(key.text)}» was cut off from the text before it by a comma",
            'put a text with a comma in "quotes"; if it is a key, give it a value',
        )


def _is_nothing(node: Node) -> bool:
    return isinstance(node, Text) and node.is_blank


def _start(event: yaml.Event) -> Place:
    mark = event.start_mark
    return Place(mark.line + 1, mark.column + 1) if mark else Place(1, 1)
