-- The life of each meter that was exchanged: from the day it was put in to the day it was taken out, and what to add to its
-- readings to get the vehicle's accumulated distance or hours. Vehicles that kept their first meter have no row.
--
-- one row: vehicle_id, meter, span
-- per:     vehicle
-- reads:   meter_changes, run
-- gives:   vehicle_id
--          meter          odometer | hours
--          span           1 is the first meter
--          put_in_on      day of the change that began it; null for the first
--          first_reading  km or h it showed that day
--          before         km or h that the meter before showed at its end
--          taken_out_on   day of the change that ended it; null for the one in use
--          final_reading  km or h it showed that day
--          after          km or h that the next one showed first
--          add            km or h to add to its readings

with changes as (
    select vehicle_id, meter, changed_on,
        case unit when 'h' then final_reading else to_km(final_reading, unit) end as final_reading,
        case unit when 'h' then first_reading else to_km(first_reading, unit) end as first_reading
    from meter_changes, run
    where changed_on <= as_of
),

numbered as (
    select *, row_number() over one as number,
        sum(final_reading - first_reading) over one as gained
    from changes
    window one as (partition by vehicle_id, meter order by changed_on)
)

select vehicle_id, meter, number + 1 as span, changed_on as put_in_on, first_reading, final_reading as before,
    lead(changed_on) over one as taken_out_on, lead(final_reading) over one as final_reading,
    lead(first_reading) over one as after, gained::decimal(18, 7) as add
from numbered
window one as (partition by vehicle_id, meter order by number)
union all
select vehicle_id, meter, 1, null, null, null, changed_on, final_reading, first_reading, 0
from numbered
where number = 1
