"""Small faults put into SQL, one at a time: a comparison, an operator, a number, a join or a function exchanged.

Works on words and signs, not on a parse tree, so that every other byte of the file stays as it is. Comments, texts,
quoted names and the digits of a type are left alone.
"""

import re
from collections.abc import Iterator
from typing import NamedTuple

TOKEN = re.compile(
    r"(?P<skip>--[^\n]*|'(?:[^']|'')*'|\"[^\"]*\"|\s+)"
    r"|(?P<number>\b\d+(?:\.\d+)?(?:e[-+]?\d+)?\b)"
    r"|(?P<word>[A-Za-z_]\w*)"
    r"|(?P<sign><=|>=|<>|!=|\|\||//|::|->|:=|[-+*/%<>=(),.;\[\]{}:?!])"
)
SIGNS = {"<": "<=", "<=": "<", ">": ">=", ">=": ">", "=": "!=", "!=": "=", "<>": "=", "+": "-", "-": "+", "*": "+",
         "/": "*", "//": "*", "%": "+"}  # fmt: skip
WORDS = {"and": "or", "or": "and", "min": "max", "max": "min", "least": "greatest", "greatest": "least",
         "arg_min": "arg_max", "arg_max": "arg_min", "floor": "ceil", "ceil": "floor", "lag": "lead", "lead": "lag",
         "sum": "max", "desc": "", "distinct": "", "list_max": "list_min", "list_min": "list_max",
         "first_value": "last_value", "last_value": "first_value"}  # fmt: skip
CALLED = {"min", "max", "least", "greatest", "arg_min", "arg_max", "floor", "ceil", "lag", "lead", "sum", "list_max",
          "list_min", "first_value", "last_value"}  # fmt: skip
SIZED = {"decimal", "varchar", "numeric"}
# After one of these, a sign stands before its number and not between two.
BEFORE_UNARY = {"(", ",", "=", "<", ">", "<=", ">=", "!=", "<>", "+", "-", "*", "/", "//", "[", "then", "else", "when",
                "and", "or", "select", "between", "by", "in", "on", "where", ":"}  # fmt: skip


class Token(NamedTuple):
    """A word, number or sign of the text, and where it stands."""

    text: str
    start: int
    end: int
    kind: str


class Mutant(NamedTuple):
    """A text with one fault: the line it is on, what stood there and what stands there now, and the whole of it."""

    line: int
    was: str
    now: str
    text: str


def tokens_of(sql: str) -> list[Token]:
    """All words, numbers and signs in order. Raises ValueError at a letter that is none of these."""
    found, at = [], 0
    while at < len(sql):
        match = TOKEN.match(sql, at)
        if match is None:
            raise ValueError(f"found {sql[at : at + 20]!r}")
        kind = str(match.lastgroup)
        if kind != "skip":
            found.append(Token(match[0].lower() if kind == "word" else match[0], match.start(), match.end(), kind))
        at = match.end()
    return found


def closing(tokens: list[Token], opened: int) -> int:
    """The place of the bracket that closes the one at `opened`."""
    depth = 0
    for at in range(opened, len(tokens)):
        depth += {"(": 1, ")": -1}.get(tokens[at].text, 0)
        if depth == 0:
            return at
    raise ValueError("a bracket is not closed")


def changes(sql: str) -> Iterator[tuple[int, int, str]]:
    """Each fault as (start, end, what stands there then)."""
    tokens = tokens_of(sql)
    betweens = 0
    for at, token in enumerate(tokens):
        before = tokens[at - 1].text if at else "("
        after = tokens[at + 1].text if at + 1 < len(tokens) else ";"
        if token.kind == "number":
            if not (before == "(" and tokens[at - 2].text in SIZED) and not (
                before == "," and tokens[at - 3].text == "(" and tokens[at - 4].text in SIZED
            ):
                yield token.start, token.end, str(int(token.text) + 1) if token.text.isdigit() else f"({token.text}+1)"
        elif token.kind == "sign" and token.text in SIGNS:
            if token.text in ("-", "+") and before in BEFORE_UNARY:
                yield token.start, token.end, " "
            elif token.text == "*" and (before in BEFORE_UNARY or before == "." or after in (")", "exclude", "from")):
                continue
            else:
                yield token.start, token.end, SIGNS[token.text]
        elif token.text == "between":
            betweens += 1
        elif token.text == "and" and betweens:
            betweens -= 1
        elif token.text in WORDS and (token.text not in CALLED or after == "(") and before != ".":
            yield token.start, token.end, WORDS[token.text]
        elif token.text == "left" and after == "join":
            yield token.start, token.end, ""
        elif token.text == "is" and after == "null":
            yield token.start, token.end, "is not"
        elif (token.text == "not" and before == "is" and after == "null") or (token.text == "not" and before != "if"):
            yield token.start, token.end, ""
        elif token.text == "coalesce" and after == "(":
            shut, depth = closing(tokens, at + 1), 0
            for inside in range(at + 1, shut):
                depth += {"(": 1, ")": -1, "[": 1, "]": -1, "{": 1, "}": -1}.get(tokens[inside].text, 0)
                if depth == 1 and tokens[inside].text == ",":
                    first = sql[tokens[at + 1].end : tokens[inside].start]
                    yield token.start, tokens[shut].end, f"({first})"
                    break


def sql_mutants(sql: str) -> list[Mutant]:
    """Every fault that one change puts into the text."""
    return [
        Mutant(sql.count("\n", 0, start) + 1, " ".join(sql[start:end].split()), now, sql[:start] + now + sql[end:])
        for start, end, now in changes(sql)
    ]
