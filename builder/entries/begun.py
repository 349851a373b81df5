"""The text of a new record and of its private file: short, commented, and with the questions at the top."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from builder.editing.writing import as_text, entry_lines
from builder.entries.questions import Question
from builder.entries.starts import Start
from builder.reference.schema import SCHEMAS, modeline, schema_name

_WIDEST = 110


@dataclass(frozen=True, slots=True)
class Particulars:
    """What is known of a new instrument besides its specification. `buyer_text` are lines of a private file."""

    name: str | None = None
    ordered: date | None = None
    buyer: str | None = None
    buyer_text: str = ""
    batch: str | None = None


def record_text(
    serial: str, start: Start, particulars: Particulars, questions: Sequence[Question], shop_folder: Path
) -> str:
    """A new record."""
    lines = [*modelines("record", shop_folder)]
    lines += [f"# Started from {start.said}." if start.name else "# Nothing in this file is secret."]
    if questions:
        lines += ["#", "# To decide:"]
        for each in questions:
            lines += _wrapped(f"{each.field}: {each.words}", "#   - ", "#     ")
        lines += ["#"]
    lines += ["format: 1", f"serial: {serial}", f"kind: {as_text(start.kind)}"]
    lines += (
        [f"name: {as_text(particulars.name)}"]
        if particulars.name
        else ["# name:                          # if it has one"]
    )
    if start.visibility != "public":
        lines += [f"visibility: {start.visibility}"]
    lines += [f"started_from: {as_text(start.name)}"] if start.name else []
    lines += ["made_by:                         # who makes this one"] if particulars.batch else []
    lines += [f"batch: {as_text(particulars.batch)}"] if particulars.batch else []
    if particulars.ordered:
        lines += [f"dates: {{ordered: {particulars.ordered}}}"]
    else:
        lines += ["# dates: {ordered: 2026-01-12, promised: 2026-05-15}"]
    text = "\n".join(lines) + "\n"
    if start.spec_text:
        text += f"\n{start.spec_text}"
    if start.steps:
        steps = entry_lines("steps", [{"step": name} for name in start.steps])
        text += "\nbuild:\n" + "".join(f"  {line}\n" for line in steps)
    return text


def private_text(particulars: Particulars, shop_folder: Path) -> str:
    """A new private file: the buyer where one is known, and what else may stand there as a comment."""
    lines = [*modelines("private", shop_folder), "# Only for the workshop: never published.", "format: 1"]
    if particulars.buyer_text:
        lines += particulars.buyer_text.rstrip("\n").split("\n")
    elif particulars.buyer:
        lines += ["buyer:", f"  name: {as_text(particulars.buyer)}"]
    else:
        lines += ["# buyer: {name: …, email: …, telephone: …}"]
    return "\n".join([*lines, "# order:", "#   asked_for: …", "#   agreed: …"]) + "\n"


def modelines(file: str, shop_folder: Path) -> Iterator[str]:
    """The line that leads an editor to the schema, where the shop has it."""
    if (shop_folder / SCHEMAS / schema_name(file)).is_file():
        yield modeline(file)


def _wrapped(words: str, first: str, others: str) -> list[str]:
    kept = re.sub(r"(\d) (?=\d+/|in\b|mm\b)", "\\1\N{NO-BREAK SPACE}", words)
    lines = textwrap.wrap(
        kept, _WIDEST, initial_indent=first, subsequent_indent=others, break_long_words=False, break_on_hyphens=False
    )
    return [line.replace("\N{NO-BREAK SPACE}", " ") for line in lines]
