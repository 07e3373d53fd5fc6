"""The words of the money reports in German: part of the catalogue, written by the same rules."""

from collections.abc import Mapping

WORDS: Mapping[str, str] = {
    "yes": "ja",
    "no": "nein",
    "money.none": "keine",
    "money.no_budget": "kein Budget",
    "money.not_known": "nicht bekannt",
    "money.in_short": "Kurz gefasst",
    "money.how": "Wie gerechnet wurde",
    "money.to": "bis",
    "money.estimate_lead": "Eine Schätzung für die Planung, keine Beratung.",
    # The accountant's letter.
    "forecast_mail.subject": "{fleet}: voraussichtliche Instandhaltungsausgaben {total} {currency}, bis {day}",
    "forecast_mail.lead": "Stand {day}, bis Ende {last}. Alle Beträge in {currency}, ohne Steuer. Die Arbeitsmappe "
    "mit lebenden Formeln liegt bei.",
    "forecast_mail.band": "In vier von fünf Ziehungen zwischen {low} und {high}.",
    "forecast_mail.accrual": "Verbraucht, aber noch nicht bezahlt: {accrued} {currency}, eine Zahl für die Leitung, "
    "keine Rückstellung (IAS 37).",
    "forecast_mail.budget": "Budget und Ergebnis, {year}",
    "forecast_mail.budget_to_date": "Budget bis heute",
    "forecast_mail.paid_to_date": "Bezahlt bis heute",
    "forecast_mail.variance_to_date": "Abweichung bis heute",
    "forecast_mail.budget_year": "Budget, ganzes Jahr",
    "forecast_mail.outcome": "Ergebnis, ganzes Jahr",
    "forecast_mail.variance_year": "Ergebnis minus Budget",
    "forecast_mail.not_whole": "Die Vorschau endet vor dem Jahr.",
    "forecast_mail.by_month": "Nach Monat",
    "forecast_mail.month_bands": "Eine Summe folgt das ganze Jahr einer Fahrleistung, wie die Termine; ihr Band kennt "
    "die Jahreszeit, so dass die Summe eines Monats außerhalb liegen kann.",
    "forecast_mail.by_centre": "Nach Kostenstelle",
    "forecast_mail.sum_line": "{name}: {total}, zwischen {low} und {high}",
    "forecast_mail.moved_line": "{name}: {change} (damals {before}, jetzt {now})",
    "forecast.title": "Kommende Instandhaltungsausgaben",
    "forecast.head_month": "Monat",
    "forecast.head_centre": "Kostenstelle",
    "forecast.head_category": "Kategorie",
    "forecast.head_scheduled": "Geplant",
    "forecast.head_unscheduled": "Ungeplant",
    "forecast.head_total": "Summe",
    "forecast.moved_title": "Was sich seit dem letzten Monat bewegt hat",
    "forecast.moved_none_kept": "Hier liegt keine Woche, die mindestens vier Wochen alt ist; es gibt also keinen früheren Monat zum Vergleich.",
    "forecast.moved_other_currency": "Die aufbewahrte Vorschau vom {day} steht in einer anderen Währung; die beiden werden nicht verglichen.",
    "forecast.moved_no_month": "Die aufbewahrte Vorschau vom {day} und diese haben keinen ganzen Monat gemeinsam; die beiden werden nicht verglichen.",
    "forecast.moved_same": "Für die Monate {first} bis {last} sind {total} {currency} vorausgesagt, wie am {day}.",
    "forecast.moved_up": "Für die Monate {first} bis {last} sind {total} {currency} vorausgesagt, {change} mehr als am {day}.",
    "forecast.moved_down": "Für die Monate {first} bis {last} sind {total} {currency} vorausgesagt, {change} weniger als am {day}.",
    "forecast.moved_most": "Am meisten bewegt: {centre}, {change}.",
    "forecast.moved_how": "Verglichen werden die Monate, die beide Vorschauen ganz enthalten. Eine Vorschau bewegt sich mit "
    "den Zählerständen, mit früher oder später erledigter Arbeit, mit Preisen und mit Fahrzeugen, die kommen oder gehen.",
    "forecast.moved_caption": "Nach Kostenstelle, diese Vorschau gegen die vom {day}, {currency}; daneben, was dazwischen "
    "bezahlt wurde, und das Ergebnis des Geschäftsjahrs damals und jetzt",
    "forecast.moved_lines_caption": "Die Zeilen, die sich am meisten bewegt haben (Kostenstelle und Kategorie), dieselben Monate, {currency}",
    "forecast.head_change": "Änderung",
    "forecast.head_then": "Damals",
    "forecast.head_now": "Jetzt",
    "forecast.head_paid_between": "Dazwischen bezahlt",
    "forecast.head_outcome_then": "Ergebnis damals",
    "forecast.head_outcome_now": "Ergebnis jetzt",
    "forecast.head_mean": "Mittel seiner Monate",
    "forecast.head_p10": "1 von 10 darunter",
    "forecast.head_p90": "1 von 10 darüber",
    "forecast.head_tax": "Steuer zusätzlich",
    # The page of the forecast.
    "forecast.lead": "Stand {day}, bis Ende {last}: der Rest dieses Monats und weitere {months}. Alle Beträge in "
    "{currency}, ohne Steuer; die Steuer steht gesondert.",
    "forecast.short_total": "Ausgaben bis {day}",
    "forecast.short_band": "{currency}; in vier von fünf Ziehungen zwischen {low} und {high}",
    "forecast.short_paid": "Bezahlt in {year} bis heute",
    "forecast.short_budget_to_date": "Budget bis heute {budget}",
    "forecast.short_no_budget": "kein Budget angegeben",
    "forecast.short_outcome": "Ergebnis {year}",
    "forecast.short_budget": "Budget {budget}",
    "forecast.short_not_whole": "die Vorschau endet vor dem Jahr",
    "forecast.short_repairs.one": "{n} Reparatur, nach der der Hersteller zu fragen ist",
    "forecast.short_repairs.many": "{n} Reparaturen, nach denen der Hersteller zu fragen ist",
    "forecast.note_items.one": "{n} Artikel des kommenden Plans hat keinen Preis: Was er kostet, ist NICHT in der "
    "Vorschau.",
    "forecast.note_items.many": "{n} Artikel des kommenden Plans haben keinen Preis: Was sie kosten, ist NICHT in "
    "der Vorschau.",
    "forecast.note_lines.one": "{n} Zeile der Historie nennt keinen Betrag: eine Kontrolle oder Nachfüllung, oder "
    "Arbeit, deren Kosten nicht eingetragen wurden. Was nicht eingetragen wurde, ist nicht im bezahlten Betrag.",
    "forecast.note_lines.many": "{n} Zeilen der Historie nennen keinen Betrag: Kontrollen und Nachfüllungen, oder "
    "Arbeit, deren Kosten nicht eingetragen wurden. Was nicht eingetragen wurde, ist nicht im bezahlten Betrag.",
    "forecast.note_coming.one": "{n} Fahrzeug, das später in Dienst kommt, ist nicht in der Vorschau.",
    "forecast.note_coming.many": "{n} Fahrzeuge, die später in Dienst kommen, sind nicht in der Vorschau.",
    "forecast.note_unknown": "{amount} {currency} wurden für Fahrzeuge bezahlt, die nicht in der Liste stehen; nach "
    "Kostenstelle stehen sie unter „{name}“.",
    "forecast.cautions_at_end": "Die Warnhinweise stehen am Ende der Seite.",
    "forecast.months_caption": "Nach Monat und Geschäftsjahr, {currency}. Das Band eines Monats gilt für ihn, das "
    "eines Jahres für das Jahr: Bänder addieren sich nicht. Eine Summe folgt das ganze Jahr einer Fahrleistung, wie die Termine; das Band und das Mittel der Ziehungen kennen die Jahreszeit, so dass die Summe eines Monats außerhalb ihres Bandes liegen kann",
    "forecast.year_so_far": "Jahr {year}, soweit die Vorschau reicht",
    "forecast.centres_caption": "Nach Kostenstelle, alle Monate",
    "forecast.categories_caption": "Nach Kategorie, alle Monate. Ungeplante Reparaturen sind eine eigene Kategorie; "
    "Sonstiges sind Nachfüllungen sowie Kontrollen und Arbeit, die der Plan nicht datiert",
    "forecast.outcome_caption": "Das ganze Jahr: bezahlt bis heute und Vorschau bis {day}",
    "forecast.head_cost_in": "Kosten, {currency}",
    "forecast.head_a_unit": "Je {unit}",
    "forecast.trend_none": "nicht deutlich",
    "forecast.trend_more": "mehr mit der Nutzung",
    "forecast.trend_fewer": "weniger mit der Nutzung",
    "forecast.accrual_lead": "Eine Zahl für die Leitung, keine Rückstellung (IAS 37).",
    "forecast.accrual_how": "Der abgelaufene Teil des Intervalls jeder Aufgabe, mal den heutigen Kosten einer "
    "Ausführung; nie mehr als diese Kosten. Ein Artikel, den eine Aufgabe zugleich mit einer von ihr "
    "eingeschlossenen braucht, zählt einmal, bei der eingeschlossenen.",
    "forecast.accrual_caption": "Nach Kostenstelle und Kategorie, {currency}",
    "forecast.major": "groß: von der Buchhaltung zu beurteilen",
    "forecast.routine": "laufend",
    "forecast.largest": "Die {n} größten",
    "forecast.past_cheapest": "über das günstigste Alter hinaus",
    "forecast.how_planned": "Geplante Arbeit: bei jeder Fälligkeit einer Aufgabe ihre Artikel zu Stückkosten und "
    "ihre Arbeitszeit zu {rate} {currency} die Stunde, mal der Preissteigerung vom Stichtag bis zu diesem Tag. "
    "Eine Aufgabe, die zusammen mit einer größeren, sie einschließenden ausgeführt wird, wird einmal bezahlt. "
    "Überfällige Arbeit fällt auf den Stichtag. Steuer von {tax} steht gesondert und ist in keiner anderen "
    "Zahl enthalten.",
    "forecast.how_paid": "Was der Plan sagt und was bezahlt wurde: Geplante Arbeit der letzten zwei Jahre wurde mit "
    "{pct} dessen bezahlt, was ihre Artikel und Arbeitszeiten laut Plan zu den Preisen ihres Tages kosten. Die "
    "Summen folgen dem Plan. In den Ziehungen kostet geplante Arbeit, wo genug aufgezeichnet ist, im Mittel "
    "den Wert halbwegs dazwischen, mit dem Plan eine Standardabweichung auf der einen und den Rechnungen eine "
    "auf der anderen Seite; das Mittel der Ziehungen kann also über oder unter der Summe liegen.",
    "forecast.how_band": "Das Band: 1.000 Ziehungen der kommenden Monate, in denen Nutzung, Tage, Anzahl und Kosten "
    "ungeplanter Arbeit zusammen gezogen werden. Eine von zehn Ziehungen liegt unter der ersten Zahl, eine von "
    "zehn über der zweiten. Die Summe ist, was der Plan an seinen Tagen kostet, dazu die erwartete ungeplante "
    "Arbeit. Das Mittel der Ziehungen ist etwas anderes: Arbeit kann in einen anderen Monat oder hinter den "
    "letzten fallen und über oder unter Plan bezahlt werden.",
    "forecast.how_unplanned": "Ungeplante Arbeit, zu heutigen Preisen und über die Nutzung, in der die "
    "Aufzeichnungen jedes Fahrzeug kannten: Reparaturen sind die Zeilen der Historie mit der Art repair; "
    "Sonstiges sind Nachfüllungen sowie Kontrollen und planmäßige Zeilen, deren Aufgabe im Plan kein eigenes "
    "Datum hat (keine Aufgabe, keine des Plans, eine ohne Intervall oder eine, die anderer Arbeit folgt). Jede "
    "Zeile der Historie zählt einmal, als geplant, Reparatur oder Sonstiges. Die Häufigkeit eines Fahrzeugs "
    "wird zu der seiner Klasse hingezogen, wo wenig aufgezeichnet ist, ebenso seine Kosten je Fall.",
    "forecast.head_factor": "Bis {day}, Faktor",
    "forecast.all_else": "alles Übrige",
    "forecast.files": "Dieselben Zahlen mit lebenden Formeln und einem Blatt zum Ändern: forecast.xlsx; als "
    "Tabellen: data/forecast.csv, forecast_totals.csv, budget.csv, accrual.csv, cost_per_use.csv, "
    "class_cost_months.csv, vehicle_cost_months.csv, warranty_work.csv, replacement.csv, moved_since_last_month.csv.",
    "forecast.vehicle_months_caption": "Nach Fahrzeug: die letzten {shown} von {all} Monaten der vergangenen 24 "
    "außerhalb der Grenzen, die sich aus den eigenen Monaten des Fahrzeugs ergeben (Mittel und drei "
    "Standardabweichungen aus der gleitenden Spannweite); eine Frage, kein Urteil",
    "forecast.used_up_not_yet_paid": "Verbraucht, noch nicht bezahlt",
    "forecast.a_management_figure_not_a": "eine Zahl für die Leitung, keine Rückstellung",
    "forecast.paid_inside_warranty": "Bezahlt innerhalb der Garantie",
    "forecast.month_by_month": "Monat für Monat",
    "forecast.head_all": "Alle",
    "forecast.nothing_is_planned_and_no": "Nichts ist geplant und keine Reparatur aufgezeichnet, es gibt also keine "
    "Ausgaben vorherzusagen.",
    "forecast.to_date_budget_by_days": "Bis heute: Budget nach vergangenen Tagen, bezahlter Betrag und woher die "
    "Abweichung kommt; ihre vier Teile ergeben sie zusammen. Über 0: mehr als budgetiert",
    "forecast.head_budget": "Budget",
    "forecast.head_paid_planned": "Bezahlt, geplant",
    "forecast.head_paid_unplanned": "Bezahlt, ungeplant",
    "forecast.head_variance": "Abweichung",
    "forecast.head_volume": "Menge",
    "forecast.head_price": "Preis",
    "forecast.head_unplanned_work": "Ungeplante Arbeit",
    "forecast.head_timing": "Zeitpunkt",
    "forecast.volume_more_or_less_was": "Menge: Es wurde mehr oder weniger gefahren als an denselben Tagen ein Jahr "
    "zuvor, zu den Kosten des Budgets. Preis: geplante Arbeit, deren Artikel und Stunden über oder unter den "
    "eigenen Preisen des Fuhrparks zu Jahresbeginn bezahlt wurden. Ungeplante Arbeit: Reparaturen über den "
    "Anteil am Budget hinaus, den sie im Jahr zuvor hatten. Zeitpunkt: der Rest, geplante Arbeit, die früher, "
    "später, mehr oder weniger ausgeführt wurde als ein gleichmäßig auf die Tage verteiltes Budget.",
    "forecast.head_paid_to_date": "Bezahlt bis heute",
    "forecast.head_still_to_come": "Noch erwartet",
    "forecast.head_outcome": "Ergebnis",
    "forecast.head_outcome_less_budget": "Ergebnis minus Budget",
    "forecast.unplanned_repairs": "Ungeplante Reparaturen",
    "forecast.what_the_record_says_of": "Was die Aufzeichnungen über jede Klasse sagen, zu heutigen Preisen",
    "forecast.head_class": "Klasse",
    "forecast.head_vehicles": "Fahrzeuge",
    "forecast.head_repairs": "Reparaturen",
    "forecast.head_trend_score": "Trendwert",
    "forecast.head_trend": "Verlauf",
    "forecast.head_above_the_fence": "Über der Schranke",
    "forecast.the_score_is_laplace_s": "Der Wert ist der von Laplace: jenseits von 1,96 nach oben oder unten ist der "
    "Verlauf deutlich und steht dann in der Vorschau. Reparaturen über der Schranke (oberes Quartil plus drei "
    "Quartilsabstände) sind selten und groß; was darüber liegt, trägt die ganze Klasse, damit nicht eine "
    "einzige das Jahr eines Fahrzeugs bestimmt.",
    "forecast.vehicles_whose_repairs_outrun_their": "Fahrzeuge mit mehr Reparaturen als ihre Klasse: so viele hätte "
    "weniger als 1 von 100 gleichen",
    "forecast.head_vehicle": "Fahrzeug",
    "forecast.head_expected": "Erwartet",
    "forecast.head_unplanned_365_days": "Ungeplant, 365 Tage",
    "forecast.no_vehicle_s_repairs_outrun": "Kein Fahrzeug hat mehr Reparaturen als seine Klasse, als der Zufall "
    "erklärt.",
    "forecast.cost_of_use": "Kosten der Nutzung",
    "forecast.by_class_the_last_365": "Nach Klasse, die letzten 365 Tage. Auffällige Monate: von den letzten 24 die "
    "außerhalb der Grenzen, die sich aus den eigenen Monaten der Klasse ergeben",
    "forecast.head_an_hour": "Je Stunde",
    "forecast.head_months_out_cost": "Auffällige Monate, Kosten",
    "forecast.head_months_out_repairs": "Auffällige Monate, Reparaturen",
    "forecast.not_run": "nicht gefahren",
    "forecast.no_hours": "keine Stunden",
    "forecast.head_low_limit": "Untere Grenze",
    "forecast.head_high_limit": "Obere Grenze",
    "forecast.head_paid": "Bezahlt",
    "forecast.by_vehicle_data_cost_per": "Nach Fahrzeug: data/cost_per_use.csv; nach Monat mit den Grenzen: "
    "data/class_cost_months.csv und data/vehicle_cost_months.csv; alle sind Blätter der Arbeitsmappe.",
    "forecast.head_treatment": "Behandlung",
    "forecast.head_tasks": "Aufgaben",
    "forecast.head_cost_of_one_doing_each": "Kosten je einer Ausführung",
    "forecast.head_used_up": "Verbraucht",
    "forecast.major_overhauls_and_inspections_an": "Hauptüberholungen und größere Prüfungen: ein Vermögenswert mit "
    "eigener Nutzungsdauer (IAS 16.14) oder Unterhalt? Das beurteilt die Buchhaltung",
    "forecast.head_task": "Aufgabe",
    "forecast.head_last_done": "Zuletzt ausgeführt",
    "forecast.head_cost": "Kosten",
    "forecast.head_used_up_by": "Verbraucht nach",
    "forecast.head_part_run": "Abgelaufener Teil",
    "forecast.never": "nie",
    "forecast.the_rest_data_accrual_csv": "Der Rest: data/accrual.csv und die Arbeitsmappe",
    "forecast.repairs_paid_for_while_date": "Reparaturen, die bezahlt wurden, als Datum und Laufleistung innerhalb "
    "der Herstellergarantie lagen. Ob sie gedeckt sind, sagen deren Bedingungen",
    "forecast.head_done": "Ausgeführt",
    "forecast.head_work": "Arbeit",
    "forecast.head_invoice": "Rechnung",
    "forecast.head_at": "Bei",
    "forecast.head_warranty_to": "Garantie bis",
    "forecast.the_rest_data_warranty_work": "Der Rest: data/warranty_work.csv.",
    "forecast.no_repair_on_record_was": "Keine aufgezeichnete Reparatur wurde innerhalb einer Garantie bezahlt, die "
    "in vehicles.csv angegeben ist (warranty_until, warranty_distance).",
    "forecast.keep_or_replace": "Behalten oder ersetzen",
    "forecast.an_indication_past_its_cheapest": "Ein Anhalt: über das günstigste Alter hinaus, wo ein weiteres Jahr "
    "mehr kostet, als das bisherige Leben im Jahr gekostet hat",
    "forecast.head_years": "Jahre",
    "forecast.head_value_now": "Wert heute",
    "forecast.head_yearly_cost_so_far": "Jahreskosten bisher",
    "forecast.head_loss_and_interest_ahead": "Kommender Wertverlust und Zins",
    "forecast.head_maintenance_ahead": "Kommende Instandhaltung",
    "forecast.head_next_year": "Nächstes Jahr",
    "forecast.head_pointer": "Hinweis",
    "forecast.not_yet": "noch nicht",
    "forecast.growth_of_prices": "Preissteigerung",
    "forecast.head_kind": "Art",
    "forecast.head_a_year": "Im Jahr",
    "forecast.head_index_series": "Indexreihe",
    "forecast.head_base_month": "Basismonat",
    "forecast.head_last_month": "Letzter Monat",
    "forecast.chart_spend_by_month": "Diagramm: Ausgaben nach Monat",
    "forecast.chart_cumulative_repair_cost_by": "Diagramm: aufgelaufene Reparaturkosten nach Klasse",
    # Past forecasts judged.
    "money_backtest.title": "Wie gut die Ausgabenvorschauen waren",
    "money_backtest.lead": "Vorschauen, wie sie vom {first} bis zum {last} gemacht worden wären, jede für die zwölf "
    "Monate nach ihrem Tag, neben dem, was bezahlt wurde. Alle Beträge in {currency}, ohne Steuer.",
    "money_backtest.chart_label": "Diagramm: Vorschau und bezahlt",
    "money_backtest.chart_title": "Ausgabenvorschauen und was bezahlt wurde",
    "money_backtest.chart_months": "Nach Monat, Vorschau vom {day}",
    "money_backtest.chart_years": "Zwölf Monate zusammen, nach Tag der Vorschau",
    "money_backtest.said": "{name}: Vorschau {forecast}, zwischen {low} und {high}; bezahlt {paid}.",
    "money_backtest.band": "Vier von fünf Ziehungen",
    "money_backtest.scores": "Fehler: Summe der Abweichungen als Anteil des Bezahlten. Verzerrung: dasselbe mit "
    "Vorzeichen; über 0 wurde zu viel vorhergesagt",
    "money_backtest.estimate": "Schätzung",
    "money_backtest.month_error": "Monat, Fehler",
    "money_backtest.month_bias": "Monat, Verzerrung",
    "money_backtest.year_error": "Jahr, Fehler",
    "money_backtest.year_bias": "Jahr, Verzerrung",
    "money_backtest.coverage": "Das Band soll vier von fünf halten. Von den Monaten lagen {months_in} von {months} "
    "darin, von den Jahren {years_in} von {years}.",
    "money_backtest.years_title": "Zwölf Monate zusammen",
    "money_backtest.years_caption": "Jede Vorschau, ihr Band und was kam, {currency}",
    "money_backtest.months_title": "Monat für Monat",
    "money_backtest.made_on": "Vorschau vom {day}",
    "money_backtest.months_caption": "Vorschau vom {day}, {currency}",
    "money_backtest.month": "Monat",
    "money_backtest.as_of": "Erstellt am",
    "money_backtest.forecast": "Vorschau",
    "money_backtest.paid": "Bezahlt",
    "money_backtest.off": "Abweichung",
    "money_backtest.p10": "1 von 10 darunter",
    "money_backtest.p90": "1 von 10 darüber",
    "money_backtest.in_band": "Im Band",
    "money_backtest.mean": "Mittel der Ziehungen",
    "money_backtest.last_year": "Wie im Vorjahr",
    "money_backtest.last_3_months": "Wie in den letzten 3 Monaten",
    "money_backtest.how_known": "Jede Vorschau wurde mit dem erstellt, was bis zu ihrem Tag datiert war. Indexwerte "
    "dieses und späterer Monate, Ablaufdaten mehr als ein Jahr voraus und spätere Stilllegungen blieben außen "
    "vor. Was kein Datum trägt (der Plan, die Einstellungen, die heutigen Preise, mit ihrer jährlichen "
    "Steigerung zurückgerechnet), ist wie heute. Nur Fahrzeuge, die an dem Tag in Dienst waren, zählen, in der "
    "Vorschau und in dem, was kam.",
    "money_backtest.how_error": "Wie im Vorjahr: was im selben Monat ein Jahr zuvor bezahlt wurde. Wie in den "
    "letzten 3 Monaten: in jedem Monat das Mittel der drei Monate vor der Vorschau. Überfällige Arbeit fällt "
    "auf den Tag der Vorschau und zählt bei den zwölf Monaten zusammen.",
    "money_backtest.caution_lead": "Schätzungen für die Planung.",
    "money_backtest.caution": "Wie sich Vorschauen früher bewährt haben, verspricht nicht, wie sie sich künftig "
    "bewähren.",
    "money_backtest.files": "Alle Zahlen stehen in data/money_backtest.csv.",
    # What if.
    "what_if.title": "Was wäre wenn: die Vorschau mit Änderungen",
    "what_if.lead": "Stand {day}. Die Vorschau, wie sie ist und wie sie wäre, zweimal gerechnet. Alle Beträge in "
    "{currency}, ohne Steuer.",
    "what_if.changes": "Was geändert ist",
    "what_if.base": "Wie es ist",
    "what_if.changed": "Was wäre wenn",
    "what_if.difference": "Unterschied",
    "what_if.share": "In Prozent",
    "what_if.changed_p10": "Was wäre wenn, 1 von 10 darunter",
    "what_if.changed_p90": "Was wäre wenn, 1 von 10 darüber",
    "what_if.base_p10": "Wie es ist, 1 von 10 darunter",
    "what_if.base_p90": "Wie es ist, 1 von 10 darüber",
    "what_if.chart_label": "Diagramm: nach Monat, wie es ist und was wäre wenn",
    "what_if.chart_title": "Instandhaltungsausgaben nach Monat, wie es ist und mit den Änderungen",
    "what_if.said": "{month}: {base} wie es ist, {changed} mit den Änderungen.",
    "what_if.all": "Alle",
    "what_if.table_years": "Alles zusammen und nach Geschäftsjahr",
    "what_if.table_months": "Nach Monat",
    "what_if.table_centres": "Nach Kostenstelle",
    "what_if.table_categories": "Nach Kategorie",
    "what_if.head_years": "Zeit",
    "what_if.head_months": "Monat",
    "what_if.head_centres": "Kostenstelle",
    "what_if.head_categories": "Kategorie",
    "what_if.nothing": "Nichts ist geplant und nichts Ungeplantes aufgezeichnet, es gibt also keine Ausgaben "
    "vorherzusagen.",
    "what_if.interval_lead": "Herstellervorgabe und Gesetz gehen vor.",
    "what_if.interval": "Ein längeres Intervall steht Ihnen vielleicht nicht frei.",
    "what_if.how": "Beides ist dieselbe Vorschau, mit denselben Zufallszahlen gezogen; die zweite mit den "
    "Änderungen. Ein Intervall ersetzt jedes seiner Art, das die Aufgabe hat, auch das eigene eines Fahrzeugs. "
    "Preise und Stundensatz ändern geplante Arbeit; ungeplante Arbeit ist nur durch das bekannt, was sie "
    "gekostet hat. Mehr Laufleistung bringt geplante Arbeit nach Laufleistung früher und ungeplante Arbeit im "
    "Verhältnis zur Nutzung. Eine stillgelegte Klasse kostet von dem Tag an nichts.",
    "what_if.caution": "Die Dateien des Fuhrparks und sein Speicher sind unverändert.",
    "what_if.files": "Alle Zahlen stehen in data/what_if.csv und what_if.xlsx.",
}  # fmt: skip
