"""The words of the order's letters and sheets in German: a part of the catalogue. All are plain text.

None may say that a product is approved, equivalent or suitable: texts of records cannot know that.
"""

from collections.abc import Mapping

WORDS: Mapping[str, str] = {
    # Letters to suppliers.
    "letter.title": "Bestellung {reference} von {fleet}, {day}",
    "letter.question_title": "Anfrage von {fleet}, {day} ({reference}): bitte noch nichts senden",
    "letter.to": "An: {email}",
    "letter.account": "Unsere Kundennummer: {account}",
    "letter.reference": "Unsere Bestellnummer: {reference} (bitte angeben)",
    "letter.deliver_to": "Lieferanschrift: {place}",
    "letter.dear": "An {supplier},",
    "letter.dear_nobody": "Sehr geehrte Damen und Herren,",
    "letter.please": "bitte senden Sie uns:",
    "letter.line": "{count} x {product} ({pack}, {size})",
    "letter.for": "für: {title}",
    "letter.must_list": "muss aufführen: {tokens}",
    "letter.not_listed": "In unseren Daten zu diesem Produkt steht {tokens} nicht. Bitte beantworten Sie das zuerst.",
    "letter.price": "je {each}, {cost}",
    "letter.wanted": "gewünscht bis {day}",
    "letter.wanted_now": "so bald wie möglich gewünscht: es fehlt uns bereits",
    "letter.wanted_soon": "gewünscht bis {day}, wenn möglich schneller als die übliche Lieferzeit ({days})",
    "letter.total": "Zusammen {money}, nach den Preisen Ihrer Liste, Steuern und Fracht wie vereinbart.",
    "letter.ask": "Bitte senden Sie das Folgende NOCH NICHT. Wir fragen zuerst, da unsere Daten dazu etwas anderes "
    "aufführen, als gebraucht wird:",
    "letter.ask_line": "{count} x {product} ({pack}, {size})",
    "letter.ask_tokens": "gebraucht und nicht aufgeführt: {tokens}. Was führt das Produkt auf?",
    "letter.confirm": "Bitte bestätigen Sie Preise und Liefertag. Bitte melden Sie sich, bevor Sie etwas senden, das "
    'nicht aufführt, was unter "muss aufführen" steht, oder das nicht das genannte Produkt ist.',
    "letter.answer": "Bitte senden Sie uns das Datenblatt des Produkts. Ob es verwendet werden darf, entscheidet der "
    "Hersteller des Fahrzeugs.",
    "letter.regards": "Mit freundlichen Grüßen",
    # The letter to the buyer.
    "mail.chart_table": "Die Zahlen dahinter stehen in der beiliegenden Arbeitsmappe.",
    "mail.order_subject": "{fleet}: Bestellung {week}, {packs}, {cost}",
    "mail.order_heading": "Woche {week} {year}: was zu kaufen ist",
    "mail.order_text_heading": "{fleet}: was zu kaufen ist, Woche {week} {year}",
    "mail.order_as_of": "Stand: {day}.",
    "mail.order_figures": "Heute können {packs} für {cost} bestellt werden ({suppliers}).",
    "mail.order_held": "Weitere {cost} sind für Produkte, nach denen zuerst die Hersteller zu fragen sind.",
    "mail.order_estimate": "Eine Schätzung, keine Entscheidung.",
    "mail.order_check": "Vor dem Absenden das Lager prüfen. An Lieferanten wurde nichts gesendet: Das Schreiben an "
    "jeden liegt zum Weitergeben bei.",
    "mail.order_what": "Was",
    "mail.order_attached": "Beigefügt: die Arbeitsmappe, in der sich Stückzahlen ändern lassen, und für jeden "
    "Lieferanten ein Schreiben und eine Liste.",
    "mail.ask_heading": "ZUERST FRAGEN",
    "mail.late_heading": "VERSPÄTET, WENN NICHTS GEKAUFT WIRD",
    "mail.ask_line": "{count} x {product} ({pack}, {supplier}), {cost}, für {title}. Gebraucht und nicht aufgeführt: "
    "{tokens}.",
    "mail.ask_instead_listed": "Ohne Rückfrage: {packs}; führt alles Gebrauchte auf, {cost} für den Artikel, {more} "
    "mehr.",
    "mail.ask_instead_not_stated": "Ohne Rückfrage: {packs}; führt nichts Gegenteiliges auf (aber nicht alles "
    "Gebrauchte), {cost} für den Artikel, {more} mehr.",
    "mail.too_late": "Was heute bestellt wird, kommt dafür zu spät.",
    "mail.late_line": "{day}: {vehicle}, {task}: es fehlt {item}, {amount}.",
    "mail.more.one": "Und {n} weitere Zeile: siehe die Seite order.html.",
    "mail.more.many": "Und {n} weitere Zeilen: siehe die Seite order.html.",
    "mail.cautions": "Warnhinweise",
    # Sheets.
    "sheet.order": "Bestellung",
    "sheet.order_totals": "Bestellsummen",
    "sheet.items_needed": "Artikelbedarf",
    "sheet.order_holds": "Ein angebotenes Gebinde eines zu bestellenden Artikels: Stückzahl ändern und die Kosten "
    "sehen",
    "sheet.order_totals_holds": "Ein Lieferant und die Summen seiner Bestellung",
    "sheet.items_needed_holds": "Ein Artikel: was gebraucht wird, was da ist, was zu bestellen ist",
    "sheet.item": "Artikel",
    "sheet.title": "Bezeichnung",
    "sheet.unit": "Einheit",
    "sheet.planned": "Geplant",
    "sheet.unplanned": "Ungeplant",
    "sheet.safety": "Sicherheitsbestand",
    "sheet.on_hand": "Vorrat",
    "sheet.on_order": "Bestellt",
    "sheet.to_order": "Zu bestellen",
    "sheet.until": "Bis",
    "sheet.runs_out_on": "Aufgebraucht am",
    "sheet.counted_on": "Gezählt am",
    "sheet.used_since": "Seither verbraucht",
    "sheet.short": "Nicht zu bekommen",
    "sheet.pack": "Gebinde",
    "sheet.count": "Anzahl",
    "sheet.size": "Größe",
    "sheet.price": "Preis",
    "sheet.amount": "Menge",
    "sheet.cost": "Kosten",
    "sheet.left_over": "Übrig (-: fehlt)",
    "sheet.supplier": "Lieferant",
    "sheet.product": "Produkt",
    "sheet.for": "Für",
    "sheet.available": "Verfügbar",
    "sheet.price_from": "Preis ab",
    "sheet.ask_first": "Zuerst fragen",
    "sheet.ask_first_cost": "Davon: zuerst fragen",
    "sheet.today_cost": "Heute bestellbar",
    "sheet.packs": "Gebindezahl",
    "sheet.all_suppliers": "Alle Lieferanten",
    "sheet.no_supplier": "(kein Lieferant genannt)",
    "sheet.yes": "ja",
    "mail.below_least": "{supplier}: {cost} liegt unter dem Mindestbestellwert von {least}, solange eine Zeile auf Antwort wartet.",
    "mail.short_heading": "NICHT VOLLSTÄNDIG ZU BEKOMMEN",
    "mail.short_line": "{title}: {short} von {amount} steckt in keinem Gebinde, das gekauft werden darf.",
}  # fmt: skip
