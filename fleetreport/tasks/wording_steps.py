"""Read the descriptions of the history: which wording rules each fits, which tasks are nearest to those none fits.

`DESCRIPTIONS` folds each distinct description once. `WORDING_MATCHES` runs each rule over these, so that a rule costs
as much as there are different texts, not lines. `NEAREST_TASKS` compares the texts that nobody could read with the
words that stand for each task: its code, its title, and what people wrote in lines that name it. That is a suggestion
from alike letters only; nothing of it is applied.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence

import duckdb
from rapidfuzz import fuzz, process

from fleetreport.query import Step
from fleetreport.settings.wording import fold
from fleetreport.sql import literal

SUGGESTIONS = 3
# Of 100: below it two texts have a word or two in common by chance.
ALIKE_FROM = 60
# The wordings that stand in most lines; of what people wrote for a task, its most usual texts.
WORDINGS_LOOKED_AT, TEXTS_OF_A_TASK = 2_000, 12
# A statement a rule spends more on being planned than on being run.
RULES_AT_ONCE = 50


def _fold_all(db: duckdb.DuckDBPyConnection) -> None:
    """Make the table `descriptions`: each distinct description and its folded text."""
    found = db.execute("select distinct description from history where description is not null order by all").fetchall()
    texts = [text for (text,) in found]
    db.execute("create or replace table descriptions (description varchar, folded varchar)")
    if texts:
        folded = [fold(text) for text in texts]
        db.execute("insert into descriptions select unnest(?::varchar[]), unnest(?::varchar[])", [texts, folded])


def _match_all(db: duckdb.DuckDBPyConnection) -> None:
    """Make the table `wording_matches`: one row a description and a rule that it fits."""
    db.execute("create or replace table wording_matches (description varchar, rule bigint)")
    rules = db.execute("select rule, all_of, parts, none_of, pattern from wording_rules order by rule").fetchall()
    for some in (rules[at : at + RULES_AT_ONCE] for at in range(0, len(rules), RULES_AT_ONCE)):
        db.execute(f"insert into wording_matches {' union all '.join(_fits(*rule) for rule in some)}")


def _fits(
    rule: int, all_of: Sequence[str], parts: Sequence[Sequence[str]], none_of: Sequence[str], pattern: str | None
) -> str:
    """A SELECT of the descriptions that fit a rule, its expressions written out: RE2 readies each once, not a row."""
    tests = [_has_one(one, some) for one, some in zip(all_of, parts, strict=True)]
    tests += [f"not regexp_matches(folded, {literal(one)})" for one in none_of]
    if pattern is not None:
        either = " or ".join(f"regexp_matches({text}, {literal(pattern)}, 'i')" for text in ("description", "folded"))
        tests.append(f"({either})")
    return f"select description, {rule} from descriptions where {' and '.join(tests)}"


def _has_one(pattern: str, parts: Sequence[str]) -> str:
    """SQL: whether the folded text fits. Most texts fail on a plain look for the parts, which is many times quicker."""
    some = " or ".join(f"contains(folded, {literal(part)})" for part in parts)
    return f"case when {some} then regexp_matches(folded, {literal(pattern)}) else false end"


def _suggest_all(db: duckdb.DuckDBPyConnection) -> None:
    """Make the table `nearest_tasks`: for each wording up to three tasks of its vehicles' plans, nearest first."""
    db.execute("create or replace table nearest_tasks (wording varchar, rank bigint, task varchar, score double)")
    wanted = db.execute(
        """select wording, array_agg(distinct task order by task)
        from (select wording, vehicle_id from unmatched_lines semi join
            (select wording from unmatched_lines where wording <> '' group by all
                order by count(*) desc, wording limit ?) using (wording))
        join task_plan using (vehicle_id) group by all order by wording""",
        [WORDINGS_LOOKED_AT],
    ).fetchall()
    words = _words_of_tasks(db) if wanted else {}
    for wording, tasks in wanted:
        rows = [[wording, rank, task, score] for rank, (task, score) in enumerate(nearest(wording, tasks, words), 1)]
        if rows:
            db.executemany("insert into nearest_tasks values (?, ?, ?, ?)", rows)


def _words_of_tasks(db: duckdb.DuckDBPyConnection) -> Mapping[str, list[str]]:
    """The folded texts that stand for each task, without repeats."""
    rows = db.execute("select distinct task, coalesce(title, '') from task_plan order by all").fetchall()
    rows += db.execute(
        """select task, folded from
            (select h.task, d.folded, count(*) as lines from history h join descriptions d using (description)
            where h.task is not null group by h.task, d.folded)
        qualify row_number() over (partition by task order by lines desc, folded) <= ? order by all""",
        [TEXTS_OF_A_TASK],
    ).fetchall()
    texts: dict[str, dict[str, None]] = defaultdict(dict)
    for task, text in rows:
        texts[task][fold(task.replace("_", " "))] = None
        if text:
            texts[task][fold(text)] = None
    return {task: list(some) for task, some in texts.items()}


def nearest(wording: str, tasks: Sequence[str], words: Mapping[str, Sequence[str]]) -> list[tuple[str, float]]:
    """Up to three of `tasks` with a text most like `wording` (folded), and how alike of 100; equal ones by name."""
    pairs = [(task, text) for task in tasks for text in words.get(task, ())]
    scores = process.cdist([wording], [text for _, text in pairs], scorer=fuzz.token_ratio, score_cutoff=ALIKE_FROM)[0]
    best: dict[str, float] = {}
    for (task, _), score in zip(pairs, scores, strict=True):
        if score >= ALIKE_FROM:
            best[task] = max(best.get(task, 0.0), round(float(score), 1))
    return sorted(best.items(), key=lambda found: (-found[1], found[0]))[:SUGGESTIONS]


DESCRIPTIONS = Step("descriptions", ("history",), _fold_all)
WORDING_MATCHES = Step("wording_matches", ("descriptions", "wording_rules"), _match_all)
NEAREST_TASKS = Step("nearest_tasks", ("unmatched_lines", "task_plan", "history", "descriptions"), _suggest_all)
