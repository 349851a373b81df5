"""The column map, a YAML file of the maker's: which column of a spreadsheet is which field of a record.

serial: No.
kind: {always: mountain dulcimer}
spec.scale_length: {column: Scale, unit: in}
dates.finished: {column: Done, form: M/D/YYYY}
private.buyer.name: Customer
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from builder.imports.forms import DayForm, NoForm, day_form
from builder.problems import Problem, did_you_mean, in_short
from builder.reading.tree import Entries, Node, Place, Text
from builder.reading.yaml_text import read_yaml
from builder.reference.grammar import EitherOf, Grammar, Group, Named, OneWord, Several, Single, grammar_of

#: What begins the name of a field that belongs into the private file.
PRIVATE = "private"
#: Units that may be said of a whole column of bare numbers; any currency by its code besides.
UNITS = ("in", "ft", "mm", "cm", "F", "C", "%", "lb", "oz", "kg", "g", "h", "min")
_WAYS = ("column", "always", "unit", "form")
_OURS = ("format",)


@dataclass(frozen=True, slots=True)
class FieldFrom:
    """Where a field of the record (or of the private file) comes from: a column by its number, or always one text.

    `is_list` says that the field is a list, and a cell may hold several entries with commas or lines between them.
    """

    path: tuple[str, ...]
    is_private: bool
    is_list: bool
    column: int | None = None
    always: str = ""
    unit: str = ""
    form: DayForm | None = None

    @property
    def said(self) -> str:
        """The field as the reader of its file names it."""
        return ".".join(self.path)


@dataclass(frozen=True, slots=True)
class Columns:
    """The whole map, and the heads of the columns that nothing asks for."""

    fields: tuple[FieldFrom, ...]
    passed_over: tuple[str, ...]


def read_columns(content: bytes, file: str, head: Sequence[str]) -> tuple[Columns | None, tuple[Problem, ...]]:
    """The column map of a spreadsheet with this head; None, and every reason with its place, where it is not one."""
    tree, problems, lines = read_yaml(content, file)
    reader = _Reader(file, lines, head)
    if tree is not None:
        reader.read(tree)
    found = sorted([*problems, *reader.problems], key=lambda each: each.in_reading_order)
    if found or tree is None:
        return None, tuple(found)
    asked_for = {each.column for each in reader.fields}
    left = tuple(name for number, name in enumerate(head) if name and number not in asked_for)
    return Columns(tuple(reader.fields), left), ()


class _Reader:
    """Reads the tree of one column map; collects `fields` and `problems`."""

    def __init__(self, file: str, lines: Sequence[str], head: Sequence[str]) -> None:
        self.problems: list[Problem] = []
        self.fields: list[FieldFrom] = []
        self._file, self._lines, self._head = file, lines, head

    def read(self, tree: Node) -> None:
        """The whole file."""
        if not isinstance(tree, Entries):
            self._report("wrong-shape", tree.place, "this is no column map", "write lines like serial: No.")
            return
        for key, node in tree.entries:
            self._field(key, node)
        named = {".".join(key.text.split(".")) for key, _ in tree.entries}
        for name in ("serial", "kind"):
            if name not in named:
                hint = f"add {name}: with its column" + (", or kind: {always: cittern}" if name == "kind" else "")
                self._report("missing-key", tree.place, f"«{name}» is missing", hint)

    def _field(self, key: Text, node: Node) -> None:
        names = tuple(key.text.split("."))
        is_private = names[0] == PRIVATE
        path = names[1:] if is_private else names
        grammar = self._grammar(path, is_private, key)
        if grammar is None:
            return
        for other in self.fields:
            shorter = min(len(path), len(other.path))
            if other.is_private == is_private and other.path[:shorter] == path[:shorter]:
                self._report("does-not-fit", key.place, f"this and «{other.said}» would be one field", "leave one out")
                return
        found = self._source(node)
        if found is None:
            return
        column, always, unit, form = found
        is_list = isinstance(grammar, Several)
        self.fields.append(FieldFrom(path, is_private, is_list, column, always, unit, form))

    def _grammar(self, path: Sequence[str], is_private: bool, key: Text) -> Grammar | None:
        """What may stand in a field; None, told, where there is no such field, or where no cell can fill it."""
        found: Grammar = _whole_file("private" if is_private else "record")
        for depth, name in enumerate(path):
            groups = [each for each in _kinds(found) if isinstance(each, Group | Named)]
            if not groups:
                self._unknown(key, name, ())
                return None
            group = groups[0]
            if isinstance(group, Named):
                found = group.value
                continue
            known = {each.name: each.grammar for each in group.fields if depth or each.name not in _OURS}
            if name not in known:
                self._unknown(key, name, (*known, PRIVATE) if not depth and not is_private else tuple(known))
                return None
            found = known[name]
        fills = [each for each in _kinds(found) if isinstance(each, Single | OneWord) or _is_plain_list(each)]
        if not path or not fills:
            message, hint = f"one cell cannot fill «{key.text}»", "name a single value in it, like spec.scale_length"
            self._report("wrong-shape", key.place, message, hint)
            return None
        return fills[0]

    def _unknown(self, key: Text, name: str, known: Sequence[str]) -> None:
        inside = key.text.rpartition(f".{name}")[0]
        where = f" in «{inside}»" if inside else ""
        self._report(
            "unknown-key", key.place, f"there is no field «{in_short(name)}»{where}", did_you_mean(name, known)
        )

    def _source(self, node: Node) -> tuple[int | None, str, str, DayForm | None] | None:
        if isinstance(node, Text):
            column = self._column(node)
            return None if column is None else (column, "", "", None)
        if not isinstance(node, Entries):
            self._report("wrong-shape", node.place, "this names no column", "write the head of one column")
            return None
        told: dict[str, Text] = {}
        for key, inner in node.entries:
            if key.text not in _WAYS:
                self._report("unknown-key", key.place, f"«{key.text}» is not known here", did_you_mean(key.text, _WAYS))
            elif not isinstance(inner, Text) or inner.is_blank:
                self._report("wrong-shape", inner.place, "a single value belongs here", "write one")
            else:
                told[key.text] = inner
        if ("column" in told) == ("always" in told):
            if len(told) == len(node.entries):
                hint = "write {column: Scale}, or {always: mountain dulcimer}"
                self._report("missing-key", node.place, "either a column or always belongs here", hint)
            return None
        form = self._form(told["form"]) if "form" in told else None
        unit = self._unit(told["unit"]) if "unit" in told else ""
        if "always" in told:
            return None, told["always"].text, unit, form
        column = self._column(told["column"])
        return None if column is None else (column, "", unit, form)

    def _column(self, node: Text) -> int | None:
        name = " ".join(node.text.split())
        same = [number for number, each in enumerate(self._head) if each == name]
        same = same or [number for number, each in enumerate(self._head) if each.casefold() == name.casefold()]
        if len(same) == 1 and name:
            return same[0]
        if len(same) > 1:
            hint = "give each column a head of its own"
            self._report("does-not-fit", node.place, f"several columns are called «{in_short(name)}»", hint)
        else:
            heads = [each for each in self._head if each]
            self._report(
                "unknown-word", node.place, f"there is no column «{in_short(name)}»", did_you_mean(name, heads)
            )
        return None

    def _unit(self, node: Text) -> str:
        if node.text not in UNITS and not (len(node.text) == 3 and node.text.isascii() and node.text.isupper()):
            self._report(
                "unknown-word", node.place, f"«{in_short(node.text)}» is no unit", did_you_mean(node.text, UNITS)
            )
        return node.text

    def _form(self, node: Text) -> DayForm | None:
        try:
            return day_form(node.text)
        except NoForm as trouble:
            self._report("not-understood", node.place, trouble.message, trouble.hint)
            return None

    def _report(self, code: str, place: Place, message: str, hint: str) -> None:
        line = self._lines[place.line - 1] if 0 < place.line <= len(self._lines) else ""
        self.problems.append(Problem(code, self._file, place.line, place.column, message, hint, source_line=line))


@cache
def _whole_file(file: str) -> Group:
    return grammar_of(file)


def _kinds(grammar: Grammar) -> Sequence[Grammar]:
    return grammar.kinds if isinstance(grammar, EitherOf) else (grammar,)


def _is_plain_list(grammar: Grammar) -> bool:
    return isinstance(grammar, Several) and any(isinstance(each, Single | OneWord) for each in _kinds(grammar.entry))
