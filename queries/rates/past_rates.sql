-- The rate of each meter as now worked out, at each month's last reading: what the mix says, in the middle case.
--
-- one row: vehicle_id, meter, read_on
-- per:     vehicle
-- reads:   mixed_rates, usual_outcomes
-- gives:   vehicle_id
--          meter
--          read_on
--          class
--          is_last     the meter's last reading of all: the rate of today
--          is_young    fewer than 91 days of history
--          factor      the part of the mix that follows in the middle case; 1 for a meter that never varies
--          rate        km or h a day
--          scale       km or h a day that misses are measured in: the mean of rate and of the use over 364 days
--          after_7     km or h a day over the 7 days that followed, where known
--          after_14
--          after_28
--          after_91
--          after_182
--          after_364

select m.vehicle_id, m.meter, m.read_on, m.class, m.is_last, m.is_young,
    1 + (coalesce(u.middle, 1) - 1) * m.class_trust as factor, m.rate * factor as rate,
    (m.rate * factor + m.rate_364) / 2 as scale,
    m.after_7, m.after_14, m.after_28, m.after_91, m.after_182, m.after_364
from mixed_rates as m
left join usual_outcomes as u using (meter, is_young)
