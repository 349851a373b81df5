"""A shop that says hostile things wherever it may: the planted one, every canary changed for such words."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

from builder.limits import Serial, WebAddress
from tests.privacy.canaries import Planted
from tests.privacy.planting import NAMES, issue_some, plant
from tests.privacy.searching import CANARY
from tests.privacy.trees import Tree, read_tree

#: A host that nobody may be led to ask for anything.
FOREIGN = "evil.example"
#: What a template would make of `{{ 1234*1001 }}`, and of the like.
WORKED_OUT = "1235234"

#: Words that a page must show as they are, or leave out. They are short, for a name has room for forty letters.
HOSTILE = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "'><svg onload=alert(1)>",
    "javascript:alert(1)",
    "</script><script>alert(1)//",
    "{{ 1234*1001 }}{% raw %}",
    "${1234*1001}#{1234*1001}",
    f"<img src=//{FOREIGN}/a>",
    f"<link href=//{FOREIGN} rel=stylesheet>",
    f"<base href=//{FOREIGN}/>",
    f"![p](//{FOREIGN}/p.png)",
    "[a](javascript:alert(1))",
    "<a href=data:text/html,x>y</a>",
    "<style>*{display:none}</style>",
    "]]></text></svg><!--",
    "--></title></head><body>",
    "../../../etc/passwd",
    "\" ' ` \\ & &lt; %22 %3C",
    "&lt;script&gt;alert(1)",
    "<iframe srcdoc='<script>'>",
    "# heading {#top onclick=x}",
    "- [x] | a | b |\\n",
    "=cmd|' /C calc'!A0",
    "<b>bold</b>&#60;i>",
)
#: What else a text of several lines is made to say, which Markdown may make something of.
IN_MARKDOWN = f"""
[one](javascript:alert(1)) [two](data:text/html;base64,PHNjcmlwdD4=) [three](vbscript:x) [four](//{FOREIGN}/)
![picture](https://{FOREIGN}/picture.png "title") ![][ref] <javascript:alert(1)> <https://example.org/"onclick=x>

<div onclick="alert(1)" style="background:url(//{FOREIGN}/b)">block</div>
<script>alert(1)</script>
<img src="https://{FOREIGN}/raw.png"><svg><a xlink:href="javascript:alert(1)"><text>x</text></a></svg>
<details open ontoggle=alert(1)><form action=//{FOREIGN}><input autofocus onfocus=alert(1)></form></details>

[ref]: javascript:alert(1) "onerror=alert(1)"

    <script>alert("in code")</script>

| a | b |
|---|---|
| <img src=x onerror=alert(1)> | [x](j&#97;vascript:alert(1)) |
"""

#: Gives the words for a canary: its number, the most letters there is room for, whether it may run over lines.
Words = Callable[[int, int, bool], str]


def hostile_words(shift: int) -> Words:
    """Another of the hostile words for each place, from one `shift` to the next; as many as there is room for."""

    def words(number: int, most: int, lines: bool) -> str:
        in_turn = [HOSTILE[(number + shift + more) % len(HOSTILE)] for more in range(len(HOSTILE))]
        said, *others = [each for each in in_turn if len(each) <= most]
        if lines and most >= 1000:
            return f"{said}\n\n{IN_MARKDOWN}"
        for each in others:
            if len(said) + 1 + len(each) <= min(most, 200):
                said = f"{said} {each}"
        return said

    return words


def longest_words(number: int, most: int, lines: bool) -> str:
    """One word as long as may be; or, where there is room, a sentence of it first."""
    return "W" * most if not lines else "A word. " + "W" * (most - len("A word. "))


def shop_that_says(words: Words, folder: Path, only: tuple[str, ...]) -> Path:
    """The demo, or some instruments of it, saying these words in every field that may hold any."""
    planted = plant(folder, only)
    said = {canary: _said(planted, canary, number, words) for number, canary in enumerate(planted.places)}
    for path in sorted((planted.shop / "records").rglob("*.yaml")):
        tree = _saying(read_tree(path.read_text("utf-8")), said)
        path.write_text(json.dumps(tree, ensure_ascii=False, indent=1), "utf-8")
    issue_some(planted.shop)
    return planted.shop


def _said(planted: Planted, canary: str, number: int, words: Words) -> str | None:
    """What is said instead of a canary, with letters of its own at the end, for names must differ. None: it stays."""
    places = [place for place in planted.places[canary] if place.file != NAMES]
    leaves = [place.leaf for place in places if place.leaf is not None]
    if len(leaves) < len(places) or not leaves or any(leaf.kind in (Serial, WebAddress) for leaf in leaves):
        return None
    limits = [leaf.limit for leaf in leaves]
    most = min(leaf.most_letters for leaf in leaves)
    own = canary.removeprefix(CANARY)
    return f"{words(number, most - len(own) - 1, all(getattr(limit, 'lines', False) for limit in limits))} {own}"


def _saying(tree: Tree, said: dict[str, str | None]) -> Tree:
    if isinstance(tree, dict):
        return {_saying(name, said): _saying(inner, said) for name, inner in tree.items()}
    if isinstance(tree, list):
        return [_saying(inner, said) for inner in tree]
    return re.sub(f"{CANARY}[a-z]{{4}}$", lambda found: said.get(found[0]) or found[0], tree)
