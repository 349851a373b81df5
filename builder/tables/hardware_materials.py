"""Materials of fittings that a border officer may ask about: ivory, shell, bone, horn, and woods by their bare names.

They are found in the words a record has for its hardware. Nothing here is a promise: entries change, many countries
are stricter than the convention, and how each is known stands beside it. What is not in this table is not therefore
free of every rule.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from builder.tables.wood_properties import HowKnown

ORCHESTRAS = "travel advice of an association of orchestras, updated 22 May 2024"
MUSICIANS = "a European advice page for travelling musicians"
REMEMBERED = "the appendices, as remembered"


@dataclass(frozen=True, slots=True)
class HardwareMaterial:
    """One material: the words it goes by, the appendix it stands in (None where in none), and what is to be said.

    `botanical` are the names of woods that go by these words; what is listed of them stands in the trade listings, and
    `says` tells what the bare word leaves open.
    """

    words: tuple[str, ...]
    called: str
    appendix: Literal["I", "II", "III"] | None
    says: str
    published: str
    source: str
    known: HowKnown
    botanical: tuple[str, ...] = ()


HARDWARE_MATERIALS: tuple[HardwareMaterial, ...] = (
    HardwareMaterial(
        ("ivory", "elephant ivory"), "Elephant ivory", "I",
        "A certificate is asked for even for a sliver of it, and some countries refuse it with one.",
        "May 2024", ORCHESTRAS, "read in a quotation",
    ),
    HardwareMaterial(
        ("mammoth ivory", "mastodon ivory", "fossil ivory"), "Ivory of mammoths", None,
        "The animal is extinct and not listed, but nobody tells it from elephant ivory by looking: carry an expert's "
        "paper that says which it is.",
        "not dated", MUSICIANS, "read in a quotation",
    ),
    HardwareMaterial(
        ("walrus ivory", "walrus"), "Walrus ivory", "III",
        "Listed for Canada; protected by laws of their own in other countries.", "2023", REMEMBERED, "from memory",
    ),
    HardwareMaterial(
        ("vegetable ivory", "tagua"), "Vegetable ivory", None,
        "The nut of a palm: say so, for it looks like what it is named after.", "2023", REMEMBERED, "from memory",
    ),
    HardwareMaterial(
        ("tortoiseshell", "tortoise shell", "turtle shell", "turtleshell", "hawksbill"), "Shell of sea turtles", "I",
        "A certificate is asked for even for a small piece of it.", "May 2024", ORCHESTRAS, "read in a quotation",
    ),
    HardwareMaterial(
        ("whale bone", "whalebone", "baleen", "whale ivory"), "Bone, teeth or baleen of whales", "I",
        "Most whales are in Appendix I; countries have laws on sea mammals besides.",
        "May 2024", f"{ORCHESTRAS}, for the bone; {REMEMBERED}", "from memory",
    ),
    HardwareMaterial(
        ("mother of pearl", "nacre", "pearl shell", "pearl oyster", "pearl dots", "pearl inlay"),
        "Mother-of-pearl", None,
        "Pearl oysters are in no appendix; a declaration as of any part of a wild animal may be asked for, with the "
        "scientific name. Ask which shell it is: nautilus looks alike and is listed.",
        "2023", REMEMBERED, "from memory",
    ),
    HardwareMaterial(
        ("abalone", "paua", "awabi"), "Abalone", None,
        "Most kinds are in no appendix; some countries protect their own. A declaration as of any part of a wild "
        "animal may be asked for, with the scientific name.",
        "2023", REMEMBERED, "from memory",
    ),
    HardwareMaterial(
        ("nautilus",), "Shell of nautilus", "II", "All kinds of chambered nautilus.",
        "proposed August 2016; in force since January 2017", "proposal 48 of the conference of 2016; its coming into "
        "force as remembered", "read in a quotation",
    ),
    HardwareMaterial(
        ("queen conch", "conch", "conch shell"), "Queen conch", "II", "The pink shell of Strombus gigas.",
        "listed by the conference of 1992", "a fisheries officer's talk on its history", "read in a quotation",
    ),
    HardwareMaterial(
        ("giant clam", "tridacna"), "Giant clam", "II", "All kinds of giant clam.", "2023", REMEMBERED, "from memory",
    ),
    HardwareMaterial(
        ("coral",), "Coral", "II", "Black coral and stony corals; red coral for some countries.",
        "2023", REMEMBERED, "from memory",
    ),
    HardwareMaterial(
        ("bone", "cow bone", "cattle bone", "ox bone", "camel bone"), "Bone", None,
        "Bone of cattle is in no appendix. It is taken for ivory at a glance: have it in writing what it is.",
        "2023", REMEMBERED, "from memory",
    ),
    HardwareMaterial(
        ("horn", "buffalo horn", "ox horn", "cow horn"), "Horn", None,
        "Horn of cattle and tame buffalo is in no appendix; that of many wild animals is. Have it in writing which "
        "animal's it is.",
        "2023", REMEMBERED, "from memory",
    ),
    HardwareMaterial(
        ("snakeskin", "snake skin", "python"), "Snake skin", "II", "Pythons and boas, and many other snakes.",
        "2023", REMEMBERED, "from memory",
    ),
    HardwareMaterial(
        ("lizard", "lizard skin", "monitor lizard"), "Lizard skin", "II", "Monitor lizards, of which it mostly is.",
        "May 2024", ORCHESTRAS, "read in a quotation",
    ),
    HardwareMaterial(
        ("rosewood", "palisander", "cocobolo", "african blackwood", "grenadilla", "mpingo"), "A rosewood", None,
        "Which rosewood it is decides; Brazilian rosewood stands in the strictest list.",
        "December 2025", "the listings of woods", "read in a quotation", ("Dalbergia spp.",),
    ),
    HardwareMaterial(
        ("ebony",), "Ebony", None, "Which ebony it is, and from where, decides.",
        "2013", "the listings of woods", "from memory", ("Diospyros spp.",),
    ),
    HardwareMaterial(
        ("pernambuco", "brazilwood"), "Pernambuco", None, "Some woods sold as brazilwood are another kind.",
        "December 2025", "the listings of woods", "read", ("Paubrasilia echinata",),
    ),
)  # fmt: skip

#: What stands right before or after a word and says that the thing only looks like it.
_ONLY_LOOKS = r"(?:imitation|imitating|faux|mock|synthetic|artificial|plastic|celluloid|not|no|without)[\s-]+"
_ONLY_LOOKS_AFTER = r"[\s-]*(?:colou?red|colou?r|like|look|white|style|finish|substitute|replacement)\b"


def materials_in(words: str) -> tuple[HardwareMaterial, ...]:
    """The materials that these words of a record name, each once, in the order of the table.

    Longer names go before the shorter ones in them: mammoth ivory is not elephant ivory, whale bone no cattle bone.
    """
    rest = " ".join(words.casefold().replace("-", " ").split())
    found = set()
    names = sorted(((name, each) for each in HARDWARE_MATERIALS for name in each.words), key=lambda one: -len(one[0]))
    for name, material in names:
        named = re.compile(rf"(?P<looks>\b{_ONLY_LOOKS})?\b{re.escape(name)}s?\b(?P<after>{_ONLY_LOOKS_AFTER})?")
        for match in named.finditer(rest):
            if not match["looks"] and not match["after"]:
                found.add(material)
        rest = named.sub(" ", rest)
    return tuple(each for each in HARDWARE_MATERIALS if each in found)
