"""Names of months and weekdays in several languages, for dates that are written out.

A month is looked up by its whole name or its usual short form, in small letters without accents. The tests hold the
table to CLDR (through Babel) for each language of `LANGUAGES`. A name that stands for two months in two languages
is left out, so that it is refused and not guessed.
"""

LANGUAGES = ("en", "de", "fr", "es", "it", "pt", "nl", "sv", "da", "nb", "pl", "fi", "cs", "ro")
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday", "mon", "tue", "tues", "wed",
            "thu", "thur", "thurs", "fri", "sat", "sun", "mo", "di", "mi", "do", "fr", "sa", "so", "montag",
            "dienstag", "mittwoch", "donnerstag", "freitag", "samstag", "sonntag", "lundi", "mardi", "mercredi",
            "jeudi", "vendredi", "samedi", "dimanche")  # fmt: skip
NAMES = {
    1: "ene enero gen gennaio ian ianuarie jan janeiro januar januari january janv janvier led leden ledna "
    "sty styczen stycznia tammi tammikuu tammikuuta",
    2: "feb febbraio febrero februar februari februarie february fev fevereiro fevr fevrier helmi helmikuu "
    "helmikuuta lut lutego luty uno unor unora",
    3: "bre brezen brezna maalis maaliskuu maaliskuuta maart maerz mar marca march marco mars martie marts "
    "marz marzec marzo mrt mrz",
    4: "abr abril apr april aprile aprilie avr avril dub duben dubna huhti huhtikuu huhtikuuta kwi kwiecien kwietnia",
    5: "kve kveten kvetna mag maggio mai maio maj maja may mayo mei touko toukokuu toukokuuta",
    6: "cerven cervna cvn cze czerwca czerwiec giu giugno iun iunie juin jun june junho juni junio kesa "
    "kesakuu kesakuuta",
    7: "cervence cervenec cvc heina heinakuu heinakuuta iul iulie juil juillet jul julho juli julio july lip "
    "lipca lipiec lug luglio",
    8: "ago agos agosto aout aug august augusti augustus elo elokuu elokuuta sie sierpien sierpnia srp srpen srpna",
    9: "sep sept september septembre septembrie septiembre set setembro sett settembre syys syyskuu "
    "syyskuuta wrz wrzesien wrzesnia zar zari",
    10: "loka lokakuu lokakuuta oct october octobre octombrie octubre okt oktober ott ottobre out outubro paz "
    "pazdziernik pazdziernika rij rijen rijna",
    11: "lis listopad listopada listopadu marras marraskuu marraskuuta noiembrie nov november novembre "
    "novembro noviembre",
    12: "dec december decembre decembrie des desember dez dezember dezembro dic dicembre diciembre gru "
    "grudnia grudzien joulu joulukuu joulukuuta pro prosince prosinec",
}
MONTHS = {name: f"{number:02}" for number, names in NAMES.items() for name in names.split()}
