-- By how much each mix would have missed each meter's use over the 28, 91, 182 and 364 days that followed.
--
-- one row: vehicle_id, meter, is_young, mix
-- per:     vehicle
-- reads:   rate_views, mixes
-- gives:   vehicle_id
--          meter
--          is_young   judged at readings with fewer than 91 days of history
--          mix
--          class
--          trials     readings it was judged at (in eighths: 1 for 28 days ahead, 2 for 91 and 182, 3 for 364)
--          miss       mean miss ÷ mean over the 15 mixes; 1 is average

with mixed as (
    select v.*, m.mix,
        share_28::double * rate_28 + share_91::double * rate_91 + share_364::double * rate_364
            + share_728::double * rate_728 + share_class::double * rate_then as rate
    from rate_views as v
    cross join mixes as m
    where after_28 is not null or after_91 is not null or after_182 is not null or after_364 is not null
),

summed as (
    select vehicle_id, meter, is_young, mix, class,
        -- services lie months ahead, so the longer looks count more
        sum((coalesce(abs(rate - after_28), 0) + 2 * coalesce(abs(rate - after_91), 0)
            + 2 * coalesce(abs(rate - after_182), 0)
            + 3 * coalesce(abs(rate - after_364), 0))::decimal(18, 9)) as miss,
        (count(after_28) + 2 * count(after_91) + 2 * count(after_182) + 3 * count(after_364)) / 8 as trials
    from mixed
    group by vehicle_id, meter, is_young, mix, class
)

select
    vehicle_id,
    meter,
    is_young,
    mix,
    class,
    trials,
    miss::double / (sum(miss) over all_mixes / 15) as miss
from summed
window all_mixes as (partition by vehicle_id, meter, is_young)
-- Where no mix ever missed (a meter that never varies) there is nothing to tell them apart by.
qualify sum(miss) over all_mixes > 0
