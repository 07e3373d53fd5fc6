-- The growth of prices that stands for whatever has no rate of its own.
--
-- one row: -
-- reads:   price_growth, run
-- gives:   per_year   0.03: three per cent

select coalesce(max(g.per_year), any_value(inflation_per_year)) as per_year
from run
left join price_growth g on g.kind = '*'
