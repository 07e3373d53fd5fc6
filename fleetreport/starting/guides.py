"""The user guides that the package carries: which there are, and the one that a person means.

Each is a Markdown file of the folder `guide`; `contents.md` there lists them in the order in which they are shown.
Nothing here prints.
"""

import re
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from fleetreport.alike import nearest_names, question
from fleetreport.problem import CannotReadOrWrite, WrongCall

FOLDER = Path(__file__).parent.parent / "guide"
CONTENTS = "contents"
LISTED = re.compile(r"- \[(?P<title>[^\]]+)\]\((?P<topic>\w+)\.md\): (?P<about>.+)")
COMMENT = re.compile(r"<!--.*?-->\n+", re.DOTALL)
HEAD = re.compile(r"## (?P<head>.+)")


class Guide(NamedTuple):
    """One guide: its topic (the name of its file), its title, what it is about, and the heading it is listed under."""

    topic: str
    title: str
    about: str
    head: str


def guides(folder: Path = FOLDER) -> list[Guide]:
    """All guides in the order of the contents. Raises CannotReadOrWrite where the package is not whole."""
    return list(_listed(text_of(CONTENTS, folder)))


def _listed(contents: str) -> Iterator[Guide]:
    head = ""
    for line in contents.splitlines():
        if found := HEAD.fullmatch(line):
            head = found["head"]
        elif found := LISTED.fullmatch(line):
            yield Guide(found["topic"], found["title"], found["about"], head)


def text_of(topic: str, folder: Path = FOLDER) -> str:
    """The Markdown text of a guide. Raises CannotReadOrWrite where it cannot be read."""
    path = folder / f"{topic}.md"
    try:
        return COMMENT.sub("", path.read_text(encoding="utf-8"))
    except OSError as error:
        raise CannotReadOrWrite(f"{path}: {error.strerror or error}", help="install the package anew") from None


def topic_meant(asked: str, there: Sequence[Guide]) -> str:
    """The topic that was asked for: case, blanks and hyphens make no difference.

    Raises WrongCall with the nearest topics where there is none of that name.
    """
    name = re.sub(r"[\s-]+", "_", asked.strip().lower()).removesuffix(".md")
    topics = [CONTENTS, *(guide.topic for guide in there)]
    if name in topics:
        return name
    called = {re.sub(r"\W+", "_", text.lower()): guide.topic for guide in there for text in (guide.title, guide.topic)}
    near = list(dict.fromkeys(called[one] for one in nearest_names(name, called, most=5)))[:3]
    # Half a name is meant as often as a misspelt one.
    near = near or [topic for topic in topics if name and (name in topic or topic in name)][:3]
    raise WrongCall(
        f'TOPIC: found "{asked}", expected one of {", ".join(topics)}',
        help=f"{question(near)} `fleetreport guide` lists the topics with what each is about".strip(),
    )
