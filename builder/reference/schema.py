"""The grammar of a file as JSON Schema (draft 2020-12), for editors that complete and check while one types.

It lets through everything that is read, and little else: editors turn `no` or `7` into values of their own before
they look, so a single value may be a text, a number or a truth value.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from builder.reference.grammar import (
    FILES,
    EitherOf,
    Field,
    Grammar,
    Group,
    Named,
    OneWord,
    Row,
    Several,
    Single,
    grammar_of,
)

#: Where the schemas stand in a shop, and the line by which a file names its own, as editors know it.
SCHEMAS = Path("records", "schema")
_MODELINE = "# yaml-language-server: $schema={}"

DIALECT = "https://json-schema.org/draft/2020-12/schema"

_SINGLE = ["string", "number", "boolean"]


def schema_of(file: str) -> dict[str, Any]:
    """The schema of one kind of file."""
    shared: dict[str, Any] = {}
    whole = grammar_of(file)
    top = {"$schema": DIALECT, "title": FILES[file][0], **_group(whole, shared)}
    return {**top, "$defs": dict(sorted(shared.items()))}


def schema_name(file: str) -> str:
    """What the schema of a kind of file is called, below the schema folder."""
    return f"{file}.schema.json"


def modeline(file: str) -> str:
    """The line at the top of a file that tells an editor where its schema is."""
    below_records = FILES[file][0].count("/") - 1
    return _MODELINE.format(f"{'../' * below_records}{SCHEMAS.name}/{schema_name(file)}")


def schema_as_text(file: str) -> str:
    """The same as the text of a file."""
    return json.dumps(schema_of(file), ensure_ascii=False, indent=1) + "\n"


def _group(group: Group, shared: dict[str, Any]) -> dict[str, Any]:
    return {
        "description": group.about,
        "type": "object",
        "properties": {field.name: _field(field, shared) for field in group.fields},
        "required": [field.name for field in group.fields if field.is_required],
        "additionalProperties": False,
    }


def _field(field: Field, shared: dict[str, Any]) -> dict[str, Any]:
    """What may stand at a key: a key that is not required may be left open."""
    written = _schema(field.grammar, shared)
    said = {"description": _sentence(field)}
    if field.is_required:
        return {**said, **written} if "$ref" not in written else {**said, "allOf": [written]}
    return {**said, "anyOf": [*written.get("anyOf", [written]), {"type": "null"}]}


def _sentence(field: Field) -> str:
    text = f"{field.meaning[:1].upper()}{field.meaning[1:]}"
    return f"{text}. For example: {field.example}" if field.example else f"{text}."


def _schema(grammar: Grammar, shared: dict[str, Any]) -> dict[str, Any]:
    match grammar:
        case Single(value):
            return {"type": _SINGLE, **({"pattern": value.pattern} if value.pattern else {})}
        case OneWord(words):
            return {"enum": [*words, *_as_others_read(words)]}
        case Several(entry):
            return {"type": "array", "items": _schema(entry, shared)}
        case Row(entries):
            rows = [_schema(each, shared) for each in entries]
            return {"type": "array", "prefixItems": rows, "minItems": len(rows), "maxItems": len(rows)}
        case Named(_, value):
            return {"type": "object", "additionalProperties": _schema(value, shared)}
        case EitherOf(kinds):
            return {"anyOf": [_schema(each, shared) for each in kinds]}
        case Group(name):
            if name not in shared:
                shared[name] = {}  # a group that has itself inside would go round for ever
                shared[name] = _group(grammar, shared)
            return {"$ref": f"#/$defs/{name}"}


def _as_others_read(words: tuple[str, ...]) -> list[int]:
    """`format: 1` is a number to an editor."""
    return [int(word) for word in words if word.isdigit()]
