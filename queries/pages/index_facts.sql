-- What the index says of each report beyond the counts of the week: its answer in a few figures.
--
-- one row: -
-- reads:   visits, visits_summary, card_visits, order_summary, forecast_totals, forecast_facts, budget_total, followups
--          on_time_by, calendar_events, run
-- gives:   visits_week, hours_week      planned in the week of the as-of date
--          visits, unplaced             planned in all; pieces of work without a place
--          cards                        job cards to print
--          events                       of the calendar
--          items                        listed by the fleet
--          packs_today, suppliers_today, cost_today   of the order, what has not to be asked about first; money
--          items_to_ask                 that have a line to ask about first
--          works_lacking                planned work that would lack an item
--          forecast_total, forecast_p10, forecast_p90   money, all months ahead
--          forecast_until               day
--          financial_year               of the as-of date
--          budget, outcome              money of that year; null: no budget given
--          followups_open, followups_overdue
--          on_time_month                YYYY-MM; null: nothing was judged yet
--          on_time, on_time_judged      of that month, late only

with of_week as (
    select count(*) as visits_week, coalesce(sum(labour_hours), 0)::decimal(18, 1) as hours_week
    from visits, run
    where iso_week = strftime(as_of, '%G-W%V')
),

cards as (select count(*) as cards from card_visits),

events as (select count(*) filter (state = 'planned') as events from calendar_events),

still_open as (
    select count(*) as followups_open, count(*) filter (status = 'overdue') as followups_overdue from followups
),

last_month as (
    select month as on_time_month, sum(in_time)::bigint as on_time, sum(done + not_done)::bigint as on_time_judged
    from on_time_by
    where month = (select max(month) from on_time_by)
    group by all
),

spend as (select total, p10, p90 from forecast_totals where level = 'all')

select w.visits_week, w.hours_week, v.visits, v.unplaced, c.cards, e.events,
    o.items, o.packs_today, o.suppliers_today, o.cost_today, o.items_to_ask, o.works_lacking,
    s.total as forecast_total, s.p10 as forecast_p10, s.p90 as forecast_p90, f.last_on as forecast_until, f.financial_year,
    b.budget_year as budget, b.outcome, t.followups_open, t.followups_overdue, m.on_time_month, m.on_time, m.on_time_judged
from of_week w, cards c, events e, still_open t, visits_summary v, order_summary o, forecast_facts f
left join spend s on true
left join budget_total b on b.financial_year = f.financial_year
left join last_month m on true
