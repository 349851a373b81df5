"""The order of the house: a room may use the rooms above it in this list, and itself. Nothing runs the other way."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

HOUSE = Path(__file__).parent.parent / "builder"

#: From the first to the last. A new module or folder of `builder/` is put in its place here first.
ORDER = (
    # plain words and numbers
    "words",
    "problems",
    "lengths",
    "units",
    "money",
    "limits",
    "refused",
    "sources",
    # sums that know nothing of records
    "calculations",
    "tables",
    # from the maker's files to what is worked out
    "record",
    "shop",
    "reading",
    "reference",
    "editing",
    "collection",
    "results",
    "workshop",
    # what a buyer may see
    "published",
    "publish",
    # what pages are made of
    "seam",
    "addresses",
    "templates",
    "drawings",
    "plots",
    "sheets",
    "link_picture",
    "pages",
    # the site, and those who hand it over
    "links",
    "file_calls",
    "safe_files",
    "apart",
    "photos",
    "entries",
    "imports",
    "certificates",
    "recordings",
    "kept",
    "comparing",
    "exports",
    "kept_pictures",
    "kept_sounds",
    "unlisted",
    "beside",
    "prose",
    "site",
    "plain_folder",
    "mkdocs_plugin",
    "commands",
    "command_line",
    "__main__",
)

#: Folders that hold files to copy, and no module.
NO_MODULES = {"starter", "site_theme", "__pycache__"}

#: Rooms that may use less than the order lets them: all that they may use of the house, besides themselves.
ONLY = {
    "units": {"lengths"},
    "money": {"lengths"},
    "calculations": {"lengths", "units"},
    "tables": {"lengths", "units"},
    "words": set[str](),
    "published": {"lengths"},
    "seam": set[str](),
    "addresses": set[str](),
    "templates": {"words", "published", "seam"},
    "drawings": {"words", "published", "templates", "seam", "addresses", "lengths"},
    "plots": {"words", "published", "templates", "seam", "addresses", "lengths", "drawings"},
    "sheets": {"words", "published", "templates", "seam", "addresses", "lengths", "drawings", "plots"},
    "link_picture": {"published", "sheets"},
    "pages": {
        "words",
        "published",
        "templates",
        "seam",
        "addresses",
        "lengths",
        "drawings",
        "plots",
        "sheets",
        "link_picture",
    },
    "links": set[str](),
    "editing": set[str](),
    "file_calls": set[str](),
    "safe_files": {"file_calls"},
    "apart": set[str](),
    "photos": {"refused"},
    "recordings": {"refused"},
    "refused": set[str](),
}

#: Other people's packages that stay in one room, and those that stay outside.
LIVES_ONLY_IN = {
    "mkdocs": {"mkdocs_plugin"},
    "material": {"mkdocs_plugin"},
    "matplotlib": {"plots"},
    "ezdxf": {"sheets"},
    "reportlab": {"sheets"},
    "segno": {"sheets"},
    "yaml": {"reading", "editing"},
    "PIL": {"link_picture", "photos"},
    "click": {"commands", "command_line"},
    "jinja2": {"templates"},
    "pydantic": set[str](),
}

MODULES = sorted(path for path in HOUSE.rglob("*.py") if NO_MODULES.isdisjoint(path.relative_to(HOUSE).parts))


def room_of(path: Path) -> str:
    return path.relative_to(HOUSE).parts[0].removesuffix(".py")


@cache
def imported_by(path: Path) -> tuple[str, ...]:
    """Every module that a file imports anywhere in it, at the top or late, by its full name."""
    return tuple(_imported_by(path))


def _imported_by(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path.name} imports from beside itself; write the whole name"
            module = node.module or ""
            yield from (f"{module}.{alias.name}" for alias in node.names) if module == "builder" else (module,)


def rooms_used_by(path: Path) -> set[str]:
    return {name.split(".")[1] for name in imported_by(path) if name.startswith("builder.")} - {room_of(path)}


def test_every_room_has_its_place_in_the_order() -> None:
    rooms = {room_of(path) for path in MODULES} - {"__init__"}
    assert rooms - set(ORDER) == set(), "put the new module into ORDER, where it belongs"
    assert set(ORDER) - rooms == set(), "this module is gone; take it out of ORDER"
    assert len(set(ORDER)) == len(ORDER)


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(HOUSE).as_posix())
def test_a_module_uses_only_what_stands_before_it(path: Path) -> None:
    room = room_of(path)
    used = rooms_used_by(path)
    if room == "__init__":
        assert not used
        return
    before = set(ORDER[: ORDER.index(room)])
    assert used - before == set(), f"{room} may not use these; see ORDER"
    assert used - ONLY.get(room, before) == set(), f"{room} may not use these; see ONLY"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(HOUSE).as_posix())
def test_packages_of_others_stay_in_their_room(path: Path) -> None:
    for name in imported_by(path):
        package = name.split(".")[0]
        assert room_of(path) in LIVES_ONLY_IN.get(package, {room_of(path)}), f"{package} is imported here"


@pytest.mark.parametrize("path", sorted((HOUSE / "publish").glob("*.py")), ids=lambda path: path.name)
def test_what_is_published_is_named_and_not_worked_out(path: Path) -> None:
    """Of the sums, `publish` may know the kinds of value (`Point`, `Note`), and call none of them."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("builder.calculations"):
            assert all(alias.name[0].isupper() for alias in node.names), f"{path.name} works something out"


def test_importing_the_door_loads_nothing_heavy() -> None:
    """Opening a shop and printing results needs neither the site generator nor the plots."""
    import subprocess
    import sys

    program = "import sys, builder.workshop, builder.publish; print(*{name.split('.')[0] for name in sys.modules})"
    loaded = subprocess.run(
        [sys.executable, "-c", program], cwd=HOUSE.parent, check=True, capture_output=True, text=True
    )
    assert {"mkdocs", "material", "matplotlib", "jinja2", "markdown"}.isdisjoint(loaded.stdout.split())
