"""A subject's figures as a section of a page, with its drawing or plot if it has one."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from builder.drawings.body import body_svg
from builder.published import Subject
from builder.published.body import PublishedBodyDrawing
from builder.seam import Section
from builder.templates import section


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing or plot that stands among the figures of a subject; `kind` is its class in the style sheet."""

    svg: Markup
    name: str
    kind: str


def figures_section(subject: Subject, picture: Picture | None = None, *, show_wanting: bool = False) -> Section:
    """The section of one subject; `show_wanting` tells the maker what a sum half begun still lacks."""
    return section(
        subject.key, subject.title, "pages/figures.html",
        figures=subject.figures,
        drawing=picture.svg if picture else None,
        drawing_name=picture.name if picture else "",
        drawing_class=picture.kind if picture else "",
        show_wanting=show_wanting,
    )  # fmt: skip


def body_picture(drawing: PublishedBodyDrawing | None, name: str) -> Picture | None:
    """The body to scale, where its outline is known."""
    return Picture(body_svg(drawing, name=name), "Drawing of the body", "bb-body-drawing") if drawing else None
