-- How many days the interval of each task is at the vehicle's present use: the shortest of its triggers.
--
-- one row: vehicle_id, task
-- per:     vehicle
-- reads:   task_plan, meter_now
-- gives:   vehicle_id, task
--          interval_days   null: it falls due by an expiry date alone, or the vehicle stands still

select p.vehicle_id, p.task, least(
    case when o.rate > 0 then case when after is null then every_km else first_km end / o.rate::double end,
    case when h.rate > 0 then case when after is null then every_hours else first_hours end / h.rate::double end,
    -- The mean month of the calendar: 146,097 days in 400 years.
    case when after is null then every_months else first_months end * 146097 / 4800.0::double,
    case when every_year_on is not null then 365.25::double end
)::double as interval_days
from task_plan p
left join meter_now o on o.vehicle_id = p.vehicle_id and o.meter = 'odometer'
left join meter_now h on h.vehicle_id = p.vehicle_id and h.meter = 'hours'
