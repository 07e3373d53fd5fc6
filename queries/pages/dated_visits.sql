-- The visits beyond the weeks in which all work is planned: what falls due by law or date, half a year ahead or more.
--
-- one row: vehicle_id, visit_on
-- reads:   visits, visit_tasks, run
-- gives:   iso_week, visit_on
--          depot, vehicle_id
--          titles     of the tasks in working order, '; ' between

select v.iso_week, v.visit_on, v.depot, v.vehicle_id, string_agg(t.title, '; ' order by t.turn) as titles
from visits v
join visit_tasks t on t.vehicle_id = v.vehicle_id and t.visit_on = v.visit_on, run
where v.visit_on > visits_until
group by all
order by v.visit_on, v.depot, v.vehicle_id
