"""The user guides as pages for a browser, in the style of the reports.

All guides are written, so that the links from one to another lead somewhere. Like the reports they ask nothing of any
network, and HTML in a guide's text stays text.
"""

import re
from collections.abc import Iterable, Sequence
from itertools import pairwise
from pathlib import Path

from markdown_it import MarkdownIt
from markdown_it.token import Token
from markupsafe import Markup

from fleetreport.pages.frame import page_environment, styled
from fleetreport.problem import CannotReadOrWrite
from fleetreport.starting.guides import CONTENTS, FOLDER, guides, text_of

ANOTHER_GUIDE = re.compile(r"(?P<topic>\w+)\.md(?P<place>#.*)?")


def write_guide_pages(into: Path, folder: Path = FOLDER) -> dict[str, Path]:
    """Write a page for each guide and for the contents into `into`; gives their paths by topic.

    Raises CannotReadOrWrite where they cannot be written.
    """
    listed = guides(folder)
    written = {}
    for topic in [CONTENTS, *(guide.topic for guide in listed)]:
        written[topic] = into / f"{topic}.html"
        try:
            written[topic].write_text(guide_page(text_of(topic, folder), topic), encoding="utf-8", newline="\n")
        except OSError as error:
            raise CannotReadOrWrite(f"{into}: {error.strerror or error}") from None
    return written


def guide_page(text: str, topic: str) -> str:
    """One guide as HTML text."""
    names = ("_style.css", "_guide.css")
    markdown = MarkdownIt("commonmark", {"html": False}).enable("table")
    tokens = markdown.parse(text)
    title = next((heading.content for heading in _headings(tokens)), topic)
    _give_names(tokens)
    _lead_to_pages(tokens)
    body = Markup(_scrollable(markdown.renderer.render(tokens, markdown.options, {})))  # noqa: S704 HTML was escaped
    return page_environment().get_template("guide.html").render(
        title=title, body=body, is_contents=topic == CONTENTS, **styled(*names)
    )  # fmt: skip


def _headings(tokens: Sequence[Token]) -> Iterable[Token]:
    """The text of each heading, after the token that opens it."""
    return (inside for head, inside in pairwise(tokens) if head.type == "heading_open")


def _give_names(tokens: Sequence[Token]) -> None:
    """Name each heading by its words, so that a link can lead to it."""
    for head, inside in pairwise(tokens):
        if head.type == "heading_open":
            head.attrSet("id", re.sub(r"[^\w]+", "-", inside.content.lower()).strip("-"))


def _scrollable(html: str) -> str:
    """What may be wider than the page scrolls by itself, by keyboard too."""
    frame = '<div class="wide" role="region" tabindex="0" aria-label="Table">'
    for ours, framed in (
        ("<pre>", '<pre tabindex="0">'),
        ("<table>", f"{frame}<table>"),
        ("</table>", "</table></div>"),
    ):
        html = html.replace(ours, framed)
    return html


def _lead_to_pages(tokens: Sequence[Token]) -> None:
    """Let links to another guide lead to its page."""
    for token in tokens:
        for inside in token.children or ():
            found = ANOTHER_GUIDE.fullmatch(str(inside.attrGet("href") or ""))
            if inside.type == "link_open" and found:
                inside.attrSet("href", f"{found['topic']}.html{found['place'] or ''}")
