"""YAML files laid out at random: the same kinds of values, written in every way that a person may write them."""

from __future__ import annotations

from random import Random

from builder.editing.layout import Plain

WORDS = (
    "sides bent", "hide glue", "27 1/2 in", "2026-03-04 14:30", "68 F", "no", "007", "12:30", "F#3", "D3 22w", "½",
    "44 %", "it's done", "a: b", "x # y", "", " led", "- dash", "[not a list]", "{nor a group}", "Ilse & Teo", "*star",
    "!bang", "100%", 'say "so"', "back\\slash", "ends with:", "?", "tab",
    "ä long line of words that goes on and on for the sake of its length, and of nothing else",
)  # fmt: skip
KEYS = (
    "format",
    "serial",
    "dates",
    "spec",
    "build",
    "steps",
    "glue_ups",
    "log",
    "as_built",
    "photos",
    "story",
    "wood",
    "no",
)


def tree_of(random: Random, depth: int = 0) -> Plain:
    """A group of keys, as a record is."""
    keys = random.sample(KEYS, random.randint(1, 5 if depth < 2 else 3))
    return {key: _value(random, depth + 1) for key in keys}


def _value(random: Random, depth: int) -> Plain:
    kind = random.random()
    if depth > 3 or kind < 0.4:
        return random.choice(WORDS)
    if kind < 0.5:
        return "\n".join(random.choice(("some words", "and more", "", "  indented", "# no comment")) for _ in range(3))
    if kind < 0.75:
        group = random.random() < 0.6
        return [
            tree_of(random, depth) if group else random.choice(WORDS)
            for _ in range(random.randint(0 if depth > 1 else 1, 3))
        ]
    return tree_of(random, depth)


def laid_out(random: Random, tree: Plain) -> str:
    """The tree as the text of a file."""
    text = "\n".join(_lines(random, tree)) + random.choice(("\n", "\n\n", ""))
    if random.random() < 0.3:
        text = f"{random.choice(('# head', '# head', '---'))}\n{text}"
    return text.replace("\n", "\r\n") if random.random() < 0.2 else text


def _lines(random: Random, tree: Plain) -> list[str]:
    lines: list[str] = []
    assert isinstance(tree, dict)
    for key, value in tree.items():
        if random.random() < 0.2:
            lines.append(random.choice(("", "# a comment", "    # far in")))
        lines += _entry(random, _text(random, key, is_key=True), value)
    return lines


def _comment(random: Random) -> str:
    return random.choice(("", "", "", "  # why", " # [x, {y"))


def _entry(random: Random, key: str, value: Plain) -> list[str]:
    if isinstance(value, str):
        if "\n" in value and random.random() < 0.7:
            return _block_text(random, key, value)
        if value == "" and random.random() < 0.5:
            return [f"{key}:{_comment(random)}"]
        return [f"{key}: {_text(random, value)}{_comment(random)}"]
    if not value or random.random() < 0.4:
        return _bracketed_entry(random, key, value)
    indent = random.choice((2, 2, 4, 3))
    if isinstance(value, dict):
        return [f"{key}:{_comment(random)}", *(" " * indent + line if line else "" for line in _lines(random, value))]
    indent = random.choice((0, 2, 4))
    lines = [f"{key}:{_comment(random)}"]
    gap = random.choice((1, 1, 3))
    for each in value:
        if isinstance(each, dict) and random.random() < 0.5:
            inner = list(_lines(random, each))
            while not inner[0] or inner[0].lstrip().startswith("#"):
                inner.pop(0)
            lines += [" " * indent + "-" + " " * gap + inner[0]]
            lines += [" " * (indent + 1 + gap) + line if line else "" for line in inner[1:]]
        else:
            lines.append(f"{' ' * indent}- {_brackets(random, each)}{_comment(random)}")
        if random.random() < 0.2:
            lines.append(random.choice(("", " " * indent + "# of the list", "# at the edge")))
    return lines


def _block_text(random: Random, key: str, value: str) -> list[str]:
    sign = "|" + ("-" if not value.endswith("\n") else "") if value.strip() else ""
    if not sign or value.lstrip("\n") != value or value.startswith(" ") or value.endswith("\n"):
        return [f"{key}: {_text(random, value)}"]
    keep = random.random() < 0.3
    after = [""] * random.randint(0, 2) if keep else [""] * random.randint(0, 1)
    return [f"{key}: {'|+' if keep else sign}", *(f"  {line}" if line else "" for line in value.split("\n")), *after]


def _bracketed_entry(random: Random, key: str, value: Plain) -> list[str]:
    if not value or random.random() < 0.5:
        return [f"{key}: {_brackets(random, value)}{_comment(random)}"]
    open_sign, close = ("[", "]") if isinstance(value, list) else ("{", "}")
    if isinstance(value, list):
        inside = [_brackets(random, each) for each in value]
    else:
        assert isinstance(value, dict)
        inside = [f"{_text(random, name, True)}: {_brackets(random, each)}" for name, each in value.items()]
    trailing = random.choice((",", ""))
    lines = [f"    {each}," for each in inside[:-1]] + [f"    {inside[-1]}{trailing}{random.choice(('', '  # why'))}"]
    return [f"{key}: {open_sign}", *lines, f"    {close}"]


def _brackets(random: Random, value: Plain) -> str:
    if isinstance(value, str):
        return _text(random, value, in_brackets=True)
    if isinstance(value, list):
        return "[" + ", ".join(_brackets(random, each) for each in value) + random.choice(("", " ")) + "]"
    return (
        "{" + ", ".join(f"{_text(random, key, True)}: {_brackets(random, each)}" for key, each in value.items()) + "}"
    )


def _text(random: Random, text: str, is_key: bool = False, in_brackets: bool = False) -> str:
    plain = text and text.isascii() and all(sign.isalnum() or sign in " _/.-" for sign in text)
    if plain and text == text.strip() and text[0].isalnum() and random.random() < 0.8:
        return text
    if "\n" not in text and "\\" not in text and random.random() < 0.5:
        return "'" + text.replace("'", "''") + "'"
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n") + '"'
