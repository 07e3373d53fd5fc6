"""The words of the week's lists in German: depots, what was not judged or set aside, the page of what to mend.

A part of the catalogue. They may hold `<strong>`; what is filled in is escaped. None may say that anything is safe.
"""

from collections.abc import Mapping

WORDS: Mapping[str, str] = {
    # Counts.
    "rows.one": "{n}\u00a0Zeile",
    "rows.many": "{n}\u00a0Zeilen",
    "cells.one": "{n}\u00a0Zelle",
    "cells.many": "{n}\u00a0Zellen",
    "readings.one": "{n}\u00a0Zählerstand",
    "readings.many": "{n}\u00a0Zählerstände",
    "upcoming_tasks.one": "{n}\u00a0anstehende Aufgabe",
    "upcoming_tasks.many": "{n}\u00a0anstehende Aufgaben",
    "files.one": "{n}\u00a0Datei",
    "files.many": "{n}\u00a0Dateien",
    # What several parts of the page say.
    "show_all": "Alle {n} zeigen",
    "not_set": "nicht festgelegt",
    "first_of_quarantine": "Die ersten {shown} von {all}. Alle stehen in der Arbeitsmappe und in data/quarantine.csv.",
    "first_of_unmatched": "Die ersten {shown} von {all}. Alle stehen in der Arbeitsmappe und in data/unmatched.csv.",
    "contents.title": "Auf dieser Seite",
    "contents.set_aside": "Was beiseitegelegt wurde",
    # Depots.
    "depot.at_hand": "Überfällig und fällig: {vehicles}",
    "depot.class": "Klasse {name}",
    "depot.class_and_centre": "Klasse {name}, Kostenstelle {centre}",
    "depot.task_and_why": "Aufgabe und warum",
    "depot.past_or_left": "Abstand",
    "depot.date": "Datum",
    "depot.work": "Arbeit",
    "depot.left": "Noch",
    "depot.hours": "{hours}\u00a0h",
    "depot.upcoming_by": "Anstehend bis {day}",
    "depot.in_order_of_date": "{tasks}, nach Datum",
    "depot.to_print": " (zum Drucken zuerst die Liste öffnen; sie stehen auch in der Arbeitsmappe)",
    "depot.upcoming_caption": "Anstehende Aufgaben, {depot}",
    "split.depots": "Eine Seite für jeden Standort sagt, was dort fällig ist, was nicht beurteilt werden konnte und "
    "welche Zähler abzulesen sind:",
    "split.part": ", Teil {part} von {parts}",
    "split.title": "{depot} in {week}: {fleet}",
    "split.more_vehicles": "Und {vehicles}, auf den Seiten ihrer Standorte.",
    "split.not_judged": "Anzahl nach Grund; Fahrzeug für Fahrzeug stehen sie auf den Seiten ihrer Standorte.",
    "split.more_meters": "{n} weitere stehen auf den Seiten ihrer Standorte.",
    "split.more_changes": "{n} weitere in data/since_last_week.csv.",
    "split.more_visits": "{n} weitere in data/visits.csv.",
    "split.more_late": "{n} weitere in data/late_without_order.csv.",
    "split.cards": "Die Werkstattaufträge jedes Standorts sind eine eigene Datei:",
    "depots.title": "Standorte im Überblick",
    "depots.caption": "Fahrzeuge, Aufgaben und Arbeitsstunden nach Standort",
    "depots.tasks": "Aufgaben",
    "depots.labour": "Arbeit, h",
    "depots.all": "Alle",
    "depots.in_a_week": "Je Woche",
    "depots.note": "Ein Fahrzeug mit überfälliger und fälliger Arbeit zählt in beiden Spalten. Arbeit zählt die "
    "Aufgaben, deren Stunden geplant sind; „je Woche“ ist, was die Werkstatt hat.",
    # What could not be judged, meters to read.
    "not_judged.title": "Was nicht beurteilt werden konnte",
    "not_judged.lead": "Diese können überfällig sein: Die Aufzeichnungen sagen es nicht. Jeder Grund nennt, was es "
    "klären würde.",
    "not_judged.caption": "Nicht beurteilt: {reason}",
    "not_judged.why": "Warum, und was zu tun ist",
    "not_judged.every_task": "jede Aufgabe",
    "not_judged.last_reading": "Letzte Ablesung: {day}.",
    "not_judged.none": "Keine Aufgabe musste unbeurteilt bleiben.",
    "stale.title": "Abzulesende Zähler",
    "stale.lead": "Seit mehr als {n} Tagen nicht abgelesen, und Fälligkeiten hängen davon ab. Ein Foto jedes Zählers "
    "klärt, was seine Zeile nennt; die dringendsten zuerst.",
    "stale.caption": "Länger nicht abgelesene Zähler, und was von ihnen abhängt",
    "stale.meter": "Zähler",
    "stale.last_reading": "Letzte Ablesung",
    "stale.should_show": "Sollte etwa zeigen",
    "stale.settles": "Eine Ablesung klärt",
    "stale.ago": "{day}, {days} her",
    "stale.between": "({low} bis {high})",
    "stale.whether.one": "<strong>ob {tasks} fällig ist</strong>, das Datum für {hanging}",
    "stale.whether.many": "<strong>ob {tasks} fällig sind</strong>, das Datum für {hanging}",
    "stale.dates": "das Datum für {hanging}",
    "stale.none": "Keine Fälligkeit hängt von einem Zähler ab, der in den letzten {n} Tagen nicht abgelesen wurde.",
    # What was set aside.
    "aside.title": "Was von der Eingabe beiseitegelegt wurde",
    "aside.lead": "{rows} nicht geladen, {cells} leer gelassen, {readings} nicht geglaubt. An der genannten Stelle "
    "berichtigen und die Woche neu rechnen.",
    "aside.suggestion": "Was passen würde, ist ein Vorschlag und wurde nicht verwendet. Erst Fahrzeug oder "
    "Werkstattauftrag ansehen, dann die Datei berichtigen.",
    "aside.place": "Datei und Zeile",
    "aside.column": "Spalte",
    "aside.found": "Gefunden",
    "aside.why": "Warum beiseitegelegt",
    "aside.probably": "Was wahrscheinlich geschah",
    "aside.would_fit": "Würde passen",
    "aside.whole_row": "die ganze Zeile",
    "aside.of": "von {table}",
    "aside.in": "in {column}",
    "aside.changes": "Zeilen, die in meter_changes.csv fehlen könnten",
    "aside.changes_note": "Jede ließe die oben genannten Ablesungen gelten. Tag und Endstand sind Schätzungen: vor "
    "dem Eintragen nach dem Werkstattauftrag richtigstellen.",
    "aside.line": "Zeile",
    "aside.settled": "Ablesungen, die gelten würden",
    "aside.none": "Nichts wurde beiseitegelegt.",
    # Words of the history that could not be read.
    "unread.title": "Wörter der Historie, die nicht gelesen werden konnten",
    "unread.lead": "Diese Zeilen nennen keine Aufgabe, und nichts sagt, dass sie eine Reparatur, eine Nachfüllung "
    "oder eine Kontrolle sind. War eine davon geplante Arbeit, weiß der Bericht nicht, dass sie ausgeführt "
    "wurde. Die Aufgabe in die Zeile schreiben oder eine Regel für alle solchen Zeilen in fleet.toml.",
    "unread.show_first": "Die ersten {n} zeigen",
    "unread.caption": "Wörter der Historie, die nicht gelesen werden konnten, die häufigsten zuerst",
    "unread.words": "Wörter",
    "unread.lines": "Zeilen",
    "unread.cost": "Kosten",
    "unread.last": "Zuletzt",
    "unread.nearest": "Ähnlichste Aufgaben",
    "unread.on": "{vehicles}",
    "unread.none_alike": "keine ähnliche",
    "unread.rule": "(die Regel für „{rule}“ passt, aber ihre Aufgabe steht nicht im Plan)",
    "unread.note": "Die ähnlichsten Aufgaben sind ein Vorschlag nach gleichen Buchstaben. Eine Regel in fleet.toml: "
    "{section}, dann {words_line} und {task_line}, oder {kind_line} für das, was keine Aufgabe braucht.",
    "unread.none": "Jede Zeile der Historie bis zu diesem Tag nennt eine Aufgabe oder ist als Reparatur, Nachfüllung "
    "oder Kontrolle erkannt.",
    # Where the figures come from.
    "sources.title": "Woher die Zahlen kommen",
    "sources.caption": "Eingabedateien und was aus ihren Zeilen wurde: gelesen = geladen + wiederholt + nicht geladen",
    "sources.file": "Datei",
    "sources.table": "Tabelle",
    "sources.read": "Gelesene Zeilen",
    "sources.loaded": "Geladen",
    "sources.repeated": "Wiederholt",
    "sources.not_loaded": "Nicht geladen",
    "sources.not_used": "(nicht verwendet: {columns})",
    "sources.all": "Alle Dateien",
    "sources.none": "Keine Datei wurde gelesen.",
    # The page of what is wrong with the input.
    "mend.title": "Was an der Eingabe zu berichtigen ist",
    "mend.page_title": "Was an der Eingabe zu berichtigen ist: {fleet}",
    "mend.as_of": "Stand {day}: {summary}.",
    "mend.lacks": "Was nicht angesehen werden konnte",
    "mend.contents": "Auf dieser Seite, das Schlimmste zuerst",
    "mend.count": "{kind}: {n}",
    "mend.caption": "{kind}, das Häufigste zuerst",
    "mend.wrong": "Was falsch ist",
    "mend.how_often": "Wie oft",
    "mend.where": "Wo, und was dort steht",
    "mend.places.one": "{n}\u00a0Stelle",
    "mend.places.many": "{n}\u00a0Stellen",
    "mend.in_files": "in {files}",
    "mend.none": "Jede Zeile jeder Datei wurde geladen, jede Zelle war lesbar, keine Ablesung widerspricht einer "
    "anderen, und jede Aufgabe kann beurteilt werden. Ob stimmt, was dort steht, sagt nur das Fahrzeug.",
    "mend.foot": "{fleet}, Stand {day}. Alle Stellen stehen in data/check.csv. Was passen würde, ist ein Vorschlag "
    "und wurde nicht verwendet.",
    # Around a guide.
    "guide.title": "{title}: Anleitung zu fleetreport",
    "guide.label": "Anleitungen",
    "guide.all": "Alle Anleitungen",
    "guide.foot": "Eine Anleitung zu fleetreport. Eine Schätzung aus Aufzeichnungen ist keine Entscheidung, dass ein "
    "Fahrzeug sicher ist; Herstellervorgabe und Gesetz gehen vor.",
}  # fmt: skip
