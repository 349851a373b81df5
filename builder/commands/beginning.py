"""The command that begins a shop: init."""

from __future__ import annotations

from pathlib import Path

import click

from builder.commands.asked import wrong
from builder.safe_files import write_file

STARTER = Path(__file__).parent.parent / "starter"


@click.command()
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
def init(folder: Path) -> None:
    """Lay down a new shop folder, with every file explained, that builds at once."""
    files = {
        file: folder / _name_in_shop(file.relative_to(STARTER)) for file in sorted(STARTER.rglob("*")) if file.is_file()
    }
    there = [target for target in files.values() if target.exists()]
    if there:
        wrong(f"{there[0]} is there already; nothing was written. Choose a new folder")
    for file, target in files.items():
        write_file(target, file.read_bytes())
    click.echo(f"Laid down a new shop in {folder}. Next:")
    click.echo(f"  1. Write your shop's name and rules into {folder / 'records' / 'shop.yaml'}.")
    click.echo(f"  2. boutbook build --shop {folder}")


def _name_in_shop(path: Path) -> Path:
    """The starter's `gitignore` becomes `.gitignore`, which a package would not carry under its own name."""
    return path.with_name(".gitignore") if path.name == "gitignore" else path
