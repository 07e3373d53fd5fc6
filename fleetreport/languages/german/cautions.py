"""The standing cautions in German: a part of the catalogue.

None may say that a vehicle or a task is safe, or all right: the figures cannot know that. Where a rule is quoted, its source
stands with it, and local law and the maker's schedule decide.
"""

from collections.abc import Mapping

WORDS: Mapping[str, str] = {
    "cautions.week.estimates.title": "Schätzungen für die Planung.",
    "cautions.week.estimates.text": "Fälligkeiten nach Laufleistung und Betriebsstunden sind aus der bisherigen "
    "Nutzung geschätzt und verschieben sich mit ihr. Dieser Bericht entscheidet nicht, ob ein Fahrzeug "
    "verkehrssicher ist.",
    "cautions.week.not_due.title": "Nicht fällig heißt nicht sicher.",
    "cautions.week.not_due.text": "Eine Aufgabe, die nicht fällig ist, oder ein Fahrzeug, das nicht aufgeführt ist, "
    "kann trotzdem Arbeit brauchen. Ein gemeldeter Mangel, eine Warnleuchte oder eine nicht bestandene "
    "Abfahrtskontrolle geht immer vor.",
    "cautions.week.maker_and_law.title": "Herstellervorgabe und Gesetz gehen vor.",
    "cautions.week.maker_and_law.text": "Wo dieser Bericht vom Wartungsplan des Fahrzeugherstellers, von einem "
    "Rückruf oder vom Gesetz abweicht, gelten diese.",
    "cautions.week.competent_people.title": "Die Arbeit machen sachkundige Leute.",
    "cautions.week.competent_people.text": "Von sachkundigen Fachkräften ausführen und abzeichnen lassen, mit "
    "Zulassung, wo das Gesetz sie verlangt.",
    "cautions.week.manual.title": "Die Werte stehen im Handbuch des Fahrzeugs.",
    "cautions.week.manual.text": "Anzugsmomente, Sorten und Mengen der Betriebsflüssigkeiten und Arbeitsabläufe dem "
    "Handbuch genau dieses Fahrzeugs entnehmen.",
    "cautions.week.readings.title": "Eine Zahl ist so gut wie die Ablesungen dahinter.",
    "cautions.week.readings.text": "Ein vertippter, fehlender oder getauschter Wegstreckenzähler verschiebt jedes "
    "daraus errechnete Datum. Siehe, was nicht beurteilt werden konnte und was beiseitegelegt wurde.",
    "cautions.order.no_approval.title": "Eine Liste ist keine Freigabe.",
    "cautions.order.no_approval.text": "Aufgeführt, abweichend und nicht angegeben vergleichen Texte der "
    "Produktdaten mit Texten Ihrer Lagerliste. Ob ein Öl oder ein Teil verwendet werden darf und was eine "
    "Garantie verlangt, entscheidet der Fahrzeughersteller: vor einem Wechsel fragen.",
    "cautions.order.counts.title": "Der Vorrat ist so gut wie seine Zählung.",
    "cautions.order.counts.text": "Der Vorrat ist die letzte Zählung abzüglich dessen, was seither laut Historie "
    "verbraucht wurde; was geliefert, verliehen oder verschüttet wurde, ist bis zur nächsten Zählung nicht "
    "bekannt. Ein Sicherheitsbestand macht einen Fehlbestand unwahrscheinlich, nicht unmöglich.",
    "cautions.money.no_advice.title": "Eine Schätzung, keine Beratung.",
    "cautions.money.no_advice.text": "Die Vorschau ist aus den Aufzeichnungen und dem Plan des Fuhrparks errechnet. "
    "Sie ist keine Finanz-, Steuer- oder Rechtsberatung.",
    "cautions.money.no_books.title": "Zahlen für die Leitung, nicht die Buchführung.",
    "cautions.money.no_books.text": "Verbrauchte, noch nicht bezahlte Instandhaltung ist keine Rückstellung nach IAS "
    "37: künftiger Unterhalt ist keine gegenwärtige Verpflichtung. Ob eine Hauptüberholung oder größere "
    "Prüfung ein Vermögenswert ist (IAS 16.14), beurteilt die Buchhaltung.",
    "cautions.money.band.title": "Ein Band ist kein Versprechen.",
    "cautions.money.band.text": "Vier von fünf Ziehungen liegen darin, wenn die kommenden Monate den aufgezeichneten "
    "gleichen. Ein Preissprung, ein neuer Vertrag oder eine Änderung des Fuhrparks ist nicht enthalten.",
    "cautions.money.warranty.title": "Garantie: Die Bedingungen des Herstellers entscheiden.",
    "cautions.money.warranty.text": "Arbeit, die als innerhalb der Garantie aufgeführt ist, kann nach deren "
    "Bedingungen ausgeschlossen oder verjährt sein. Den Hersteller oder Händler fragen.",
    "cautions.money.replacement.title": "Der Hinweis zum Ersatz ist nur ein Anhalt.",
    "cautions.money.replacement.text": "Er weiß nichts von Ausfallzeiten, Kraftstoff, Sicherheit oder davon, wie "
    "sich ein neues Fahrzeug bewähren würde.",
    "cautions.money.never_what_is_safe.title": "Geld entscheidet nie, was sicher ist.",
    "cautions.money.never_what_is_safe.text": "Eine Ersparnis durch ein längeres Intervall ist keine, wenn der "
    "Wartungsplan des Herstellers oder das Gesetz das kürzere verlangt.",
    "cautions.waste.filter": "Ölfilter: warm durch Schwerkraft abtropfen lassen (anstechen, pressen oder zerlegen) "
    "und das Öl auffangen, bevor sie gelagert oder abgegeben werden (US 40 CFR 261.4(b)(13), für Filter ohne "
    "Blei-Zinn-Beschichtung). In geschlossenem, gekennzeichnetem Behälter aufbewahren. Öl und Filter können "
    "verbrühen: Handschuhe und Augenschutz. Die örtlichen Vorschriften entscheiden.",
    "cautions.waste.oil": 'Tanks und Behälter unbeschädigt, dicht, geschlossen und als Altöl gekennzeichnet ("Used '
    'Oil"), auch Füllrohre (US 40 CFR 279.22). Mit nichts anderem mischen: nicht mit Kühlmittel, Kraftstoff, '
    "Bremsflüssigkeit oder Lösemitteln. Die örtlichen Vorschriften entscheiden.",
    "cautions.waste.coolant": "Giftig und von süßem Geschmack: geschlossener, gekennzeichneter Behälter, "
    "unerreichbar für Mensch und Tier; nie in einen Abfluss oder auf den Boden, nie ins Altöl. Die örtlichen "
    "Vorschriften entscheiden.",
    "cautions.waste.brake_fluid": "Eigener geschlossener, gekennzeichneter Behälter; nie ins Altöl. Sie schadet "
    "Augen, Haut und Lack. Die örtlichen Vorschriften entscheiden.",
    "cautions.waste.batter": "Aufrecht, Pole abgedeckt, fern von Funken; Säure verätzt. An einen zugelassenen "
    "Entsorger. Die örtlichen Vorschriften entscheiden.",
    "cautions.waste.rag": "Ölige Lappen können sich selbst entzünden: geschlossener Metallbehälter, oft geleert. Die "
    "örtlichen Vorschriften entscheiden.",
    "cautions.waste.other": "Geschlossener, gekennzeichneter Behälter, getrennt von anderem Abfall. Die örtlichen "
    "Vorschriften entscheiden.",
}  # fmt: skip
