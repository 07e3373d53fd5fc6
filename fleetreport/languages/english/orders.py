"""The words of the order's page in English: a part of the catalogue.

They may hold `<strong>` and `<em>`, links within the page, and `<bdi>` around what comes from the input; what is filled
in is escaped. `.one` and `.many` are the forms of a count.

None may say that a product is approved, equivalent or suitable: texts of records cannot know that.
"""

from collections.abc import Mapping

WORDS: Mapping[str, str] = {
    "packs.one": "{n}\u00a0pack",
    "packs.many": "{n}\u00a0packs",
    "items.one": "{n}\u00a0item",
    "items.many": "{n}\u00a0items",
    "suppliers.one": "{n}\u00a0supplier",
    "suppliers.many": "{n}\u00a0suppliers",
    "vehicles.one": "{n}\u00a0vehicle",
    "vehicles.many": "{n}\u00a0vehicles",
    "products.one": "{n}\u00a0product",
    "products.many": "{n}\u00a0products",
    "fluids.one": "{n}\u00a0fluid",
    "fluids.many": "{n}\u00a0fluids",
    "lines.one": "{n}\u00a0line",
    "lines.many": "{n}\u00a0lines",
    "on_average": "{amount} on average",
    # The methods and verdicts.
    "method.recent_mean": "mean of the last 24 weeks",
    "method.long_mean": "mean of all periods",
    "method.smoothed_mean": "exponential smoothing",
    "method.croston": "Croston",
    "method.syntetos_boylan": "Croston, corrected (Syntetos-Boylan)",
    "method.teunter_syntetos_babai": "Teunter-Syntetos-Babai",
    "demand.smooth": "smooth",
    "demand.intermittent": "intermittent",
    "demand.erratic": "erratic",
    "demand.lumpy": "lumpy",
    "demand.": "too little to tell",
    "verdict.listed": "listed",
    "verdict.different": "different",
    "verdict.not stated": "not stated",
    "order.synchronisers": "GL-4 and GL-5 are different designations, not a lesser and a better one. A GL-5 oil "
    "may attack the yellow metal of synchronisers: in a synchronised gearbox or transfer case use only what its maker "
    "names.",
    # The head of the page.
    "order.page_title": "Order of week {week} of {year}: {fleet}",
    "order.week": "Week",
    "order.title": "What to buy this week",
    "order.as_of": "As of <strong>{day}</strong>. Ordered every {days}; the shelf should last until the next order "
    "arrives with a chance of {level}\u00a0%.",
    "order.figures": "The order in figures",
    "order.to_pay": "To order today",
    "order.by_list": "by the prices listed",
    "unit.piece": "piece",
    "unit.pieces": "pieces",
    "unit.set": "set",
    "unit.sets": "sets",
    "unit.pair": "pair",
    "unit.pairs": "pairs",
    "unit.unit": "unit",
    "unit.units": "units",
    "unit.each": "each",
    "unit.roll": "roll",
    "unit.tube": "tube",
    "unit.can": "can",
    "unit.bottle": "bottle",
    "unit.box": "box",
    "order.head_count": "Count",
    "order.packs": "Packs",
    "order.from_suppliers": "from {suppliers}",
    "order.ask_first": "Ask first",
    "order.ask_first_sum": "{money}, not in the sum",
    "order.ask_first_none": "nothing to ask",
    "order.short": "Cannot be had in full",
    "order.short_items": "of what is needed",
    "order.late": "Late if nothing is bought",
    "order.late_from": "from {day}",
    "order.late_tasks": "tasks",
    # What to buy.
    "order.to_order": "{packs} to order",
    "order.nothing": "Nothing to order by these records",
    "order.nothing_today": "Nothing to order before the makers have answered",
    "order.none_to_be_had": "Nothing can be ordered of what is lacking",
    "order.none_to_be_had_said": "What is lacking is in no pack that may be bought: see below. It is not that there is "
    "enough.",
    "order.no_items": "No item is listed, so nothing was reckoned",
    "order.no_items_said": "The fleet folder has no items: oils, filters, washers and fluids go into items.csv, what each "
    "task takes of them into task_items.csv, and what can be bought into packs.csv. This does not say that there is enough.",
    "order.covered": "What is on hand and on order covers what is expected, and the safety stock, of every item "
    "listed.",
    "order.cheapest": "The cheapest whole packs that cover what each item lacks: <strong>{money}</strong>.",
    "order.cheapest_asking": "The cheapest whole packs that cover what each item lacks: {money}. Of it "
    "<strong>{today}</strong> may be ordered today; {held} is for products to <a href=\"#ask-first\">ask about "
    "first</a>.",
    "order.one_size_more": "With the cheapest single pack size for each, the {items} that one size covers would cost "
    "{money} instead of {ordered}, <strong>{more} more</strong>.",
    "order.one_size_less": "With the cheapest single pack size for each, the {items} that one size covers would cost "
    "{money} instead of {ordered}, but leave out what suppliers ask for at least.",
    "order.one_size_same": "One pack size for each item would cost the same.",
    "order.pack": "Pack",
    "order.for": "For",
    "order.price": "Price",
    "order.cost": "Cost",
    "order.below_least": "below its least order of {money} as long as a line waits for an answer",
    "order.no_supplier": "No supplier named",
    "order.price_from": "price from {count} on",
    "order.not_stated": "Needed but not listed: <bdi>{tokens}</bdi>. The letter asks the supplier.",
    "order.confirmed": "Not listed: <bdi>{tokens}</bdi>; confirmed: <bdi>{said}</bdi>.",
    "order.short_beyond": "<strong><bdi>{title}</bdi></strong>: {short} of {amount} is beyond what is available, finds "
    "room or may be bought.",
    "order.short_none": "<strong><bdi>{title}</bdi></strong>: {short} of {amount} is on offer in no pack that may be "
    "bought.",
    "order.estimate": "<strong>An estimate, not a decision.</strong> Check the shelf before you send it; where a "
    "product does not list what is needed, ask the vehicle's maker first. <a href=\"#cautions\">Read the cautions</a>.",
    # What to ask first.
    "order.ask_title": "Ask first: not ordered yet",
    "order.ask_why": "These are the cheapest packs, but their products list <strong>another</strong> designation than "
    "the item needs. They are in no sum and no letter orders them until the maker's answer stands in fleet.toml.",
    "order.ask_line": "<strong>{count}\u00a0× <bdi>{product}</bdi></strong> (<bdi>{pack}</bdi>, "
    "<bdi>{supplier}</bdi>), "
    "{cost}, for <bdi>{title}</bdi>. Needed and not listed: <bdi>{tokens}</bdi>.",
    "order.ask_needed": "It runs out on {day}.",
    "order.ask_instead_listed": "Without asking: <bdi>{packs}</bdi>, which lists all that is needed, {cost} for the "
    "item, <strong>{more} more</strong>.",
    "order.ask_instead_not_stated": "Without asking: <bdi>{packs}</bdi>, which lists nothing to the contrary (but not "
    "all that is needed), {cost} for the item, <strong>{more} more</strong>.",
    "order.ask_alone": "No other product on offer covers this item.",
    "order.ask_how": "When the maker has said yes, write it into fleet.toml, and the next run orders it:",
    "order.ask_or": "Or buy only what lists all that is needed for these items:",
    "order.ask_said": "who said so, and when",
    # Late.
    "order.late_what": "Planned work that would lack an item, the stock going to the work in order of day.",
    "order.late_express": "Where even what is ordered today comes too late, ask for it by express or borrow it.",
    "order.late_average": "What is needed now and then counts with its chance, so that pieces may come to parts of "
    "one.",
    "order.day": "Day",
    "order.vehicle_and_work": "Vehicle and work",
    "order.lacks": "Lacks",
    "order.arrives": "Arrives if ordered today",
    "order.too_late": "too late",
    "order.late_urgent_caption": "Planned work that would lack an item and that only this week's order can serve",
    "order.late_further_caption": "Further planned work that only this week's order can serve",
    "order.late_rest_caption": "Planned work that would lack an item and that a later order can still serve",
    "order.late_more.one": "{n} more line",
    "order.late_more.many": "{n} more lines",
    "order.late_none_urgent": "None of it before what is ordered next time can be there.",
    "order.late_rest": "{lines} by {day} that a later order can still serve",
    "order.late_none": "By expected use no planned work by {day} would lack an item.",
    # Specifications.
    "order.confirm_title": "Confirm with the maker first",
    "order.confirm_what": "What each product lists, token by token, beside what the stock list says is needed: "
    "<strong>listed</strong>; <strong>different</strong>, where it lists another of the same family; <strong>not "
    "stated</strong>. It is a comparison of texts, not an approval.",
    "order.synchronisers_head": "Synchronisers.",
    "order.warning": "<strong><bdi>{product}</bdi></strong> for <bdi>{title}</bdi>: <bdi>{token}</bdi> is "
    "<strong>{verdict}</strong>{beside}. It would go into {vehicles}{warranty}.",
    "order.beside": " (it lists <bdi>{beside}</bdi>)",
    "order.warranty": ", {count} of them in warranty: <bdi>{vehicles}</bdi>",
    "order.listed_cost": "With products that list all of it this item would cost {listed} instead of {cost}.",
    "order.confirmed_by": "Confirmed: <bdi>{said}</bdi>.",
    "order.swapped": "<strong><bdi>{vehicle}</bdi></strong>, <bdi>{task}</bdi>: takes <bdi>{item}</bdi> instead of "
    "<bdi>{instead}</bdi>, for which <bdi>{token}</bdi> is needed: <strong>{verdict}</strong>{beside}.",
    "order.swapped_beside": " (<bdi>{beside}</bdi>)",
    "order.swapped_reason": "The list says: <q><bdi>{reason}</bdi></q>.",
    "order.in_warranty": "In warranty.",
    "order.in_warranty_to": "In warranty to {day}.",
    "order.all_listed": "Every product ordered lists each token that its item needs. That is no approval either.",
    "order.listings": "What every product on offer lists ({count})",
    "order.listings_caption": "Products on offer and what they list of what the item needs",
    "order.item": "Item",
    "order.product_and_supplier": "Product and supplier",
    "order.needed_and_said": "What is needed: what the product says",
    "order.no_product": "no product named",
    # Why.
    "order.why_title": "Why that is enough",
    "order.why": "To order = planned + unplanned + safety \u2212 on hand \u2212 on order. Each item is covered "
    "<em>until</em> the "
    "order after this one could arrive: its lead time and {days} more. <em>Runs out</em> is the first day on which "
    "expected use passes what is on hand and on order. Pieces are averages too: 0.6 planned is one piece needed six "
    "times in ten; what is ordered are whole packs.",
    "order.why_bought": "What is ordered, the soonest to run out first",
    "order.why_not": "What is not ordered this week, the soonest to run out first",
    "order.not_ordered": "{items} not ordered",
    "order.runs_out": "Runs out",
    "order.until": "Until",
    "order.planned": "Planned",
    "order.unplanned": "Unplanned",
    "order.safety": "Safety",
    "order.on_hand": "On hand",
    "order.on_order": "On order",
    "order.to_order_head": "To order",
    "order.bought": "Bought",
    "order.left_over": "Left over",
    "order.count_again": "count again",
    "order.may_pass": "may pass its shelf life",
    "order.not_proved": "cheapest not proved",
    "order.not_foreseen": "not foreseen",
    "order.forecast_title": "Use that no plan foresees",
    "order.forecast": "Repairs, top-ups and what services took beyond their plan, in periods of four weeks; each "
    "method "
    "was replayed over them and judged one period ahead. The mean of the last six periods is the bar: another method "
    "stands only where it was off less.",
    "order.forecast_caption": "Forecast of unplanned use, and how far off it was (root mean squared error)",
    "order.method": "Method",
    "order.kind_of_use": "Kind of use",
    "order.with_use": "Periods with use",
    "order.four_weeks": "Forecast, 4 weeks",
    "order.off_by": "Off by",
    "order.bar_off_by": "Recent mean off by",
    "order.of": "{part} of {all}",
    "order.too_few": "too few periods to judge",
    "order.economic_title": "Economic quantities ({count})",
    "order.economic": "What to buy at once so that the cost of ordering and of holding stock together is least, by the "
    "settings and a year's use. For comparison only: the order does not follow it.",
    # Bulk.
    "order.bulk_title": "Litres by week",
    "order.bulk": "Expected use of what is poured, planned and unplanned, from {from_day} to {to_day}, by ISO week; "
    "the "
    "first and the last week may be cut.",
    "order.bulk_none": "No fluid is expected to be used by {day}.",
    "order.bulk_caption": "Litres by fluid and week",
    "order.fluid": "Fluid",
    "order.together": "Together",
    "order.chart_label": "Chart: litres by week",
    "order.chart_title": "Litres expected, by fluid and ISO week",
    "order.chart_said": "{name}: {total} litres over {weeks} weeks, most in {week} ({most}).",
    "order.containers": "What the lorry brings",
    "order.container_of": "of {amount}",
    "order.returned_title": "What comes back",
    "order.returned": "Used oil, filters and fluids from the planned work, so that containers stand ready. What is "
    "topped up is used up and does not come back. Pieces are averages.",
    "order.returned_caption": "Expected by waste stream and week, in litres where no other unit is named",
    "order.stream": "Stream",
    "order.returned_rules": "The US rules named are examples of what is asked for. The rules of your place decide what "
    "is kept, how and for how long, and who may take it.",
    "order.returned_none": "The stock list names no waste stream for what is used by {day}.",
    # Fewer oils.
    "order.fewer_title": "Fewer oils on the shelf",
    "order.fewer": "By what products list, <strong>{together}</strong> could cover the {fluids} below; the cheapest "
    "product for each by itself makes {alone}. A year's use would cost {cost_together} instead of "
    "{cost_alone}{change}. "
    "No smaller set covers them. It is a question to put to the makers, not a decision.",
    "order.fewer_more": ", {money} more",
    "order.fewer_less": ", {money} less",
    "order.fewer_caption": "Fluids, the product that is cheapest for each alone, and the one in the smallest set",
    "order.alone": "Cheapest alone",
    "order.smallest_set": "In the smallest set",
    "order.to_confirm": "To confirm first",
    "order.a_year": "{money} a year",
    "order.no_change": "no change",
    "order.fewer_question": "Does the maker of each vehicle and gearbox accept a product that lists "
    "<bdi>{lists}</bdi>?",
    "order.fewer_left_out": "Fluids of which no product on offer lists everything needed are left out: they keep what "
    "they have.",
    "order.fewer_none": "No product on offer lists everything that a fluid needs, so nothing can be said.",
    # How, and the foot.
    "order.how_title": "How it was worked out",
    "order.how_need": "<strong>Planned</strong> is what the dated work takes: quantity times the chance that it is "
    "needed, washers and the like that serve again only when they are renewed, with each vehicle's exceptions; work "
    "that a bigger task of the same day covers counts once. <strong>Unplanned</strong> is the forecast above, for the "
    "days covered. <strong>Safety</strong> is what makes the shelf last with the chance asked for: pieces by the exact "
    "distribution of what may come up (planned work, and repairs as a Poisson or negative binomial count), measured "
    "goods by the normal approximation. What varies is the day on which planned work comes up, whether an item is "
    "needed then, unplanned use, and the lead time where its spread is given; where nothing varies there is none.",
    "order.how_stock": "<strong>On hand</strong> is the last count less what the histories say was used after that "
    "day. The packs are the exact cheapest whole packs, within what is available, what finds room and what keeps; of "
    "equal prices the smaller surplus, then the fewer packs.",
    "order.foot": "<bdi>{fleet}</bdi>, week {week} of {year}, as of {day}. All figures are in data/order.csv and "
    "data/items_needed.csv; one list and one letter a supplier in orders/.",
}  # fmt: skip
