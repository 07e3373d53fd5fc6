-- What usually followed, in parts of what the mix said: half of the fleet's past looks saw more, half less.
--
-- one row: meter, is_young
-- reads:   mixed_rates
-- gives:   meter
--          is_young   fewer than 91 days of history
--          middle     the middle part; nearer 1 the less is known

-- A mix is a mean of what was. Use is skewed by a long journey now and then and falls as vehicles age, so that the
-- middle of what follows lies lower; the middle is what misses least either way. One figure for the fleet: a vehicle's
-- own few years tell too little. The looks count as in `mix_misses`: 1, 2, 2 and 3 times.
with looks as (
    select meter, is_young,
        unnest([28, 91, 91, 182, 182, 364, 364, 364]) as days,
        unnest([1, 2, 2, 2, 2, 3, 3, 3]) as times,
        unnest([after_28, after_91, after_91, after_182, after_182, after_364, after_364, after_364]) / rate as part
    from mixed_rates
    where rate > 0
)

-- Monthly looks overlap, so that one 364 days ahead is 28/364 of a trial. "As the mix says" counts for 20.
select meter, is_young,
    (median(part) * sum((28 / days / times)::decimal(18, 9))::double + 20)
        / (sum((28 / days / times)::decimal(18, 9))::double + 20) as middle
from looks
where part is not null
group by meter, is_young
