-- How many drums, pails, bottles and other packs the order brings, what is to be asked about first left out, by the first word of the pack's name and its size.
--
-- one row: container, size, unit
-- reads:   order
-- gives:   container   drum, pail, bottle …
--          size        in the unit
--          unit
--          count       packs
--          amount      in the unit

select coalesce(nullif(regexp_extract(lower(pack), '^[^\d\s_-]+'), ''), lower(pack)) as container, size, unit,
    sum(count)::bigint as count, sum(count * size)::decimal(18, 3) as amount
from "order"
where ask_first is not true
group by all
