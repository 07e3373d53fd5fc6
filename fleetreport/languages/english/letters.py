"""The words of the order's letters and sheets in English: a part of the catalogue. All are plain text.

None may say that a product is approved, equivalent or suitable: texts of records cannot know that.
"""

from collections.abc import Mapping

WORDS: Mapping[str, str] = {
    # Letters to suppliers.
    "letter.title": "Order {reference} of {fleet}, {day}",
    "letter.question_title": "Question of {fleet}, {day} ({reference}): please send nothing yet",
    "letter.to": "To: {email}",
    "letter.account": "Our customer number: {account}",
    "letter.reference": "Our order number: {reference} (please quote it)",
    "letter.deliver_to": "Deliver to: {place}",
    "letter.dear": "To {supplier},",
    "letter.dear_nobody": "Dear supplier,",
    "letter.please": "Please send us:",
    "letter.line": "{count} x {product} ({pack}, {size})",
    "letter.for": "for: {title}",
    "letter.must_list": "must list: {tokens}",
    "letter.not_listed": "Our record of this product does not list {tokens}. Please answer this first.",
    "letter.price": "{each} each, {cost}",
    "letter.wanted": "wanted by {day}",
    "letter.wanted_now": "wanted as soon as you can: we lack it already",
    "letter.wanted_soon": "wanted by {day}, sooner than the usual {days} if you can",
    "letter.total": "Together {money}, by the prices of your list, taxes and carriage as agreed.",
    "letter.ask": "Please do NOT send the following yet. We ask first, since our record of it lists something else "
    "than is needed:",
    "letter.ask_line": "{count} x {product} ({pack}, {size})",
    "letter.ask_tokens": "needed and not listed: {tokens}. What does the product list?",
    "letter.confirm": "Please confirm prices and the day of delivery. Please tell us before you send anything that "
    "does not list what stands under \"must list\", or that is not the product named.",
    "letter.answer": "Please send us the product's data sheet. Whether it may be used, the maker of the vehicle "
    "decides.",
    "letter.regards": "With kind regards",
    # The letter to the buyer.
    "mail.order_subject": "{fleet}: order {week}, {packs}, {cost}",
    "mail.order_heading": "Week {week} of {year}: what to buy",
    "mail.order_text_heading": "{fleet}: what to buy, week {week} of {year}",
    "mail.order_as_of": "As of {day}.",
    "mail.order_figures": "{cost} in {packs} from {suppliers} may be ordered today.",
    "mail.order_held": "{cost} more is for products to ask the makers about first.",
    "mail.order_estimate": "An estimate, not a decision.",
    "mail.order_check": "Check the shelf before you send it. Nothing has been sent to a supplier: each one's letter is "
    "attached, to be passed on.",
    "mail.order_what": "What",
    "mail.order_attached": "Attached: the workbook, in which counts can be changed, and for each supplier a letter and "
    "a list.",
    "mail.ask_heading": "ASK FIRST",
    "mail.late_heading": "LATE IF NOTHING IS BOUGHT",
    "mail.ask_line": "{count} x {product} ({pack}, {supplier}), {cost}, for {title}. Needed and not "
    "listed: {tokens}.",
    "mail.ask_instead_listed": "Without asking: {packs}, which lists all that is needed, {cost} for the item, {more} "
    "more.",
    "mail.ask_instead_not_stated": "Without asking: {packs}, which lists nothing to the contrary (but not all that is "
    "needed), {cost} for the item, {more} more.",
    "mail.too_late": "What is ordered today comes too late for it.",
    "mail.late_line": "{day}: {vehicle}, {task}: lacks {item}, {amount}.",
    "mail.more.one": "And {n} more line: see the page order.html.",
    "mail.more.many": "And {n} more lines: see the page order.html.",
    "mail.cautions": "Cautions",
    # Sheets.
    "sheet.order": "Order",
    "sheet.order_totals": "Order totals",
    "sheet.items_needed": "Items needed",
    "sheet.order_holds": "A pack on offer of an item to be ordered: change a count and see the cost",
    "sheet.order_totals_holds": "A supplier, and the sums of its order",
    "sheet.items_needed_holds": "An item: what is needed, what is there, what to order",
    "sheet.item": "Item",
    "sheet.title": "Title",
    "sheet.unit": "Unit",
    "sheet.planned": "Planned",
    "sheet.unplanned": "Unplanned",
    "sheet.safety": "Safety",
    "sheet.on_hand": "On hand",
    "sheet.on_order": "On order",
    "sheet.to_order": "To order",
    "sheet.until": "Until",
    "sheet.runs_out_on": "Runs out on",
    "sheet.counted_on": "Counted on",
    "sheet.used_since": "Used since",
    "sheet.short": "Cannot be had",
    "sheet.pack": "Pack",
    "sheet.count": "Count",
    "sheet.size": "Size",
    "sheet.price": "Price",
    "sheet.amount": "Amount",
    "sheet.cost": "Cost",
    "sheet.left_over": "Left over (-: lacking)",
    "sheet.supplier": "Supplier",
    "sheet.product": "Product",
    "sheet.for": "For",
    "sheet.available": "Available",
    "sheet.price_from": "Price from",
    "sheet.ask_first": "Ask first",
    "sheet.ask_first_cost": "Of it: ask first",
    "sheet.today_cost": "May be ordered today",
    "sheet.packs": "Packs",
    "sheet.all_suppliers": "All suppliers",
    "sheet.no_supplier": "(no supplier named)",
    "sheet.yes": "yes",
}  # fmt: skip
