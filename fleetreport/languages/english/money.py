"""The words of the money reports in English: part of the catalogue, written by the same rules."""

from collections.abc import Mapping

WORDS: Mapping[str, str] = {
    "yes": "yes",
    "no": "no",
    "money.none": "none",
    "money.no_budget": "no budget",
    "money.not_known": "not known",
    "money.in_short": "In short",
    "money.how": "How it was worked out",
    "money.to": "to",
    "money.estimate_lead": "An estimate for planning, not advice.",
    # The accountant's letter.
    "forecast_mail.subject": "{fleet}: maintenance spend of {total} {currency} ahead, to {day}",
    "forecast_mail.lead": "As of {day}, to the end of {last}. All money in {currency}, without tax. The workbook with "
    "live formulas is attached.",
    "forecast_mail.band": "In four draws of five between {low} and {high}.",
    "forecast_mail.accrual": "Used up but not yet paid: {accrued} {currency}, a management figure, not a provision "
    "(IAS 37).",
    "forecast_mail.budget": "Budget and outcome, {year}",
    "forecast_mail.budget_to_date": "Budget to date",
    "forecast_mail.paid_to_date": "Paid to date",
    "forecast_mail.variance_to_date": "Variance to date",
    "forecast_mail.budget_year": "Budget, whole year",
    "forecast_mail.outcome": "Outcome, whole year",
    "forecast_mail.variance_year": "Outcome less budget",
    "forecast_mail.not_whole": "The forecast ends before the year does.",
    "forecast_mail.by_month": "By month",
    "forecast_mail.month_bands": "A total goes by one rate of use all year, as the due dates do; its band knows the "
    "season, so that a month's total can lie outside it.",
    "forecast_mail.by_centre": "By cost centre",
    "forecast_mail.sum_line": "{name}: {total}, between {low} and {high}",
    "forecast_mail.moved_line": "{name}: {change} (then {before}, now {now})",
    "forecast.title": "Maintenance spend ahead",
    "forecast.head_month": "Month",
    "forecast.head_centre": "Cost centre",
    "forecast.head_category": "Category",
    "forecast.head_scheduled": "Planned",
    "forecast.head_unscheduled": "Unplanned",
    "forecast.head_total": "Total",
    "forecast.moved_title": "What moved since last month",
    "forecast.moved_none_kept": "No week that is at least four weeks old is kept here, so there is no earlier month to compare with.",
    "forecast.moved_other_currency": "The forecast kept of {day} is in another currency; the two are not compared.",
    "forecast.moved_no_month": "The forecast kept of {day} and this one have no whole month in common; the two are not compared.",
    "forecast.moved_same": "The months {first} to {last} are forecast at {total} {currency}, as they were on {day}.",
    "forecast.moved_up": "The months {first} to {last} are forecast at {total} {currency}, {change} more than on {day}.",
    "forecast.moved_down": "The months {first} to {last} are forecast at {total} {currency}, {change} less than on {day}.",
    "forecast.moved_most": "Most moved: {centre}, {change}.",
    "forecast.moved_how": "Compared are the months that both forecasts hold whole. A forecast moves with the readings, "
    "with work done early or late, with prices, and with vehicles that come or go.",
    "forecast.moved_caption": "By cost centre, this forecast against that of {day}, {currency}; beside it what was paid in "
    "between, and the outcome of the financial year then and now",
    "forecast.moved_lines_caption": "The lines that moved most (cost centre and category), the same months, {currency}",
    "forecast.head_change": "Change",
    "forecast.head_then": "Then",
    "forecast.head_now": "Now",
    "forecast.head_paid_between": "Paid between",
    "forecast.head_outcome_then": "Outcome then",
    "forecast.head_outcome_now": "Outcome now",
    "forecast.head_mean": "Mean of its months",
    "forecast.head_p10": "1 in 10 below",
    "forecast.head_p90": "1 in 10 above",
    "forecast.head_tax": "Tax on top",
    # The page of the forecast.
    "forecast.lead": "As of {day}, to the end of {last}: the rest of this month and {months} more. All money in "
    "{currency}, without tax; tax stands apart.",
    "forecast.short_total": "Spend ahead, to {day}",
    "forecast.short_band": "{currency}; in four draws of five between {low} and {high}",
    "forecast.short_paid": "Paid in {year} to date",
    "forecast.short_budget_to_date": "budget to date {budget}",
    "forecast.short_no_budget": "no budget given",
    "forecast.short_outcome": "Outcome of {year}",
    "forecast.short_budget": "budget {budget}",
    "forecast.short_not_whole": "the forecast ends before the year does",
    "forecast.short_repairs.one": "{n} repair to ask the maker about",
    "forecast.short_repairs.many": "{n} repairs to ask the maker about",
    "forecast.note_items.one": "{n} item of the plan ahead has no price: what it costs is NOT in the forecast.",
    "forecast.note_items.many": "{n} items of the plan ahead have no price: what they cost is NOT in the forecast.",
    "forecast.note_lines.one": "{n} line of the history carries no money: a check or top-up, or work whose cost was "
    "not written down. What was not written down is not in the money paid.",
    "forecast.note_lines.many": "{n} lines of the history carry no money: checks and top-ups, or work whose cost was "
    "not written down. What was not written down is not in the money paid.",
    "forecast.note_coming.one": "{n} vehicle that comes into service later is not in the forecast.",
    "forecast.note_coming.many": "{n} vehicles that come into service later are not in the forecast.",
    "forecast.note_unknown": "{amount} {currency} was paid for vehicles that are not in the list; by cost centre it "
    "stands under “{name}”.",
    "forecast.cautions_at_end": "The cautions stand at the end of the page.",
    "forecast.months_caption": "By month and financial year, {currency}. A month's band is its own, and a year's its "
    "own: bands do not add up. A total goes by one rate of use all year, as "
    "the due dates do; the band and the mean of the draws know the season, so that a month's total can lie outside its band",
    "forecast.year_so_far": "Year {year}, as far as forecast",
    "forecast.centres_caption": "By cost centre, all months",
    "forecast.categories_caption": "By category, all months. Unplanned repairs are a category of their own; other is "
    "top-ups, and checks and work that the plan does not date",
    "forecast.outcome_caption": "The whole year: paid to date and what is forecast to {day}",
    "forecast.head_cost_in": "Cost, {currency}",
    "forecast.head_a_unit": "A {unit}",
    "forecast.trend_none": "none clear",
    "forecast.trend_more": "more with use",
    "forecast.trend_fewer": "fewer with use",
    "forecast.accrual_lead": "A management figure, not a provision (IAS 37).",
    "forecast.accrual_how": "The part of each task's interval that has run, times what one doing costs today; never "
    "more than that cost. An item that a task takes together with one that it covers counts once, with the covered "
    "task.",
    "forecast.accrual_caption": "By cost centre and category, {currency}",
    "forecast.major": "major: for the accountant to judge",
    "forecast.routine": "routine",
    "forecast.largest": "The {n} largest",
    "forecast.past_cheapest": "past its cheapest age",
    "forecast.how_planned": "Planned work: each time a task comes up, its items at their unit cost and its labour at "
    "{rate} {currency} an hour, times the growth of prices from the as-of date to that day. A task done with a larger"
    " one that covers it is paid once. Overdue work falls on the as-of date. Tax, at {tax}, stands apart and is in no"
    " other figure.",
    "forecast.how_paid": "What the plan says and what was paid: planned work of the last two years was paid at {pct} "
    "of what its items and labour in the plan cost at the prices of its day. The totals go by the plan. In the draws,"
    " where enough is on record, planned work costs half-way between both on average, with the plan one standard "
    "deviation to one side and the bills one to the other; so the mean of the draws may lie above or below the total.",
    "forecast.how_band": "The band: 1,000 draws of the months to come, with use, days, number and cost of unplanned "
    "work drawn together. One draw in ten lies below the first figure and one in ten above the second. The total is "
    "what the plan costs on its days, plus the expected unplanned work. The mean of the draws is something else: work"
    " may fall into another month, or beyond the last, and be paid above or below plan.",
    "forecast.how_unplanned": "Unplanned work, at today's prices and over the use in which the records knew each "
    "vehicle: repairs are the history's lines of kind repair; other is top-ups, and checks and scheduled lines whose "
    "task has no date of its own in the plan (no task, none of the plan, one without an interval, or one that follows"
    " other work). Every line of the history counts once, as planned, repair or other. A vehicle's rate is drawn "
    "towards its class's where it has little record, and its cost each time likewise.",
    "forecast.head_factor": "By {day}, times",
    "forecast.all_else": "all else",
    "forecast.files": "The same figures with live formulas, and a sheet to change them: forecast.xlsx; as tables: "
    "data/forecast.csv, forecast_totals.csv, budget.csv, accrual.csv, cost_per_use.csv, class_cost_months.csv, "
    "vehicle_cost_months.csv, warranty_work.csv, replacement.csv, moved_since_last_month.csv.",
    "forecast.vehicle_months_caption": "By vehicle: the latest {shown} of {all} months of the last 24 beyond the "
    "limits that the vehicle's own months give (mean and three standard deviations from the moving range); a "
    "question, not a verdict",
    "forecast.used_up_not_yet_paid": "Used up, not yet paid",
    "forecast.a_management_figure_not_a": "a management figure, not a provision",
    "forecast.paid_inside_warranty": "Paid inside warranty",
    "forecast.month_by_month": "Month by month",
    "forecast.head_all": "All",
    "forecast.nothing_is_planned_and_no": "Nothing is planned and no repair is on record, so there is no spend to "
    "forecast.",
    "forecast.to_date_budget_by_days": "To date: budget by days gone, money paid, and where the variance comes from; "
    "its four parts add up to it. Above 0: more than budgeted",
    "forecast.head_budget": "Budget",
    "forecast.head_paid_planned": "Paid, planned",
    "forecast.head_paid_unplanned": "Paid, unplanned",
    "forecast.head_variance": "Variance",
    "forecast.head_volume": "Volume",
    "forecast.head_price": "Price",
    "forecast.head_unplanned_work": "Unplanned work",
    "forecast.head_timing": "Timing",
    "forecast.volume_more_or_less_was": "Volume: more or less was run than in the same days a year before, at the "
    "budget's cost. Price: planned work whose items and hours were paid above or below the fleet's own prices as the "
    "year began. Unplanned work: repairs beyond the share of the budget that they took in the year before. Timing: "
    "the rest, planned work done earlier, later, more or less than a budget spread evenly over the days.",
    "forecast.head_paid_to_date": "Paid to date",
    "forecast.head_still_to_come": "Still to come",
    "forecast.head_outcome": "Outcome",
    "forecast.head_outcome_less_budget": "Outcome less budget",
    "forecast.unplanned_repairs": "Unplanned repairs",
    "forecast.what_the_record_says_of": "What the record says of each class, at today's prices",
    "forecast.head_class": "Class",
    "forecast.head_vehicles": "Vehicles",
    "forecast.head_repairs": "Repairs",
    "forecast.head_trend_score": "Trend score",
    "forecast.head_trend": "Trend",
    "forecast.head_above_the_fence": "Above the fence",
    "forecast.the_score_is_laplace_s": "The score is Laplace's: beyond 1.96 either way is a clear trend, and then it "
    "is in the forecast. Repairs above the fence (upper quartile plus three interquartile ranges) are rare and large;"
    " their excess is shared by the class, so that one does not scare the year of one vehicle.",
    "forecast.vehicles_whose_repairs_outrun_their": "Vehicles whose repairs outrun their class: so many would come to"
    " fewer than 1 in 100 like it",
    "forecast.head_vehicle": "Vehicle",
    "forecast.head_expected": "Expected",
    "forecast.head_unplanned_365_days": "Unplanned, 365 days",
    "forecast.no_vehicle_s_repairs_outrun": "No vehicle's repairs outrun its class's by more than chance explains.",
    "forecast.cost_of_use": "Cost of use",
    "forecast.by_class_the_last_365": "By class, the last 365 days. Months out: of the last 24, those beyond the "
    "limits that the class's own months give",
    "forecast.head_an_hour": "An hour",
    "forecast.head_months_out_cost": "Months out, cost",
    "forecast.head_months_out_repairs": "Months out, repairs",
    "forecast.not_run": "not run",
    "forecast.no_hours": "no hours",
    "forecast.head_low_limit": "Low limit",
    "forecast.head_high_limit": "High limit",
    "forecast.head_paid": "Paid",
    "forecast.by_vehicle_data_cost_per": "By vehicle: data/cost_per_use.csv; by month with the limits: "
    "data/class_cost_months.csv and data/vehicle_cost_months.csv; all are sheets of the workbook.",
    "forecast.head_treatment": "Treatment",
    "forecast.head_tasks": "Tasks",
    "forecast.head_cost_of_one_doing_each": "Cost of one doing each",
    "forecast.head_used_up": "Used up",
    "forecast.major_overhauls_and_inspections_an": "Major overhauls and inspections: an asset with its own life (IAS "
    "16.14), or upkeep? The accountant judges",
    "forecast.head_task": "Task",
    "forecast.head_last_done": "Last done",
    "forecast.head_cost": "Cost",
    "forecast.head_used_up_by": "Used up by",
    "forecast.head_part_run": "Part run",
    "forecast.never": "never",
    "forecast.the_rest_data_accrual_csv": "The rest: data/accrual.csv and the workbook",
    "forecast.repairs_paid_for_while_date": "Repairs paid for while date and distance were inside the maker's "
    "warranty. Whether it covers them, its terms say",
    "forecast.head_done": "Done",
    "forecast.head_work": "Work",
    "forecast.head_invoice": "Invoice",
    "forecast.head_at": "At",
    "forecast.head_warranty_to": "Warranty to",
    "forecast.the_rest_data_warranty_work": "The rest: data/warranty_work.csv.",
    "forecast.no_repair_on_record_was": "No repair on record was paid for inside a warranty that is given in "
    "vehicles.csv (warranty_until, warranty_distance).",
    "forecast.keep_or_replace": "Keep or replace",
    "forecast.an_indication_past_its_cheapest": "An indication: past its cheapest age where one more year costs more "
    "than its life so far has cost a year",
    "forecast.head_years": "Years",
    "forecast.head_value_now": "Value now",
    "forecast.head_yearly_cost_so_far": "Yearly cost so far",
    "forecast.head_loss_and_interest_ahead": "Loss and interest ahead",
    "forecast.head_maintenance_ahead": "Maintenance ahead",
    "forecast.head_next_year": "Next year",
    "forecast.head_pointer": "Pointer",
    "forecast.not_yet": "not yet",
    "forecast.growth_of_prices": "Growth of prices",
    "forecast.head_kind": "Kind",
    "forecast.head_a_year": "A year",
    "forecast.head_index_series": "Index series",
    "forecast.head_base_month": "Base month",
    "forecast.head_last_month": "Last month",
    "forecast.chart_spend_by_month": "Chart: spend by month",
    "forecast.chart_cumulative_repair_cost_by": "Chart: cumulative repair cost by class",
    # Past forecasts judged.
    "money_backtest.title": "How good the forecasts of spend were",
    "money_backtest.lead": "Forecasts as they would have been made from {first} to {last}, each for the twelve months "
    "after its day, beside what was paid. All money in {currency}, without tax.",
    "money_backtest.chart_label": "Chart: forecast and paid",
    "money_backtest.chart_title": "Forecasts of spend and what was paid",
    "money_backtest.chart_months": "By month, forecast of {day}",
    "money_backtest.chart_years": "Twelve months together, by day of the forecast",
    "money_backtest.said": "{name}: forecast {forecast}, between {low} and {high}; paid {paid}.",
    "money_backtest.band": "Four draws in five",
    "money_backtest.scores": "Error: sum of what it was off, as a share of what was paid. Bias: the same with signs; "
    "above 0, too much was foretold",
    "money_backtest.estimate": "Estimate",
    "money_backtest.month_error": "Month, error",
    "money_backtest.month_bias": "Month, bias",
    "money_backtest.year_error": "Year, error",
    "money_backtest.year_bias": "Year, bias",
    "money_backtest.coverage": "The band should hold four in five. Of the months {months_in} of {months} lay inside "
    "it, of the years {years_in} of {years}.",
    "money_backtest.years_title": "Twelve months together",
    "money_backtest.years_caption": "Each forecast, its band and what came, {currency}",
    "money_backtest.months_title": "Month by month",
    "money_backtest.made_on": "Forecast of {day}",
    "money_backtest.months_caption": "Forecast of {day}, {currency}",
    "money_backtest.month": "Month",
    "money_backtest.as_of": "Made on",
    "money_backtest.forecast": "Forecast",
    "money_backtest.paid": "Paid",
    "money_backtest.off": "Off by",
    "money_backtest.p10": "1 in 10 below",
    "money_backtest.p90": "1 in 10 above",
    "money_backtest.in_band": "Inside",
    "money_backtest.mean": "Mean of draws",
    "money_backtest.last_year": "Same as last year",
    "money_backtest.last_3_months": "Same as last 3 months",
    "money_backtest.how_known": "Each forecast was made with what was dated up to its day. Index values of that month "
    "and later, expiry dates more than a year ahead and later retirements were left out. What bears no date (the plan, "
    "the settings, today's prices brought back at their yearly growth) is as it is today. Only vehicles in service on "
    "the day are counted, in the forecast and in what came.",
    "money_backtest.how_error": "Same as last year: what was paid in the same month a year before. Same as last 3 "
    "months: the mean of the three months before the forecast, each month. Overdue work falls on the day of the "
    "forecast and counts with the twelve months together.",
    "money_backtest.caution_lead": "Estimates for planning.",
    "money_backtest.caution": "How forecasts did in the past does not promise how they will do.",
    "money_backtest.files": "All figures are in data/money_backtest.csv.",
    # What if.
    "what_if.title": "What if: the forecast with changes",
    "what_if.lead": "As of {day}. The forecast as it is and as it would be, worked out twice. All money in {currency}, "
    "without tax.",
    "what_if.changes": "What is changed",
    "what_if.base": "As it is",
    "what_if.changed": "What if",
    "what_if.difference": "Difference",
    "what_if.share": "In per cent",
    "what_if.changed_p10": "What if, 1 in 10 below",
    "what_if.changed_p90": "What if, 1 in 10 above",
    "what_if.base_p10": "As it is, 1 in 10 below",
    "what_if.base_p90": "As it is, 1 in 10 above",
    "what_if.chart_label": "Chart: by month, as it is and what if",
    "what_if.chart_title": "Maintenance spend by month, as it is and with the changes",
    "what_if.said": "{month}: {base} as it is, {changed} with the changes.",
    "what_if.all": "All",
    "what_if.table_years": "All of it and by financial year",
    "what_if.table_months": "By month",
    "what_if.table_centres": "By cost centre",
    "what_if.table_categories": "By category",
    "what_if.head_years": "Time",
    "what_if.head_months": "Month",
    "what_if.head_centres": "Cost centre",
    "what_if.head_categories": "Category",
    "what_if.nothing": "Nothing is planned and nothing unplanned is on record, so there is no spend to forecast.",
    "what_if.interval_lead": "The maker's schedule and the law come first.",
    "what_if.interval": "A longer interval may not be yours to choose.",
    "what_if.how": "Both are the same forecast, drawn with the same random numbers; the second with the changes. An "
    "interval replaces every one of its kind that the task has, a vehicle's own too. Prices and the labour rate change "
    "planned work; unplanned work is known by what it cost. More distance brings planned work by distance sooner and "
    "unplanned work in proportion to use. A class retired costs nothing from that day on.",
    "what_if.caution": "The fleet's files and its store are as they were.",
    "what_if.files": "All figures are in data/what_if.csv and what_if.xlsx.",
}
