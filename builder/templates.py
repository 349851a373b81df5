"""Our own Jinja environment: everything is escaped, a name that does not exist is an error, and nothing is computed.

Templates live in `site_theme/`. What they may use is a frozen value from `published` and the filters below.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import jinja2
import markdown
import nh3
from markupsafe import Markup

from builder.published import Column, Table
from builder.seam import Section
from builder.words import MONTHS

#: HTML that Markdown from a record may turn into. No pictures, scripts, styles or frames.
_ALLOWED_TAGS = {
    "a", "blockquote", "br", "code", "dd", "dl", "dt", "em", "h3", "h4", "hr", "li", "ol", "p", "pre", "strong",
    "table", "tbody", "td", "th", "thead", "tr", "ul",
}  # fmt: skip
_ALLOWED_ADDRESSES = {"http", "https", "mailto"}

MINUS = "−"


def theme_folder() -> Path:
    """Where the looks are: beside the package in a checkout, inside it when installed."""
    installed = Path(__file__).parent / "site_theme"
    return installed if installed.is_dir() else Path(__file__).parent.parent / "site_theme"


@cache
def environment() -> jinja2.Environment:
    """The environment every template of ours is rendered with."""
    env = jinja2.Environment(
        loader=jinja2.FileSystemLoader(theme_folder()),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    env.filters["cell"] = cell
    env.filters["prose"] = prose
    env.filters["day"] = day_in_words
    env.filters["fixed"] = fixed
    env.filters["with_code"] = with_code
    return env


def render(template: str, **values: object) -> Markup:
    """Render a template of `site_theme/`."""
    return Markup(environment().get_template(template).render(**values))


def section(id: str, title: str, template: str, **values: object) -> Section:
    """Render a template as a section of a page."""
    return Section(id, title, without_blank_lines(render(template, **values)))


def without_blank_lines(html: str) -> str:
    """HTML without blank lines, which would end a raw block in Markdown; in preformatted text they become `&#10;`."""
    kept = re.sub(r"<pre.*?</pre>", lambda found: found.group().replace("\n", "&#10;"), html, flags=re.DOTALL)
    return "\n".join(line for line in kept.split("\n") if line.strip())


def cell(value: str | float, column: Column) -> str:
    """A cell as it is shown: a number with its column's decimals, a true minus, and a plus where signs matter."""
    if isinstance(value, str):
        return value
    return fixed(value, column.decimals, signed=column.signed)


def fixed(value: float, decimals: int, *, signed: bool = False) -> str:
    """A number with so many decimals, rounded once; what rounds to nothing has no sign."""
    text = f"{value:.{decimals}f}"
    if not text.strip("-0."):
        return text.removeprefix("-")
    return text.replace("-", MINUS) if text.startswith("-") else f"{'+' if signed else ''}{text}"


def prose(text: str) -> Markup:
    """Markdown from a record as HTML that can do no harm: no scripts, no pictures, no addresses but the web's."""
    html = markdown.markdown(text, extensions=["sane_lists", "smarty", "tables"])
    return Markup(
        nh3.clean(
            html,
            tags=_ALLOWED_TAGS,
            attributes={"a": {"href"}},
            url_schemes=_ALLOWED_ADDRESSES,
            link_rel="noopener noreferrer",
        )
    )


def with_code(text: str) -> Markup:
    """A sentence of ours, what stands between `backticks` set as it is written in a file."""
    parts = text.split("`")
    return Markup("").join(
        Markup("<code>{}</code>").format(part) if number % 2 else part for number, part in enumerate(parts)
    )


def day_in_words(iso: str) -> str:
    """`2026-03-06` as `6 March 2026`, which nobody on either side of an ocean can misread."""
    year, month, day = iso.split("-")
    return f"{int(day)} {MONTHS[int(month) - 1]} {year}"


def as_csv_rows(table: Table) -> list[list[str]]:
    """A table for a spreadsheet: a head of keys with units, then plain numbers at full length."""
    head = [f"{column.key} [{column.unit}]" if column.unit else column.key for column in table.columns]
    return [head, *([str(value) for value in row] for row in table.rows)]
