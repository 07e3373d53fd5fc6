-- Each pack on offer, and how much of its item may be bought in packs that keep no longer before they are older than their shelf life.
--
-- What is on hand and on order is used first; the life begins on the day the order arrives. Beyond the days planned, use goes on as
-- on average over them.
--
-- one row: item, supplier, min_count, pack
-- reads:   packs, items, stock_now, use_by_day, confirmed, run
-- gives:   item
--          supplier    '' where none is named
--          pack, min_count
--          size        in the item's unit
--          price       money for one, from min_count packs on
--          available   packs; null: no limit
--          product     null where none is named
--          meets       what the product lists, as written
--          needs       what the item needs, as written
--          confirmed   who said that the maker accepts the product for the item, and when; null: nobody yet
--          shelf_life_days
--          keeps       in the item's unit, 0 or more; null: it keeps, or no use is known
--          room        in the item's unit, 0 or more: what finds place in the store; null: no limit

with aging as (
    select p.*, i.needs, i.storage_limit, s.on_hand + i.on_order as there, as_of, plan_until,
        as_of + i.lead_time_days + p.shelf_life_days as old_on
    from packs p
    join items i using (item)
    join stock_now s using (item), run
)

select a.item, coalesce(a.supplier, '') as supplier, a.pack, a.min_count, a.size, a.price, a.available, a.product, a.meets, a.needs,
    -- Of two answers to one question the last by its text, so that the same settings give the same order.
    (select max(c.said) from confirmed c where c.item = a.item and lower(trim(c.product)) = lower(trim(a.product))) as confirmed,
    a.shelf_life_days,
    -- greatest() would pass over a NULL.
    case when a.shelf_life_days is not null and u.used is not null then greatest(0, u.used
        * greatest(1, (a.old_on - a.as_of)::double / (a.plan_until - a.as_of)) - a.there) end::decimal(18, 3) as keeps,
    case when a.storage_limit is not null then greatest(0, a.storage_limit - a.there) end::decimal(18, 3) as room
from aging a
left join use_by_day u on u.item = a.item and u.day = least(a.old_on, a.plan_until)
