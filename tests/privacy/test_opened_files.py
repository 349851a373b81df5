"""No private file is even opened for anything a buyer gets: a hook sees every file that the program opens."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

WATCHED = """
import json, sys
opened = []
sys.addaudithook(lambda event, arguments: opened.append(str(arguments[0])) if event == "open" else None)
from builder.command_line import main
def mkdocs(command, *edition):
    # What MkDocs does when it builds or serves; a command of ours that serves names an edition.
    from mkdocs.commands.build import build
    from mkdocs.config import load_config
    config = load_config("mkdocs.yml", site_dir="../by-mkdocs", extra={"boutbook_edition": each for each in edition})
    config.plugins.on_startup(command=command, dirty=False)
    build(config, serve_url="http://127.0.0.1:8000/" if command == "serve" else None)
seen = []
for arguments in json.loads(sys.argv[1]):
    opened.clear()
    sys.argv[1:] = arguments
    try:
        mkdocs(*arguments[1:]) if arguments[0] == "mkdocs" else main()
    except SystemExit as left:
        assert not left.code, left.code
    private = sorted({name for name in opened if name.endswith("private.yaml") or "/repairs/" in name})
    seen.append((private, sum(name.endswith("record.yaml") for name in opened)))
print(json.dumps(seen))
"""


def private_files_opened_by(shop: Path, *commands: list[str]) -> list[list[str]]:
    """For each of the commands, run one after the other in a process of their own, the private files it opened."""
    done = subprocess.run(
        [sys.executable, "-c", WATCHED, json.dumps(commands)],
        cwd=shop, capture_output=True, text=True, check=True, timeout=120,
    )  # fmt: skip
    seen = json.loads(done.stdout.splitlines()[-1])
    assert len(seen) == len(commands)
    assert all(records >= 4 for _, records in seen)
    return [private for private, _ in seen]


def test_no_private_file_is_opened_while_a_site_is_built(shop: Path, tmp_path: Path) -> None:
    built = [["build"], ["pages", "--to", str(tmp_path / "plain")], ["results", "2024-003"]]
    built += [["export", "--to", str(tmp_path / "export")]]
    by_mkdocs = [["mkdocs", "build"], ["mkdocs", "serve"], ["mkdocs", "serve", "buyer"]]
    not_for_buyers = [["mkdocs", "serve", "shop"], ["check"]]
    not_for_buyers += [["export", "--private", "--to", str(tmp_path / "export")]]
    seen = private_files_opened_by(shop, *built, *by_mkdocs, *not_for_buyers)
    assert seen[:7] == [[]] * 7
    assert (shop.parent / "by-mkdocs" / "instruments" / "2024-003.html").is_file()
    for opened in seen[7:]:
        for private in ("records/private.yaml", "instruments/2024-003/private.yaml", "repairs/R-2026-07.yaml"):
            assert any(name.endswith(private) for name in opened), "the hook sees what it should see"
