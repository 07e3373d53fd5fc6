"""The standing cautions in English: a part of the catalogue.

None may say that a vehicle or a task is safe, or all right: the figures cannot know that. Where a rule is quoted, its source
stands with it, and local law and the maker's schedule decide.
"""

from collections.abc import Mapping

WORDS: Mapping[str, str] = {
    "cautions.week.estimates.title": "Estimates for planning.",
    "cautions.week.estimates.text": "Due dates of distance and hours are estimated from past use, and move with it. This report does"
    " not decide whether a vehicle is roadworthy.",
    "cautions.week.not_due.title": "Not due does not mean safe.",
    "cautions.week.not_due.text": "A task that is not due, or a vehicle that is not listed, may still need attention. A reported "
    "defect, a warning lamp or a failed daily check always comes first.",
    "cautions.week.maker_and_law.title": "The maker's schedule and the law come first.",
    "cautions.week.maker_and_law.text": "Where this report differs from the vehicle maker's schedule, a recall or the law, they win.",
    "cautions.week.competent_people.title": "Competent people do the work.",
    "cautions.week.competent_people.text": "Have it done and signed off by competent technicians, licensed where the law asks for that.",
    "cautions.week.manual.title": "The vehicle's own manual gives the values.",
    "cautions.week.manual.text": "Take torques, fluid types and quantities, and working procedures from the manual of that very "
    "vehicle.",
    "cautions.week.readings.title": "A figure is as good as the readings behind it.",
    "cautions.week.readings.text": "A mistyped, missing or changed odometer moves every date worked out from it. See what could not"
    " be judged and what was set aside.",
    "cautions.order.no_approval.title": "A list is not an approval.",
    "cautions.order.no_approval.text": "Listed, different and not stated compare texts of product records with texts of your stock "
    "list. Whether an oil or a part may be used, and what a warranty asks for, the vehicle's maker "
    "decides: ask before you change.",
    "cautions.order.counts.title": "The shelf is as good as its counts.",
    "cautions.order.counts.text": "Stock is the last count less what the histories say was used since; what is delivered, lent or "
    "spilt is not known until the next count. A safety stock makes running out unlikely, not "
    "impossible.",
    "cautions.money.no_advice.title": "An estimate, not advice.",
    "cautions.money.no_advice.text": "The forecast is worked out from the fleet's own records and plan. It is no financial, tax or "
    "legal advice.",
    "cautions.money.no_books.title": "Management figures, not the books.",
    "cautions.money.no_books.text": "Maintenance used up but not yet paid is not a provision under IAS 37: future upkeep is no "
    "present obligation. Whether a major overhaul or inspection is an asset (IAS 16.14) is for the "
    "accountant to judge.",
    "cautions.money.band.title": "A band is not a promise.",
    "cautions.money.band.text": "Four draws of five lie inside it if the months to come resemble those on record. A price shock,"
    " a new contract or a change of the fleet is not in it.",
    "cautions.money.warranty.title": "Warranty: the maker's terms decide.",
    "cautions.money.warranty.text": "Work listed as inside a warranty may be excluded by its terms, or out of time to claim. Ask the"
    " maker or dealer.",
    "cautions.money.replacement.title": "The replacement pointer is an indication.",
    "cautions.money.replacement.text": "It knows nothing of downtime, fuel, safety or how a new vehicle would do.",
    "cautions.money.never_what_is_safe.title": "Money never decides what is safe.",
    "cautions.money.never_what_is_safe.text": "A saving by a longer interval is none if the maker's schedule or the law asks for the shorter "
    "one.",
    "cautions.waste.filter": "Oil filters: hot-drain by gravity (puncture, crush or take apart) and catch the oil before they"
    " are stored or handed over (US 40 CFR 261.4(b)(13), for filters that are not terne-plated). "
    "Keep in a closed, labelled container. Oil and filter may scald: gloves and eye protection. "
    "Local rules decide.",
    "cautions.waste.oil": 'Tanks and containers in good condition, not leaking, closed, marked "Used Oil", fill pipes too '
    "(US 40 CFR 279.22). Mix with nothing else: not with coolant, fuel, brake fluid or solvents. "
    "Local rules decide.",
    "cautions.waste.coolant": "Poisonous, and tastes sweet: closed, labelled container, out of reach of people and animals; "
    "never into a drain or onto the ground, never into used oil. Local rules decide.",
    "cautions.waste.brake_fluid": "Closed, labelled container of its own; never into used oil. It harms eyes, skin and paint. "
    "Local rules decide.",
    "cautions.waste.batter": "Upright, terminals covered, away from sparks; acid burns. To a licensed taker. Local rules "
    "decide.",
    "cautions.waste.rag": "Oily rags can ignite by themselves: closed metal container, emptied often. Local rules decide.",
    "cautions.waste.other": "Closed, labelled container, kept apart from other waste. Local rules decide.",
}
