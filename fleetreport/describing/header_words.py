"""Words that people put over columns, in several languages, for each thing a column can be: a small table of our own.

A header helps `describe` to tell what a column is; the values decide. A word stands as it is compared: small letters,
without accents. Of two columns of ours that a header says equally well, the one first in THINGS is taken, so there the
special stand before the general (labour cost before other cost).
"""

import re
import unicodedata

# Of each thing: words of English, then German, French, Spanish, Italian, Dutch, Portuguese, Polish, Swedish, Finnish.
WORDS: dict[str, tuple[str, ...]] = {
    "vehicle": (
        "vehicle id", "vehicle no", "vehicle", "unit no", "unit number", "fleet no", "fleet number", "plate",
        "registration", "reg no", "licence plate", "license plate", "asset", "car", "truck",
        "bus id", "bus", "kennzeichen", "amtl kennzeichen", "fahrzeug", "fahrzeugnr", "fahrzeug nr", "wagen",
        "kfz", "immatriculation", "vehicule", "plaque", "matricula", "vehiculo", "unidad", "targa", "veicolo",
        "mezzo", "kenteken", "voertuig", "viatura", "veiculo", "placa", "nr rejestracyjny", "pojazd",
        "rejestracja", "regnr", "fordon", "rekisterinumero", "ajoneuvo", "veh", "unit", "fahrgestellnummer",
        "vin", "samochod", "kjoretoy", "koretoj",
    ),
    "time": (
        "time", "uhrzeit", "zeit", "heure", "hora", "ora", "tijd", "godzina", "tid", "kello", "klo",
    ),
    "retired": (
        "retired on", "retired", "sold on", "ausser dienst", "abgemeldet",
    ),
    "in service": (
        "in service on", "in service", "first registration", "erstzulassung", "zulassung", "mise en circulation",
        "fecha de alta", "immatricolazione", "datum eerste toelating",
    ),
    "date": (
        "date", "day", "read at", "reading date", "service date", "done on", "transaction date", "timestamp",
        "datum", "tag", "belegdatum", "rechnungsdatum", "leistungsdatum", "date de facture",
        "fecha", "data", "dato", "paivamaara", "pvm", "datetime", "date time", "ts", "time stamp", "recorded at",
        "logged at", "when", "dia", "jour",
    ),
    "odometer": (
        "odometer", "odo", "mileage", "odometer reading", "meter reading", "reading", "km reading",
        "odometer km", "kilometerstand", "km stand", "kmstand", "tachostand", "laufleistung", "kilometer", "km",
        "kilometrage", "compteur", "kilometraje", "cuentakilometros", "odometro", "chilometraggio",
        "contachilometri", "chilometri", "kilometerstand km", "tellerstand", "quilometragem", "odometr",
        "przebieg", "stan licznika", "matarstallning", "mittarilukema", "ajokilometrit", "odometer miles",
    ),
    "hours": (
        "engine hours", "hour meter", "hours", "operating hours", "betriebsstunden", "motorstunden",
        "heures moteur", "horas", "horas motor", "ore motore", "draaiuren", "motogodziny", "drifttimmar",
        "kayttotunnit",
    ),
    "labour hours": (
        "labour hours", "labor hours", "work hours", "arbeitsstunden", "arbeitszeit", "heures de main d oeuvre",
        "horas de mano de obra", "aw", "roboczogodziny",
    ),
    "labour cost": (
        "labour cost", "labor cost", "labour", "labor", "arbeitslohn", "lohn", "lohnkosten", "main d oeuvre",
        "mano de obra", "manodopera", "arbeidsloon", "mao de obra", "robocizna",
    ),
    "parts cost": (
        "parts cost", "parts", "teile", "teilekosten", "ersatzteile", "materialkosten", "pieces", "repuestos",
        "ricambi", "onderdelen", "pecas", "czesci",
    ),
    "cost": (
        "total cost", "total", "amount", "cost", "net amount", "total amount", "sum", "betrag", "gesamtbetrag",
        "gesamt", "summe", "kosten", "netto", "nettobetrag", "montant", "montant ht", "cout", "total ht",
        "importe", "coste", "costo", "importo", "totale", "bedrag", "kosten totaal", "valor", "custo", "kwota",
        "kwota netto", "koszt", "belopp", "summa", "hinta",
    ),
    "quantity": (
        "quantity", "qty", "gallons", "litres", "liters", "volume", "menge", "liter", "anzahl", "quantite",
        "litres l", "cantidad", "litros", "quantita", "litri", "hoeveelheid", "quantidade", "ilosc", "mangd",
        "maara",
    ),
    "item": (
        "item", "part no", "part number", "artikel", "artikelnummer", "teilenummer", "reference", "articulo",
        "articolo",
    ),
    "invoice": (
        "invoice", "invoice no", "invoice number", "rechnung", "rechnungsnummer", "rechnungsnr", "belegnr",
        "beleg nr", "facture", "no facture", "factura", "fattura", "factuur", "fatura", "faktura", "nr faktury",
        "lasku",
    ),
    "description": (
        "description", "category", "service", "work done", "work", "job", "details", "repair", "leistung",
        "arbeiten", "beschreibung", "bezeichnung", "text", "arbeit", "tatigkeit", "travaux", "designation",
        "libelle", "intervention", "descripcion", "trabajo", "concepto", "servicio", "descrizione", "intervento",
        "lavori", "omschrijving", "werkzaamheden", "descricao", "servico", "opis", "usluga", "beskrivning",
        "arbete", "kuvaus", "tyo",
    ),
    "note": (
        "note", "notes", "comment", "comments", "remarks", "other notes", "service parts notes", "bemerkung",
        "bemerkungen", "notiz", "remarque", "commentaire", "observaciones", "nota", "opmerking", "observacoes",
        "uwagi", "anmarkning", "huomautus",
    ),
    "class": (
        "class", "vehicle class", "type", "vehicle type", "klasse", "fahrzeugart", "typ", "categorie", "tipo",
        "clase",
    ),
    "depot": (
        "depot", "location", "site", "standort", "niederlassung", "site depot", "sede", "vestiging", "oddzial",
    ),
    "cost centre": (
        "cost centre", "cost center", "kostenstelle", "centre de cout", "centro de coste", "centro di costo",
        "kostenplaats", "mpk",
    ),
    "title": (
        "title", "name", "make model", "vehicle name", "bezeichnung fahrzeug", "modell", "modele", "modelo",
        "modello",
    ),
    "due": (
        "expires on", "expiry", "valid until", "gultig bis", "hu bis", "faellig", "fallig", "date d expiration",
        "vencimiento",
    ),
    "task": (
        "task", "aufgabe", "tache", "tarea",
    ),
}  # fmt: skip
# A figure with one of these words in its header is a price or a rate for one, not an amount or a meter.
PER_ONE = re.compile(
    r"\b(per|price|unit|each|ppl|ppg|mpg|pro|preis|einzelpreis|einzel|prix|precio|prezzo|prijs|preco|cena|pris|rate|tax|vat|"
    r"mwst|ust|tva|iva|btw|percentage|pct|prozent|id|lat|lon|latitude|longitude|latitud|driver|fahrer)\b|%|/ ?l\b|l/100"
)
MILES = re.compile(r"\b(miles?|mi|mpg)\b")
KILOMETRES = re.compile(r"\b(km|kms|kilom\w+|chilom\w+|quilom\w+)\b|km$")
METRES = re.compile(r"\b(met(er|re)s|in m)\b|\(m\)")
# Which column of a table holds which thing.
THINGS: dict[str, dict[str, str]] = {
    "readings": {
        "vehicle_id": "vehicle", "read_at": "date", "reading": "odometer",
    },
    "history": {
        "vehicle_id": "vehicle", "done_on": "date", "odometer": "odometer", "hours": "hours",
        "labour_hours": "labour hours", "labour_cost": "labour cost", "parts_cost": "parts cost",
        "other_cost": "cost", "quantity": "quantity", "item": "item", "invoice": "invoice",
        "description": "description", "note": "note", "task": "task",
    },
    "vehicles": {
        "vehicle_id": "vehicle", "class": "class", "in_service_on": "in service", "retired_on": "retired",
        "title": "title", "depot": "depot", "cost_centre": "cost centre", "in_service_odometer": "odometer",
    },
    "expiries": {
        "vehicle_id": "vehicle", "task": "task", "expires_on": "due",
    },
}  # fmt: skip


# Letters that are not a plain letter with an accent.
LIGATURES = str.maketrans({"œ": "oe", "æ": "ae", "ø": "o", "ł": "l", "đ": "d"})


def plain_words(header: str) -> str:
    """A header's words: small letters without accents, what stands between words as one blank."""
    apart = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", header)
    flat = unicodedata.normalize("NFKD", apart.casefold().translate(LIGATURES))
    letters = "".join(c for c in flat if not unicodedata.combining(c))
    return " ".join(re.findall(r"[^\W_]+", letters))


def header_score(thing: str, header: str) -> int:
    """How well a header says a thing: 10 for exactly one of its words, less where other words stand beside it."""
    said = plain_words(header)
    words = WORDS[thing]
    if said in words:
        return 10
    inside = [word for word in words if len(word) > 2 and f" {word} " in f" {said} "]
    if inside and not PER_ONE.search(said):
        return 4 + min(3, len(max(inside, key=len)) * 3 // len(said))
    return 0
