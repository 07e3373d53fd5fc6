"""The words of past projections judged and of a forecast with changes, in German: a part of the catalogue."""

from collections.abc import Mapping

WORDS: Mapping[str, str] = {
    # Past projections judged.
    "backtest.title": "Wie gut die Hochrechnungen waren",
    "backtest.page_title": "Wie gut die Hochrechnungen waren: {fleet}",
    "backtest.lead": "{days} nachgespielt, <strong>{first} bis {last}</strong>, jeder nur mit dem, was bis dahin "
    "datiert war; {vehicles} nach dem beurteilt, was folgte.",
    "past_days.one": "{n}\u00a0vergangener Tag",
    "past_days.many": "{n}\u00a0vergangene Tage",
    "backtest.none": "keine",
    "backtest.whole_fleet": "{meter}: der ganze Fuhrpark",
    "backtest.chart_label": "Diagramm: {meter}",
    "backtest.own_caption": "Die Tagesnutzung des Wochenberichts und der beste einfache Schätzer jeder Zeile, im "
    "Nachhinein gewählt",
    "backtest.class_caption": "Klasse {name}",
    "backtest.ahead": "Voraus",
    "backtest.projections": "Hochrechnungen",
    "backtest.vehicles": "Fahrzeuge",
    "backtest.error": "Fehlerquote",
    "backtest.best": "Bester einfacher",
    "backtest.bias": "Verzerrung",
    "backtest.inside": "Im Band",
    "backtest.below": "Darunter",
    "backtest.above": "Darüber",
    "backtest.due_points": "Fälligkeiten",
    "backtest.right_week": "Richtige Woche",
    "backtest.or_beside": "Oder eine daneben",
    "backtest.all_caption": "Fehlerquote jedes Schätzers: die Abweichung als Anteil der gefahrenen Strecke",
    "backtest.losses_caption": "Verluste der Tagesnutzung des Wochenberichts: Pinball-Verlust in {unit} (ohne Faktor "
    "2) und der mittlere absolute skalierte Fehler",
    "backtest.low_edge": "Unterer Rand, 10\u00a0%",
    "backtest.projection": "Hochrechnung, 50\u00a0%",
    "backtest.high_edge": "Oberer Rand, 90\u00a0%",
    "backtest.scaled_error": "Skalierter Fehler",
    "backtest.how": "Wie gemessen wurde",
    "backtest.how_replayed": "An jedem nachgespielten Tag wurden die bis dahin datierten Ablesungen beurteilt und "
    "Tagesnutzung und Bänder errechnet, wie der Wochenbericht es an dem Tag getan hätte. Die Klasse eines "
    "Fahrzeugs, sein Plan und die Einstellungen sind die heutigen, und eine früher datierte, aber später "
    "abgegebene Ablesung gilt als bekannt.",
    "backtest.how_error": "Ein Fehler ist der hochgerechnete Zählerstand minus dem eingetretenen. Er zählt nur, wo "
    "geglaubte Ablesungen sagen, wo der Zähler stand: eine am Tag selbst oder je eine davor und danach, "
    "höchstens das 1,25-Fache der Tage voraus auseinander. Die Fehlerquote ist die Summe der absoluten Fehler "
    "durch die Summe der Strecke seit der damals letzten bekannten Ablesung; die Verzerrung ist dasselbe mit "
    "Vorzeichen, über 0, wo Hochrechnungen zu weit gingen. Tage voraus passen zu oft abgelesenen Zählern, "
    "Monate zu Zählern, die an einem Tag des Monats abgelesen werden.",
    "backtest.how_band": "Das Band von 80\u00a0% soll vier von fünf halten, mit einem von zehn darunter und einem "
    "von zehn darüber. Der skalierte Fehler ist der absolute Fehler am Tag durch die mittlere Änderung des "
    "Fahrzeugs selbst von Monat zu Monat. Eine Fälligkeit ist das nächste Vielfache eines Intervalls aus dem "
    "Plan des Fahrzeugs; sie zählt beim kürzesten der Zeiträume in Tagen, in dem sie erreicht wurde, wo "
    "Ablesungen ihre ISO-Woche nennen.",
    "backtest.how_simple": "Einfache Schätzer: das Mittel der Monate, jeder je drei Monate weiter zurück mit halbem "
    "Gewicht; die Mittel der letzten 30 Tage, 3 Monate und 12 Monate und der ganzen Laufzeit; die "
    "Mediansteigung zwischen den letzten 13 Monatspunkten.",
    "backtest.caution": "Wie sich Hochrechnungen früher bewährt haben, verspricht nicht, wie sie sich künftig "
    "bewähren.",
    "backtest.foot": "{fleet}, {first} bis {last}. Alle Zahlen stehen in data/backtest.csv, nach Fahrzeug in "
    "data/backtest_by_vehicle.csv.",
    # A forecast with changes: what is changed, and its workbook.
    "change_told.labour": "Arbeit zu {rate} die Stunde",
    "change_told.interval": "{task} alle {amount} {unit}",
    "change_told.own_unit": "(in ihrer eigenen Einheit)",
    "change_told.every_item": "jeder Artikel",
    "change_told.price": "{item} zu {price} je Einheit",
    "change_told.factor": "{item} zum {factor}-fachen Preis",
    "change_told.distance": "Laufleistung am Tag mal {factor}",
    "change_told.retired": "Klasse {name} stillgelegt",
    "sheet_name.What if": "Was wäre wenn",
    "sheet_name.All sums": "Alle Summen",
    "what_if_book.lead": "Stand {day}. Alle Beträge in {currency}, ohne Steuer.",
    "what_if_book.level": "Ebene",
    "what_if_book.base": "Wie es ist, {figure}",
    "what_if_book.changed": "Was wäre wenn, {figure}",
    "what_if_book.all": "alle",
    "what_if_book.year": "Jahr",
    "what_if_book.month": "Monat",
    "what_if_book.cost centre": "Kostenstelle",
    "what_if_book.category": "Kategorie",
    "what_if_book.cost centre and month": "Kostenstelle und Monat",
    "what_if_book.cost centre and year": "Kostenstelle und Jahr",
    "what_if_book.category and year": "Kategorie und Jahr",
    "what_if_sheet.name": "Was-wäre-wenn",
    "what_if_sheet.name_of_data": "Was-wäre-wenn-Daten",
}  # fmt: skip
