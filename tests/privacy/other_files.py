"""Canaries in everything that is no record: room log, outlines, pages of prose, drafts, files that nobody asked for."""

from __future__ import annotations

from pathlib import Path

from PIL import Image

from builder.prose import ENDINGS
from tests import recording_samples
from tests.photo_samples import EVERYTHING, jpeg_with_everything
from tests.privacy.canaries import Planted
from tests.privacy.trees import read_tree

#: How a maker may say above a page that it is a draft, with and without the lines that belong round it.
DRAFTS = (
    "---\ndraft: yes\ntitle: {title}\n---",
    "---\ntitle: {title}\ndraft: True  # for now\n---",
    "---\ntitle: [{title}\ndraft: yes\n---",
    "\ufeff---\r\nDraft: on\r\ntitle: '{title}'\r\n---",
    "draft: yes\ntitle: {title}",
)
#: No picture in any site is like this one, nor of its proportions.
DRAFT = Image.new("RGB", (333, 77), (1, 254, 2))

STRAY_ENDINGS = ("txt", "png", "yaml~", "html", "svg", "md.bak")


def said(path: Path, records: Path) -> str:
    """A file as it is called here: from the folder of the records."""
    return path.relative_to(records).as_posix()


def plant_outlines(planted: Planted, records: Path) -> dict[str, str]:
    """Titles and remarks in pictures to trace, and their names: old name ─► new."""
    names = {}
    for path in sorted((records / "outlines").glob("*.svg")):
        file = said(path, records)
        names[path.name] = f"{planted.canary(file, 'name of the file')}.svg"
        head, bracket, rest = path.read_text("utf-8").partition(">")
        title = f"<title>{planted.canary(file, 'title')}</title>"
        remark = f"<!-- {planted.canary(file, 'remark')} -->"
        path.write_text(f"{head}{bracket}{title}{remark}{rest}", "utf-8")
        path.rename(path.with_name(names[path.name]))
    return names


def plant_room_log(planted: Planted, records: Path) -> None:
    """A remark, a column that only the logger needs, and a row of a year that nothing else is of."""
    path = records / "room.csv"
    head, *rows = path.read_text("utf-8").splitlines()
    file = said(path, records)
    told = [f"{row},{planted.canary(file, 'column of the logger')}" for row in rows]
    remark = f"# {planted.canary(file, 'remark')}"
    path.write_text("\n".join([f"{head},who", remark, *told, "2171-03-17 11:43,66,41,nobody"]) + "\n", "utf-8")


def plant_prose(planted: Planted, records: Path) -> None:
    """Prose for buyers stays as it is, but may have remarks above it and in it; a draft is nobody's business."""
    pages = records / "pages"
    for path in sorted(pages.glob("*.md")):
        file, text = said(path, records), path.read_text("utf-8")
        above, behind, inside = (
            planted.canary(file, f"remark {where}") for where in ("above", "behind", "in the text")
        )
        front, text = text.removeprefix("---\n").split("---\n", 1) if text.startswith("---\n") else ("", text)
        path.write_text(
            f"---\n# {above}\nshown: yes # {behind}\n{front}---\n{text}\n<!-- ask\n\n{inside} -->\n", "utf-8"
        )
    for number, head in enumerate(DRAFTS):
        for ending in ENDINGS:
            file = f"pages/deeper/draft {number} {ending}"
            title, body, name = (planted.canary(file, part) for part in ("title", "text", "name of the file"))
            path = pages / "deeper" / f"{name}{ending}"
            path.parent.mkdir(exist_ok=True)
            path.write_text(f"{head.format(title=title)}\n\n# {title}\n\n{body}\n", "utf-8")


def plant_photographs(planted: Planted, records: Path) -> dict[str, str]:
    """In every photograph all that cameras and programs leave there, and names that tell: old name ─► new.

    For each there is one of every kind then; only a draft stays alone, and shows what no other picture shows.
    """
    names: dict[str, str] = {}
    for path in sorted(records.glob("instruments/*/photos/*")):
        file, words = (
            said(path, records),
            read_tree((path.parents[1] / "record.yaml").read_text("utf-8")).get("photos", {}),
        )
        is_draft = words.get(path.name, {}).get("draft", "no") != "no"
        names.setdefault(path.name, f"{planted.canary(file, 'name of the file')}.jpg")
        path.unlink()
        if is_draft:
            draft = jpeg_with_everything(planted.canary(file, "in a draft"), DRAFT)
            path.with_name(names[path.name]).write_bytes(draft)
            continue
        for kind, content_of in EVERYTHING.items():
            other = f"{planted.canary(file, 'name of the file')}.{kind.split()[0]}"
            name = names[path.name] if kind == "jpeg" else other
            path.with_name(name).write_bytes(content_of(planted.canary(file, f"in a {kind}")))
    return names


def plant_mark(planted: Planted, records: Path) -> dict[str, str]:
    """All that programs write into a picture in the shop's mark, and its name: old name ─► new."""
    mark = records / "mark.png"
    name = f"{planted.canary(said(mark, records), 'name of the file')}.png"
    mark.unlink()
    mark.with_name(name).write_bytes(EVERYTHING["png"](planted.canary(said(mark, records), "in it")))
    return {mark.name: name}


def plant_recordings(planted: Planted, records: Path) -> dict[str, str]:
    """The same in every recording. What is heard of a draft says a canary itself, so that none of it may get out."""
    names: dict[str, str] = {}
    for path in sorted(records.glob("instruments/*/recordings/*")):
        file, words = (
            said(path, records),
            read_tree((path.parents[1] / "record.yaml").read_text("utf-8")).get("recordings", {}),
        )
        is_draft = words.get(path.name, {}).get("draft", "no") != "no"
        names.setdefault(path.name, f"{planted.canary(file, 'name of the file')}{path.suffix}")
        path.unlink()
        if is_draft:
            draft = recording_samples.wav_of(planted.canary(file, "heard in a draft").encode())
            path.with_name(names[path.name]).write_bytes(draft)
            continue
        for kind, content_of in recording_samples.EVERYTHING.items():
            other = f"{planted.canary(file, 'name of the file')}.{kind.split()[0]}"
            name = names[path.name] if kind == "mp3" else other
            path.with_name(name).write_bytes(content_of(planted.canary(file, f"in a {kind}")))
    return names


def plant_stray_files(planted: Planted, records: Path) -> None:
    """Files that nobody asked for, wherever a maker may leave one, and a remark in the settings of the site."""
    folders = [records, *(path for path in sorted(records.rglob("*")) if path.is_dir())]
    # In these `check` says that such a file does not belong there.
    folders = [folder for folder in folders if folder.name not in ("instruments", "photos", "recordings")]
    for folder in folders:
        for ending in STRAY_ENDINGS:
            if (folder.name, ending) != ("outlines", "svg"):
                name, text = (planted.canary(said(folder, records), f"stray .{ending} file") for _ in range(2))
                (folder / f"{name}.{ending}").write_text(text, "utf-8")
    settings = planted.shop / "mkdocs.yml"
    remark = planted.canary("mkdocs.yml", "remark")
    settings.write_text(f"# {remark}\n{settings.read_text('utf-8')}", "utf-8")
