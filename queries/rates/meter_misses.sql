-- What each meter's misses come to, in independent trials.
--
-- one row: vehicle_id, meter, is_young, days
-- per:     vehicle
-- reads:   rate_misses
-- gives:   vehicle_id
--          meter
--          is_young
--          days     ahead: 7, 14, 28, 91, 182 or 364
--          class
--          missed   sum of absolute misses, in independent trials
--          trials   how many independent trials

-- From one month's last reading to the next about 28 days are new, so a look 364 days ahead is 28/364 of a trial.
select
    vehicle_id,
    meter,
    is_young,
    days,
    class,
    (sum(abs(miss)::decimal(18, 9)) * least(1, 28 / days))::decimal(24, 12) as missed,
    (count(*) * least(1, 28 / days))::decimal(24, 12) as trials
from rate_misses
group by vehicle_id, meter, is_young, days, class
