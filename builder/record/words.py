"""Kinds of text that fields of the records share: how long they may be, and which words are fixed."""

from __future__ import annotations

from typing import Annotated, Literal, NewType

from builder.limits import Words

Format = Literal["1"]
Cut = Literal["quartersawn", "rift sawn", "flatsawn"]

#: The name of something the shop file lists: a string set, a fret wire, a finish schedule.
NameInShop = NewType("NameInShop", str)

Line = Annotated[str, Words(120)]
Sentence = Annotated[str, Words(400)]
Part = Annotated[str, Words(40)]
