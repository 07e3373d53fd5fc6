"""The standing cautions that reports carry, in order: a title and a sentence or two each.

None may say that a vehicle or a task is safe, or all right: the figures cannot know that. Where a rule is quoted, its
source stands with it, and local law and the maker's schedule decide.
"""

CAUTIONS: tuple[tuple[str, str], ...] = (
    (
        "Estimates for planning.",
        (
            "Due dates of distance and hours are estimated from past use, and move with it. "
            "This report does not decide whether a vehicle is roadworthy."
        ),
    ),
    (
        "Not due does not mean safe.",
        (
            "A task that is not due, or a vehicle that is not listed, may still need attention. "
            "A reported defect, a warning lamp or a failed daily check always comes first."
        ),
    ),
    (
        "The maker's schedule and the law come first.",
        "Where this report differs from the vehicle maker's schedule, a recall or the law, they win.",
    ),
    (
        "Competent people do the work.",
        "Have it done and signed off by competent technicians, licensed where the law asks for that.",
    ),
    (
        "The vehicle's own manual gives the values.",
        "Take torques, fluid types and quantities, and working procedures from the manual of that very vehicle.",
    ),
    (
        "A figure is as good as the readings behind it.",
        (
            "A mistyped, missing or changed odometer moves every date worked out from it. "
            "See what could not be judged and what was set aside."
        ),
    ),
)

ORDER_CAUTIONS: tuple[tuple[str, str], ...] = (
    (
        "A list is not an approval.",
        (
            "Listed, different and not stated compare texts of product records with texts of your stock list. "
            "Whether an oil "
            "or a part may be used, and what a warranty asks for, the vehicle's maker decides: ask before you change."
        ),
    ),
    (
        "The shelf is as good as its counts.",
        (
            "Stock is the last count less what the histories say was used since; what is delivered, lent or "
            "spilt is not "
            "known until the next count. A safety stock makes running out unlikely, not impossible."
        ),
    ),
)

# What the handling of a waste stream asks for: the words by which a stream is known, and the caution.
WASTE_CAUTIONS: tuple[tuple[str, str], ...] = (
    (
        "filter",
        (
            "Oil filters: hot-drain by gravity (puncture, crush or take apart) and catch the oil before they "
            "are stored or "
            "handed over (US 40 CFR 261.4(b)(13), for filters that are not terne-plated). Keep in a closed, labelled "
            "container. Oil and filter may scald: gloves and eye protection. Local rules decide."
        ),
    ),
    (
        "oil",
        (
            'Tanks and containers in good condition, not leaking, closed, marked "Used Oil", fill pipes too (US '
            "40 CFR 279.22). "
            "Mix with nothing else: not with coolant, fuel, brake fluid or solvents. Local rules decide."
        ),
    ),
    (
        "coolant",
        (
            "Poisonous, and tastes sweet: closed, labelled container, out of reach of people and animals; never "
            "into a drain "
            "or onto the ground, never into used oil. Local rules decide."
        ),
    ),
    (
        "brake fluid",
        "Closed, labelled container of its own; never into used oil. It harms eyes, skin and paint. Local rules "
        "decide.",
    ),
    (
        "batter",
        "Upright, terminals covered, away from sparks; acid burns. To a licensed taker. Local rules decide.",
    ),
    (
        "rag",
        "Oily rags can ignite by themselves: closed metal container, emptied often. Local rules decide.",
    ),
)
WASTE_IN_GENERAL = "Closed, labelled container, kept apart from other waste. Local rules decide."


def waste_caution(stream: str) -> str:
    """The handling caution for a waste stream, by the words in its name; the general one where none is known."""
    named = stream.casefold()
    # Oily rags and used brake fluid are no used oil; a filter stays one whatever it held.
    for word in ("filter", "rag", "brake fluid", "coolant", "batter", "oil"):
        if word in named:
            return dict(WASTE_CAUTIONS)[word]
    return WASTE_IN_GENERAL


MONEY_CAUTIONS: tuple[tuple[str, str], ...] = (
    (
        "An estimate, not advice.",
        "The forecast is worked out from the fleet's own records and plan. It is no financial, tax or legal advice.",
    ),
    (
        "Management figures, not the books.",
        "Maintenance used up but not yet paid is not a provision under IAS 37: future upkeep is no present "
        "obligation. Whether a major overhaul or inspection is an asset (IAS 16.14) is for the accountant to judge.",
    ),
    (
        "A band is not a promise.",
        "Four draws of five lie inside it if the months to come resemble those on record. "
        "A price shock, a new contract or a change of the fleet is not in it.",
    ),
    (
        "Warranty: the maker's terms decide.",
        "Work listed as inside a warranty may be excluded by its terms, or out of time to claim. "
        "Ask the maker or dealer.",
    ),
    (
        "The replacement pointer is an indication.",
        "It knows nothing of downtime, fuel, safety or how a new vehicle would do.",
    ),
    (
        "Money never decides what is safe.",
        "A saving by a longer interval is none if the maker's schedule or the law asks for the shorter one.",
    ),
)
