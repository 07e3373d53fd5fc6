"""The words of the week's lists in English: depots, what was not judged or set aside, the page of what to mend.

A part of the catalogue. They may hold `<strong>`; what is filled in is escaped. None may say that anything is safe.
"""

from collections.abc import Mapping

WORDS: Mapping[str, str] = {
    # Counts.
    "rows.one": "{n}\u00a0row",
    "rows.many": "{n}\u00a0rows",
    "cells.one": "{n}\u00a0cell",
    "cells.many": "{n}\u00a0cells",
    "readings.one": "{n}\u00a0meter reading",
    "readings.many": "{n}\u00a0meter readings",
    "upcoming_tasks.one": "{n}\u00a0upcoming task",
    "upcoming_tasks.many": "{n}\u00a0upcoming tasks",
    "files.one": "{n}\u00a0file",
    "files.many": "{n}\u00a0files",
    # What several parts of the page say.
    "show_all": "Show all {n}",
    "not_set": "not set",
    "first_of_quarantine": "The first {shown} of {all}. All of them are in the workbook and in data/quarantine.csv.",
    "first_of_unmatched": "The first {shown} of {all}. All of them are in the workbook and in data/unmatched.csv.",
    "contents.title": "On this page",
    "contents.set_aside": "What was set aside",
    # Depots.
    "depot.at_hand": "Overdue and due: {vehicles}",
    "depot.class": "class {name}",
    "depot.class_and_centre": "class {name}, cost centre {centre}",
    "depot.task_and_why": "Task and why",
    "depot.past_or_left": "Past or left",
    "depot.date": "Date",
    "depot.work": "Work",
    "depot.left": "Left",
    "depot.hours": "{hours}\u00a0h",
    "depot.upcoming_by": "Upcoming by {day}",
    "depot.in_order_of_date": "{tasks}, in order of date",
    "depot.to_print": " (to print them, open the list first; they are in the workbook too)",
    "depot.upcoming_caption": "Upcoming tasks, {depot}",
    "depots.title": "Depots at a glance",
    "depots.caption": "Vehicles, tasks and hours of labour by depot",
    "depots.tasks": "Tasks",
    "depots.labour": "Labour, h",
    "depots.all": "All",
    "depots.in_a_week": "In a week",
    "depots.note": "A vehicle with both overdue and due work is counted in both columns. Labour counts the tasks "
    "whose hours are planned; “in a week” is what the workshop has.",
    # What could not be judged, meters to read.
    "not_judged.title": "What could not be judged",
    "not_judged.lead": "These may be overdue: the records do not tell. Each reason says what would settle it.",
    "not_judged.caption": "Not judged: {reason}",
    "not_judged.why": "Why, and what to do",
    "not_judged.every_task": "every task",
    "not_judged.last_reading": "Last reading: {day}.",
    "not_judged.none": "No task had to be left unjudged.",
    "stale.title": "Meters to read",
    "stale.lead": "Not read for more than {n} days, and due dates hang on them. One photograph of each dial settles "
    "what its row names; the worst come first.",
    "stale.caption": "Meters not read lately, and what hangs on them",
    "stale.meter": "Meter",
    "stale.last_reading": "Last reading",
    "stale.should_show": "Should show about",
    "stale.settles": "A reading settles",
    "stale.ago": "{day}, {days} ago",
    "stale.between": "({low} to {high})",
    "stale.whether.one": "<strong>whether {tasks} is due</strong>, the date of {hanging}",
    "stale.whether.many": "<strong>whether {tasks} are due</strong>, the date of {hanging}",
    "stale.dates": "the date of {hanging}",
    "stale.none": "No due date hangs on a meter that was not read in the last {n} days.",
    # What was set aside.
    "aside.title": "What was set aside from the input",
    "aside.lead": "{rows} not loaded, {cells} left blank, {readings} not believed. Mend them at the place named and "
    "run the week again.",
    "aside.suggestion": "What would fit is a suggestion and was not used. Look at the vehicle or the job card, then "
    "mend the file.",
    "aside.place": "File and line",
    "aside.column": "Column",
    "aside.found": "Found",
    "aside.why": "Why it was set aside",
    "aside.probably": "What probably happened",
    "aside.would_fit": "Would fit",
    "aside.whole_row": "the whole row",
    "aside.of": "of {table}",
    "aside.in": "in {column}",
    "aside.changes": "Lines that meter_changes.csv may lack",
    "aside.changes_note": "Each would let the readings named above stand. Day and final reading are estimates: put "
    "them right from the job card before adding the line.",
    "aside.line": "Line",
    "aside.settled": "Readings it would let stand",
    "aside.none": "Nothing was set aside.",
    # Words of the history that could not be read.
    "unread.title": "Words in the history that could not be read",
    "unread.lead": "These lines name no task, and nothing says that they are a repair, a topping up or a check. If "
    "one of them was planned work, the report does not know that it was done. Write the task into the line, or "
    "one rule for all of its lines into fleet.toml.",
    "unread.show_first": "Show the first {n}",
    "unread.caption": "Words in the history that could not be read, the most frequent first",
    "unread.words": "Words",
    "unread.lines": "Lines",
    "unread.cost": "Cost",
    "unread.last": "Last one",
    "unread.nearest": "Nearest tasks",
    "unread.on": "on {vehicles}",
    "unread.none_alike": "none alike",
    "unread.rule": "(the rule for “{rule}” fits, but its task is not in the plan)",
    "unread.note": "Nearest tasks are a suggestion from alike letters. A rule in fleet.toml: {section}, then "
    "{words_line} and {task_line}, or {kind_line} for what needs no task.",
    "unread.none": "Every line of the history up to this day names a task, or is known for a repair, a topping up or "
    "a check.",
    # Where the figures come from.
    "sources.title": "Where the figures come from",
    "sources.caption": "Input files and what became of their rows: read = loaded + repeated + not loaded",
    "sources.file": "File",
    "sources.table": "Table",
    "sources.read": "Rows read",
    "sources.loaded": "Loaded",
    "sources.repeated": "Repeated",
    "sources.not_loaded": "Not loaded",
    "sources.not_used": "(not used: {columns})",
    "sources.all": "All files",
    "sources.none": "No file was read.",
    # The page of what is wrong with the input.
    "mend.title": "What to mend in the input",
    "mend.page_title": "What to mend in the input: {fleet}",
    "mend.as_of": "As of {day}: {summary}.",
    "mend.lacks": "What could not be looked at",
    "mend.contents": "On this page, the worst first",
    "mend.count": "{kind}: {n}",
    "mend.caption": "{kind}, the most frequent first",
    "mend.wrong": "What is wrong",
    "mend.how_often": "How often",
    "mend.where": "Where, and what stands there",
    "mend.places.one": "{n}\u00a0place",
    "mend.places.many": "{n}\u00a0places",
    "mend.in_files": "in {files}",
    "mend.none": "Every row of every file was loaded, every cell could be read, no reading contradicts another, and "
    "every task can be judged. Whether what stands there is true, only the vehicle tells.",
    "mend.foot": "{fleet}, as of {day}. All places are in data/check.csv. What would fit is a suggestion and was not "
    "used.",
    # Around a guide.
    "guide.title": "{title}: fleetreport guide",
    "guide.label": "Guides",
    "guide.all": "All guides",
    "guide.foot": "A guide of fleetreport. An estimate from records is no decision that a vehicle is safe; the maker's "
    "schedule and the law come first.",
}  # fmt: skip
