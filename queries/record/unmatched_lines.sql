-- Lines of the history whose words say nothing that this program can read: no task, written or by a rule, and nobody says that
-- it is a repair, a topping up or a check, which need none. A line of kind scheduled without a task is one too.
--
-- one row: file, line
-- per:     vehicle
-- reads:   worded_lines, vehicles, wording_matches, wording_rules, descriptions, run
-- gives:   file, line
--          wording      its description, folded; blank where it has none
--          description  as written; blank where there is none
--          vehicle_id
--          done_on      day
--          cost         parts, labour and other costs, in the fleet's currency
--          labour_hours h
--          rule         the first wording rule whose words it holds, though the vehicle's plan lacks its task; null: none does

with near as (
    select m.description, r.class, min(m.rule) as rule
    from wording_matches m
    join wording_rules r using (rule)
    where r.task is not null
    group by all
)

select l.file, l.line, coalesce(d.folded, '') as wording, coalesce(l.description, '') as description, l.vehicle_id, l.done_on,
    (coalesce(l.parts_cost, 0) + coalesce(l.labour_cost, 0) + coalesce(l.other_cost, 0))::decimal(18, 2) as cost,
    coalesce(l.labour_hours, 0) as labour_hours,
    min(n.rule) as rule
from worded_lines l
join vehicles v using (vehicle_id)
left join descriptions d using (description)
left join near n on n.description = l.description and (n.class is null or n.class = v.class), run
where l.task is null and l.done_on <= as_of and (not l.is_kind_known or l.kind = 'scheduled')
group by all
