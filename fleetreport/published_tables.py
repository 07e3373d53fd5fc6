"""The tables of a week that other programs read, as files in `data/`, and how much else a run tells of."""

# The tables other programs read, in the order of the contract.
PUBLISHED = (
    "due", "items_needed", "order", "on_time", "loads", "quarantine", "unmatched", "visits", "visit_tasks",
    "depot_weeks", "followups", "ready_backlog", "findings", "finding_counts", "findings_by_year", "interval_advice",
    "fluid_use", "fluid_stretches", "on_time_by", "work_record",
    "week_at_a_glance", "since_last_week", "calendar_events", "late_without_order",
)  # fmt: skip
# Those of money, whose amounts have as many decimals as the currency.
PUBLISHED_MONEY = (
    "forecast", "forecast_totals", "budget", "accrual", "cost_per_use", "class_cost_months", "vehicle_cost_months",
    "warranty_work",
    "replacement", "moved_since_last_month",
)  # fmt: skip
# What `publish` tells of besides PUBLISHED, for a bar of progress: forecast.csv, week.html, order.html, jobcards.html,
# week.xlsx, forecast.html, vehicles, index.html.
TOLD_BESIDES = 8
