"""The commands that begin a shop: init, and schema for the editor."""

from __future__ import annotations

from pathlib import Path

import click

from builder.commands.asked import from_here, require_records, shop_option, wrong
from builder.reference.grammar import FILES
from builder.reference.schema import SCHEMAS, schema_as_text, schema_name
from builder.safe_files import write_file
from builder.words import counted

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
    _write_schemas(folder / SCHEMAS)
    click.echo(f"Laid down a new shop in {folder}. Next:")
    click.echo(f"  1. Write your shop's name and rules into {folder / 'records' / 'shop.yaml'}.")
    click.echo(f"  2. boutbook build --shop {folder}")


def _name_in_shop(path: Path) -> Path:
    """The starter's `gitignore` becomes `.gitignore`, which a package would not carry under its own name."""
    return path.with_name(".gitignore") if path.name == "gitignore" else path


@click.command()
@shop_option
def schema(folder: Path) -> None:
    """Write what may stand in each kind of file as JSON Schema, for editors that complete and check while you type."""
    require_records(folder)
    _write_schemas(folder / SCHEMAS)
    click.echo(f"Wrote {counted(len(FILES), 'schema')} to {from_here((folder / SCHEMAS).resolve())}.")


def _write_schemas(folder: Path) -> None:
    for file in FILES:
        write_file(folder / schema_name(file), schema_as_text(file).encode())
