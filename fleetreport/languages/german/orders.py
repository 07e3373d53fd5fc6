"""The words of the order's page in German: a part of the catalogue, with the marks and links of the English one.

None may say that a product is approved, equivalent or suitable: texts of records cannot know that.
"""

from collections.abc import Mapping

WORDS: Mapping[str, str] = {
    "packs.one": "{n}\u00a0Gebinde",
    "packs.many": "{n}\u00a0Gebinde",
    "items.one": "{n}\u00a0Artikel",
    "items.many": "{n}\u00a0Artikel",
    "suppliers.one": "{n}\u00a0Lieferant",
    "suppliers.many": "{n}\u00a0Lieferanten",
    "vehicles.one": "{n}\u00a0Fahrzeug",
    "vehicles.many": "{n}\u00a0Fahrzeuge",
    "products.one": "{n}\u00a0Produkt",
    "products.many": "{n}\u00a0Produkte",
    "fluids.one": "{n}\u00a0Betriebsflüssigkeit",
    "fluids.many": "{n}\u00a0Betriebsflüssigkeiten",
    "lines.one": "{n}\u00a0Zeile",
    "lines.many": "{n}\u00a0Zeilen",
    "on_average": "{amount} im Mittel",
    # The methods and verdicts.
    "method.recent_mean": "Mittel der letzten 24 Wochen",
    "method.long_mean": "Mittel aller Zeiträume",
    "method.smoothed_mean": "exponentielle Glättung",
    "method.croston": "Croston",
    "method.syntetos_boylan": "Croston, korrigiert (Syntetos-Boylan)",
    "method.teunter_syntetos_babai": "Teunter-Syntetos-Babai",
    "demand.smooth": "gleichmäßig",
    "demand.intermittent": "sporadisch",
    "demand.erratic": "schwankend",
    "demand.lumpy": "stoßweise",
    "demand.": "zu wenig für eine Aussage",
    "verdict.listed": "aufgeführt",
    "verdict.different": "abweichend",
    "verdict.not stated": "nicht angegeben",
    "order.synchronisers": "GL-4 und GL-5 sind verschiedene Bezeichnungen, nicht eine geringere und eine bessere. "
    "Ein GL-5-Öl kann das Buntmetall von Synchronringen angreifen: In einem synchronisierten Schalt- oder "
    "Verteilergetriebe nur verwenden, was dessen Hersteller nennt.",
    # The head of the page.
    "order.page_title": "Bestellung der Woche {week} {year}: {fleet}",
    "order.week": "Woche",
    "order.title": "Was diese Woche zu kaufen ist",
    "order.as_of": "Stand <strong>{day}</strong>. Bestellabstand {days}; das Lager soll bis zum Eintreffen der "
    "nächsten Bestellung mit einer Wahrscheinlichkeit von {level}\u00a0% reichen.",
    "order.figures": "Die Bestellung in Zahlen",
    "order.to_pay": "Heute zu bestellen",
    "order.by_list": "nach Listenpreisen",
    "unit.piece": "Stück",
    "unit.pieces": "Stück",
    "unit.set": "Satz",
    "unit.sets": "Sätze",
    "unit.pair": "Paar",
    "unit.pairs": "Paar",
    "unit.unit": "Einheit",
    "unit.units": "Einheiten",
    "unit.each": "Stück",
    "unit.roll": "Rolle",
    "unit.tube": "Tube",
    "unit.can": "Dose",
    "unit.bottle": "Flasche",
    "unit.box": "Schachtel",
    "order.head_count": "Anzahl",
    "order.packs": "Gebinde",
    "order.from_suppliers": "{suppliers}",
    "order.ask_first": "Zuerst fragen",
    "order.ask_first_sum": "{money}, nicht in der Summe",
    "order.ask_first_none": "nichts zu fragen",
    "order.short": "Nicht vollständig zu bekommen",
    "order.short_items": "vom Bedarf",
    "order.late": "Verspätet, wenn nichts gekauft wird",
    "order.late_from": "ab {day}",
    "order.late_tasks": "Aufgaben",
    # What to buy.
    "order.to_order": "{packs} zu bestellen",
    "order.nothing": "Nach diesen Aufzeichnungen nichts zu bestellen",
    "order.nothing_today": "Nichts zu bestellen, bevor die Hersteller geantwortet haben",
    "order.no_items": "Es ist kein Artikel aufgeführt, also wurde nichts berechnet",
    "order.no_items_said": "Der Flottenordner enthält keine Artikel: Öle, Filter, Dichtringe und Flüssigkeiten gehören in "
    "items.csv, was jede Aufgabe davon braucht in task_items.csv, und was es zu kaufen gibt in packs.csv. Das heißt nicht, "
    "dass genug da ist.",
    "order.covered": "Vorrat und Bestelltes decken bei jedem aufgeführten Artikel den erwarteten Verbrauch und den "
    "Sicherheitsbestand.",
    "order.cheapest": "Die günstigsten ganzen Gebinde, die decken, was an jedem Artikel fehlt: "
    "<strong>{money}</strong>.",
    "order.cheapest_asking": "Die günstigsten ganzen Gebinde, die decken, was an jedem Artikel fehlt: {money}. Davon "
    "können <strong>{today}</strong> heute bestellt werden; {held} sind für Produkte, nach denen <a "
    'href="#ask-first">zuerst zu fragen</a> ist.',
    "order.one_size_more": "Mit jeweils der günstigsten einzelnen Gebindegröße würden {items}, die eine Größe "
    "abdeckt, {money} statt {ordered} kosten, <strong>{more} mehr</strong>.",
    "order.one_size_less": "Mit jeweils der günstigsten einzelnen Gebindegröße würden {items}, die eine Größe "
    "abdeckt, {money} statt {ordered} kosten, ohne aber zu berücksichtigen, was Lieferanten mindestens "
    "verlangen.",
    "order.one_size_same": "Eine einzige Gebindegröße je Artikel würde dasselbe kosten.",
    "order.pack": "Gebinde",
    "order.for": "Für",
    "order.price": "Preis",
    "order.cost": "Kosten",
    "order.below_least": "unter dem Mindestbestellwert von {money}, solange eine Zeile auf Antwort wartet",
    "order.no_supplier": "Kein Lieferant genannt",
    "order.price_from": "Preis ab {count}",
    "order.not_stated": "Gebraucht, aber nicht aufgeführt: <bdi>{tokens}</bdi>. Das Schreiben fragt den Lieferanten.",
    "order.confirmed": "Nicht aufgeführt: <bdi>{tokens}</bdi>; bestätigt: <bdi>{said}</bdi>.",
    "order.short_beyond": "<strong><bdi>{title}</bdi></strong>: {short} von {amount} übersteigen, was verfügbar ist, "
    "Platz findet oder gekauft werden darf.",
    "order.short_none": "<strong><bdi>{title}</bdi></strong>: {short} von {amount} werden in keinem Gebinde "
    "angeboten, das gekauft werden darf.",
    "order.estimate": "<strong>Eine Schätzung, keine Entscheidung.</strong> Vor dem Absenden das Lager prüfen; wo "
    "ein Produkt nicht aufführt, was gebraucht wird, zuerst den Fahrzeughersteller fragen. <a "
    'href="#cautions">Warnhinweise lesen</a>.',
    # What to ask first.
    "order.ask_title": "Zuerst fragen: noch nicht bestellt",
    "order.ask_why": "Das sind die günstigsten Gebinde, aber ihre Produkte führen eine <strong>andere</strong> "
    "Bezeichnung auf, als der Artikel braucht. Sie sind in keiner Summe, und kein Schreiben bestellt sie, "
    "bevor die Antwort des Herstellers in fleet.toml steht.",
    "order.ask_line": "<strong>{count}\u00a0× <bdi>{product}</bdi></strong> (<bdi>{pack}</bdi>, "
    "<bdi>{supplier}</bdi>), {cost}, für <bdi>{title}</bdi>. Gebraucht und nicht aufgeführt: "
    "<bdi>{tokens}</bdi>.",
    "order.ask_needed": "Aufgebraucht am {day}.",
    "order.ask_instead_listed": "Ohne Rückfrage: <bdi>{packs}</bdi>; führt alles Gebrauchte auf, {cost} für den "
    "Artikel, <strong>{more} mehr</strong>.",
    "order.ask_instead_not_stated": "Ohne Rückfrage: <bdi>{packs}</bdi>; führt nichts Gegenteiliges auf (aber nicht "
    "alles Gebrauchte), {cost} für den Artikel, <strong>{more} mehr</strong>.",
    "order.ask_alone": "Kein anderes angebotenes Produkt deckt diesen Artikel.",
    "order.ask_how": "Wenn der Hersteller zugestimmt hat, in fleet.toml eintragen, und der nächste Lauf bestellt es:",
    "order.ask_or": "Oder für diese Artikel nur kaufen, was alles Gebrauchte aufführt:",
    "order.ask_said": "wer es gesagt hat und wann",
    # Late.
    "order.late_what": "Geplante Arbeit, der ein Artikel fehlen würde, wenn der Vorrat nach Tagen an die Arbeit geht.",
    "order.late_express": "Wo selbst das heute Bestellte zu spät kommt: als Eilsendung bestellen oder leihen.",
    "order.late_average": "Was nur manchmal gebraucht wird, zählt mit seiner Wahrscheinlichkeit; Stückzahlen können "
    "deshalb Bruchteile sein.",
    "order.day": "Tag",
    "order.vehicle_and_work": "Fahrzeug und Arbeit",
    "order.lacks": "Es fehlt",
    "order.arrives": "Trifft bei Bestellung heute ein",
    "order.too_late": "zu spät",
    "order.late_urgent_caption": "Geplante Arbeit, der ein Artikel fehlen würde und der nur die Bestellung dieser "
    "Woche helfen kann",
    "order.late_further_caption": "Weitere geplante Arbeit, der nur die Bestellung dieser Woche helfen kann",
    "order.late_rest_caption": "Geplante Arbeit, der ein Artikel fehlen würde und der eine spätere Bestellung noch "
    "helfen kann",
    "order.late_more.one": "{n} weitere Zeile",
    "order.late_more.many": "{n} weitere Zeilen",
    "order.late_none_urgent": "Keine davon, bevor das beim nächsten Mal Bestellte da sein kann.",
    "order.late_rest": "{lines} bis {day}, denen eine spätere Bestellung noch helfen kann",
    "order.late_none": "Nach erwartetem Verbrauch würde bis {day} keiner geplanten Arbeit ein Artikel fehlen.",
    # Specifications.
    "order.confirm_title": "Zuerst mit dem Hersteller klären",
    "order.confirm_what": "Was jedes Produkt aufführt, Angabe für Angabe, neben dem, was laut Lagerliste gebraucht "
    "wird: <strong>aufgeführt</strong>; <strong>abweichend</strong>, wo es eine andere derselben Familie "
    "aufführt; <strong>nicht angegeben</strong>. Es ist ein Vergleich von Texten, keine Freigabe.",
    "order.synchronisers_head": "Synchronringe.",
    "order.warning": "<strong><bdi>{product}</bdi></strong> für <bdi>{title}</bdi>: <bdi>{token}</bdi> ist "
    "<strong>{verdict}</strong>{beside}. Betroffen: {vehicles}{warranty}.",
    "order.beside": " (aufgeführt ist <bdi>{beside}</bdi>)",
    "order.warranty": ", davon {count} in der Garantie: <bdi>{vehicles}</bdi>",
    "order.listed_cost": "Mit Produkten, die alles aufführen, würde dieser Artikel {listed} statt {cost} kosten.",
    "order.confirmed_by": "Bestätigt: <bdi>{said}</bdi>.",
    "order.swapped": "<strong><bdi>{vehicle}</bdi></strong>, <bdi>{task}</bdi>: nimmt <bdi>{item}</bdi> statt "
    "<bdi>{instead}</bdi>, wofür <bdi>{token}</bdi> gebraucht wird: <strong>{verdict}</strong>{beside}.",
    "order.swapped_beside": " (<bdi>{beside}</bdi>)",
    "order.swapped_reason": "Die Liste sagt: <q><bdi>{reason}</bdi></q>.",
    "order.in_warranty": "In der Garantie.",
    "order.in_warranty_to": "In der Garantie bis {day}.",
    "order.all_listed": "Jedes bestellte Produkt führt jede Angabe auf, die sein Artikel braucht. Auch das ist keine "
    "Freigabe.",
    "order.listings": "Was jedes angebotene Produkt aufführt ({count})",
    "order.listings_caption": "Angebotene Produkte und was sie von dem aufführen, was der Artikel braucht",
    "order.item": "Artikel",
    "order.product_and_supplier": "Produkt und Lieferant",
    "order.needed_and_said": "Was gebraucht wird: was das Produkt sagt",
    "order.no_product": "kein Produkt genannt",
    # Why.
    "order.why_title": "Warum das genügt",
    "order.why": "Zu bestellen = geplant + ungeplant + Sicherheitsbestand \u2212 Vorrat \u2212 bestellt. Jeder "
    "Artikel ist gedeckt, <em>bis</em> die Bestellung nach dieser eintreffen könnte: seine Lieferzeit und "
    "weitere {days}. <em>Aufgebraucht</em> ist der erste Tag, an dem der erwartete Verbrauch Vorrat und "
    "Bestelltes übersteigt. Auch Stückzahlen sind Mittelwerte: 0,6 geplant ist ein Stück, das in sechs von "
    "zehn Fällen gebraucht wird; bestellt werden ganze Gebinde.",
    "order.why_bought": "Was bestellt wird, das zuerst Aufgebrauchte voran",
    "order.why_not": "Was diese Woche nicht bestellt wird, das zuerst Aufgebrauchte voran",
    "order.not_ordered": "{items} nicht bestellt",
    "order.runs_out": "Aufgebraucht",
    "order.until": "Bis",
    "order.planned": "Geplant",
    "order.unplanned": "Ungeplant",
    "order.safety": "Sicherheitsbestand",
    "order.on_hand": "Vorrat",
    "order.on_order": "Bestellt",
    "order.to_order_head": "Zu bestellen",
    "order.bought": "Gekauft",
    "order.left_over": "Übrig",
    "order.count_again": "neu zählen",
    "order.may_pass": "kann die Lagerdauer überschreiten",
    "order.not_proved": "nicht als günstigstes bewiesen",
    "order.not_foreseen": "nicht absehbar",
    "order.forecast_title": "Verbrauch, den kein Plan vorsieht",
    "order.forecast": "Reparaturen, Nachfüllungen und was Wartungen über ihren Plan hinaus brauchten, in Zeiträumen "
    "von vier Wochen; jedes Verfahren wurde darüber nachgespielt und einen Zeitraum voraus beurteilt. Das "
    "Mittel der letzten sechs Zeiträume ist die Messlatte: Ein anderes Verfahren gilt nur, wo es weniger "
    "danebenlag.",
    "order.forecast_caption": "Vorhersage des ungeplanten Verbrauchs und wie weit sie danebenlag (Wurzel des "
    "mittleren quadratischen Fehlers)",
    "order.method": "Verfahren",
    "order.kind_of_use": "Art des Verbrauchs",
    "order.with_use": "Zeiträume mit Verbrauch",
    "order.four_weeks": "Vorhersage, 4 Wochen",
    "order.off_by": "Abweichung",
    "order.bar_off_by": "Abweichung des jüngsten Mittels",
    "order.of": "{part} von {all}",
    "order.too_few": "zu wenige Zeiträume für ein Urteil",
    "order.economic_title": "Wirtschaftliche Bestellmengen ({count})",
    "order.economic": "Was auf einmal zu kaufen wäre, damit die Kosten von Bestellung und Lagerhaltung zusammen am "
    "kleinsten sind, nach den Einstellungen und dem Verbrauch eines Jahres. Nur zum Vergleich: Die Bestellung "
    "folgt dem nicht.",
    # Bulk.
    "order.bulk_title": "Liter nach Woche",
    "order.bulk": "Erwarteter Verbrauch dessen, was eingefüllt wird, geplant und ungeplant, vom {from_day} bis zum "
    "{to_day}, nach ISO-Woche; die erste und die letzte Woche können angeschnitten sein.",
    "order.bulk_none": "Bis {day} wird kein Verbrauch einer Betriebsflüssigkeit erwartet.",
    "order.bulk_caption": "Liter nach Betriebsflüssigkeit und Woche",
    "order.fluid": "Betriebsflüssigkeit",
    "order.together": "Zusammen",
    "order.chart_label": "Diagramm: Liter nach Woche",
    "order.chart_title": "Erwartete Liter, nach Betriebsflüssigkeit und ISO-Woche",
    "order.chart_said": "{name}: {total} Liter in {weeks} Wochen, am meisten in {week} ({most}).",
    "order.containers": "Was der Lastwagen bringt",
    "order.container_of": "zu {amount}",
    "order.returned_title": "Was zurückkommt",
    "order.returned": "Altöl, Filter und Flüssigkeiten aus der geplanten Arbeit, damit Behälter bereitstehen. Was "
    "nachgefüllt wird, ist verbraucht und kommt nicht zurück. Stückzahlen sind Mittelwerte.",
    "order.returned_caption": "Erwartet nach Abfallart und Woche, in Litern, wo keine andere Einheit genannt ist",
    "order.stream": "Abfallart",
    "order.returned_rules": "Die genannten Vorschriften der USA sind Beispiele dafür, was verlangt wird. Was wie und "
    "wie lange aufbewahrt wird und wer es annehmen darf, entscheiden die Vorschriften Ihres Ortes.",
    "order.returned_none": "Die Lagerliste nennt keine Abfallart für das, was bis {day} verbraucht wird.",
    # Fewer oils.
    "order.fewer_title": "Weniger Öle im Lager",
    "order.fewer": "Nach dem, was Produkte aufführen, könnten <strong>{together}</strong> die folgenden {fluids} "
    "abdecken; das jeweils günstigste Produkt für sich ergibt {alone}. Der Verbrauch eines Jahres würde "
    "{cost_together} statt {cost_alone} kosten{change}. Keine kleinere Auswahl deckt sie ab. Das ist eine "
    "Frage an die Hersteller, keine Entscheidung.",
    "order.fewer_more": ", {money} mehr",
    "order.fewer_less": ", {money} weniger",
    "order.fewer_caption": "Betriebsflüssigkeiten, das jeweils allein günstigste Produkt und das in der kleinsten "
    "Auswahl",
    "order.alone": "Allein am günstigsten",
    "order.smallest_set": "In der kleinsten Auswahl",
    "order.to_confirm": "Zuerst zu klären",
    "order.a_year": "{money} im Jahr",
    "order.no_change": "keine Änderung",
    "order.fewer_question": "Lässt der Hersteller jedes Fahrzeugs und Getriebes ein Produkt zu, das "
    "<bdi>{lists}</bdi> aufführt?",
    "order.fewer_left_out": "Betriebsflüssigkeiten, von denen kein angebotenes Produkt alles Gebrauchte aufführt, "
    "sind ausgelassen: Sie behalten, was sie haben.",
    "order.fewer_none": "Kein angebotenes Produkt führt alles auf, was eine Betriebsflüssigkeit braucht, es lässt "
    "sich also nichts sagen.",
    # How, and the foot.
    "order.how_title": "Wie gerechnet wurde",
    "order.how_need": "<strong>Geplant</strong> ist, was die datierte Arbeit braucht: Menge mal Wahrscheinlichkeit, "
    "dass sie gebraucht wird, Dichtringe und Ähnliches, das wieder dient, nur wenn es erneuert wird, mit den "
    "Ausnahmen jedes Fahrzeugs; Arbeit, die eine größere Aufgabe am selben Tag einschließt, zählt einmal. "
    "<strong>Ungeplant</strong> ist die Vorhersage oben, für die abgedeckten Tage. "
    "<strong>Sicherheitsbestand</strong> ist, was das Lager mit der verlangten Wahrscheinlichkeit reichen "
    "lässt: Stücke nach der genauen Verteilung dessen, was anfallen kann (geplante Arbeit, und Reparaturen als "
    "Poisson- oder negativ-binomiale Anzahl), gemessene Ware nach der Normalnäherung. Was schwankt, ist der "
    "Tag, an dem geplante Arbeit anfällt, ob ein Artikel dann gebraucht wird, ungeplanter Verbrauch und die "
    "Lieferzeit, wo ihre Streuung angegeben ist; wo nichts schwankt, gibt es keinen.",
    "order.how_stock": "<strong>Vorrat</strong> ist die letzte Zählung abzüglich dessen, was laut Historie nach "
    "diesem Tag verbraucht wurde. Die Gebinde sind die nachweislich günstigsten ganzen Gebinde, im Rahmen "
    "dessen, was verfügbar ist, Platz findet und sich hält; bei gleichen Preisen der kleinere Überschuss, dann "
    "die wenigeren Gebinde.",
    "order.foot": "<bdi>{fleet}</bdi>, Woche {week} {year}, Stand {day}. Alle Zahlen stehen in data/order.csv und "
    "data/items_needed.csv; eine Liste und ein Schreiben je Lieferant in orders/.",
    "order.none_to_be_had": "Von dem, was fehlt, lässt sich nichts bestellen",
    "order.none_to_be_had_said": "Was fehlt, steckt in keinem Gebinde, das gekauft werden darf: siehe unten. Das heißt nicht, dass genug da ist.",
}  # fmt: skip
