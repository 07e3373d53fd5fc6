"""What became of a task since last week, in a sentence; and all that changed, in a line of counts.

Pure: one row in, text out, the words from a language's catalogue. Knows nothing of how the changes were found.
"""

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.report.sentences import day, number
from fleetreport.report.since_rows import Since, SinceRow


def what_changed(row: SinceRow, words: Catalogue = ENGLISH) -> str:
    """`Was due, overdue since 24 Nov 2026.`, with the visit that was missed where there was one."""
    before = _lower(row.status_before, words)
    if row.change == "slipped" and row.planned_on:
        return words["since.said.slipped"].format(status=_lower(row.status, words), planned=day(row.planned_on, words))
    if row.change == "done" and row.done_on:
        again = row.status in ("overdue", "due")
        return words["since.said.done_again" if again else "since.said.done"].format(
            done=day(row.done_on, words), before=before, status=_lower(row.status, words)
        )
    if row.change == "dropped":
        return words["since.said.dropped"].format(before=before, reason=words[f"since.reason.{row.reason}"])
    kind = f"since.said.{row.change}" if row.due_on else "since.said.newly_overdue_undated"
    said = words[kind].format(before=before, due=day(row.due_on, words) if row.due_on else "")
    if row.planned_on:
        said += " " + words["since.said.missed"].format(planned=day(row.planned_on, words))
    return said


def changes_in_a_line(since: Since, words: Catalogue = ENGLISH) -> str:
    """`Since 2026-W47: 5 newly overdue, 7 newly due, …`, or that there is no earlier week."""
    if since.last_week is None:
        return words["since.none"]
    counts = ", ".join(
        words["since.text_count"].format(n=number(len(rows), words), change=words[f"since.change.{change}"].lower())
        for change, rows in since.changes
    )
    return words["since.text"].format(week=since.last_week.iso_week, counts=counts)


def _lower(status: str | None, words: Catalogue) -> str:
    return words[f"status.{status}"].lower() if status else words["since.not_listed"]
