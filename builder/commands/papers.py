"""The command that writes one paper of an instrument: sheet."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from builder.certificates.standing import look_up
from builder.commands.asked import (
    find,
    from_here,
    open_here,
    shop_option,
    stop_on_problems,
    with_drawn_address,
    wrong,
)
from builder.publish import publish_shop
from builder.publish.repairs import publish_repair
from builder.reading.folder import repair_files
from builder.safe_files import write_file

if TYPE_CHECKING:
    from builder.published.papers import PublishedPapers
    from builder.published.repair import PublishedRepair
    from builder.sheets.paper import Paper
    from builder.shop import Shop
    from builder.workshop import Instrument, Workshop

BATCH, BLANK, TICKET = "batch", "-", "repair-ticket"


@click.command()
@click.argument("serials", metavar="SERIAL")
@click.argument("kind")
@click.option("--paper", type=click.Choice(["a4", "letter"]), help="Usually the paper of the shop's own units.")
@click.option("--no-names", is_flag=True, help="Leave the buyer's name and wishes out, as for a class.")
@click.option("--to", "target", type=click.Path(path_type=Path), help="File to write; usually in the folder sheets.")
@shop_option
def sheet(serials: str, kind: str, paper: Paper | None, no_names: bool, target: Path | None, folder: Path) -> None:
    """Write one paper of an instrument: full-size templates, bench sheet, label, cards.

    SERIAL may be shortened where it is clear. Several serials with commas between them make one sheet of labels
    (label) or the papers of a batch (batch); - stands for another maker's instrument (repair-ticket), and a ticket for
    the repair that is written under it. A KIND that is not known is answered with those there are.
    """
    from builder.beside import mark_of
    from builder.prose import care_of
    from builder.publish.batch import publish_batch
    from builder.publish.papers import publish_papers
    from builder.sheets import kinds
    from builder.sheets.paper import CannotBePrinted, paper_for

    if kind not in (BATCH, *kinds.KINDS):
        wrong(f"there is no paper «{kind}»; write one of {', '.join((*kinds.KINDS, BATCH))}")
    is_repair = kind == TICKET and serials in repair_files(folder)
    workshop = open_here(folder, private_files=is_repair or kind == BATCH or kind in kinds.TELL_OF_THE_ORDER)
    shop = workshop.shop
    if shop is None:
        stop_on_problems(workshop.problems)
    assert shop is not None, "without a shop file there are problems"
    sized = paper or paper_for(shop.unit)
    repair = _repair(workshop, serials) if is_repair else None
    found = [] if repair or serials == BLANK else [find(workshop, serial.strip()) for serial in serials.split(",")]
    found = [with_drawn_address(each, folder) for each in found]
    care = care_of(folder / "records" / "pages")
    mark, of_the_mark = mark_of(workshop)
    stop_on_problems(of_the_mark)
    papers = [
        _as_issued(publish_papers(each, shop, care=care, names=not no_names, mark=mark), each, shop, workshop)
        for each in found
    ]
    ending = "html" if kind == BATCH else kinds.KINDS[kind].ending
    try:
        if kind == BATCH and papers:
            content = kinds.batch_sheet(publish_batch(found, shop), papers)
        elif kind == "label" and papers:
            content = kinds.labels(papers, sized)
        elif len(papers) == 1:
            content = kinds.KINDS[kind].make(papers[0], sized)
        elif not papers and kind == TICKET:
            content = kinds.ticket_of_repair(repair, publish_shop(shop, mark))
        else:
            wrong(f"«{kind}» is made for one instrument; write one serial")
    except CannotBePrinted as trouble:
        wrong(f"{trouble.message}; {trouble.hint}" if trouble.hint else trouble.message)
    depends = kind == "label" or (kind != BATCH and kinds.KINDS[kind].depends_on_paper)
    named = "-".join(each.record.serial for each in found) if len(found) < 3 else f"{found[0].record.serial}-and-more"
    name = f"{named or (repair.ticket if repair else 'blank')}-{kind}{f'-{sized}' if depends else ''}.{ending}"
    place = target or folder / "sheets" / name
    write_file(place, content)
    click.echo(f"Wrote {from_here(place.resolve())}.")


def _repair(workshop: Workshop, ticket: str) -> PublishedRepair:
    """The repair of a ticket; leaves where its file has errors."""
    file = f"records/repairs/{ticket}.yaml"
    stop_on_problems(tuple(each for each in workshop.problems if each.file == file))
    return publish_repair(next(each for each in workshop.repairs if each.repair.ticket == ticket))


def _as_issued(papers: PublishedPapers, instrument: Instrument, shop: Shop, workshop: Workshop) -> PublishedPapers:
    """The same with what was issued in place of what the record says today. Leaves where a stored file was changed."""
    looked = look_up(instrument, shop, workshop.folder)
    stop_on_problems(looked.problems)
    if looked.standing is None:
        return papers
    standing = looked.standing
    label = replace(papers.label, fingerprint=standing.issue.fingerprint)
    return replace(papers, instrument=standing.published, label=label, certificate=standing.stored.certificate)
