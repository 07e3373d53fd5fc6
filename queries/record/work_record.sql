-- The record of work on each vehicle: date and nature of each inspection, repair and service (49 CFR 396.3(b)(3)), and until when
-- it is kept at least: a year, and six months after the vehicle left (396.3(c)); a yearly inspection's report 14 months
-- (396.21); 15 months as Great Britain's guide to roadworthiness asks. Local law decides which of these binds.
--
-- one row: vehicle_id, done_on, nature, kind
-- per:     vehicle
-- reads:   worded_lines, vehicles, task_plan, run
-- gives:   vehicle_id
--          done_on
--          nature        what was done: the task's name, else the line's own words
--          kind          scheduled | repair | top_up | check
--          condition     as written, '; ' between
--          invoices      '; ' between
--          done_by, verified_by   as written, '; ' between
--          lines         of history
--          keep_until    by 396.3(c); of a vehicle that has not left, the earliest day it could be thrown away
--          keep_report_until   14 months, for what is inspected by law or date; null: not one
--          keep_15_months_until

with lines as (
    select h.vehicle_id, h.done_on, coalesce(h.kind, 'repair') as kind, h.condition, h.invoice, h.done_by, h.verified_by,
        v.retired_on,
        case when h.task is not null then shown_title(p.title, h.task) else coalesce(h.description, 'not described') end
            as nature,
        p.source = 'law' or p.expires_on is not null as is_inspection
    from worded_lines h
    join vehicles v using (vehicle_id)
    left join task_plan p using (vehicle_id, task), run
    where h.done_on <= as_of
)

select vehicle_id, done_on, nature, kind, each_once(list(condition)) as condition, each_once(list(invoice)) as invoices,
    each_once(list(done_by)) as done_by, each_once(list(verified_by)) as verified_by, count(*) as lines,
    greatest(add_months(done_on, 12), add_months(min(retired_on), 6)) as keep_until,
    case when bool_or(is_inspection) then add_months(done_on, 14) end as keep_report_until,
    add_months(done_on, 15) as keep_15_months_until
from lines
group by vehicle_id, done_on, nature, kind
order by vehicle_id, done_on desc, nature, kind
