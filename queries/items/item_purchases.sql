-- What the order does for each item that is bought: money, what is left over, and what it would be by other plans.
--
-- one row: item
-- reads:   items_needed, purchases, offers, order
-- gives:   item
--          to_order     in the item's unit
--          bought       in the item's unit
--          surplus      bought beyond to_order, in the item's unit
--          short        of to_order that cannot be had, in the item's unit
--          cost         money
--          cost_one_size   with the cheapest single pack size; null: none covers it
--          cost_listed  with products that list all the item needs; null: the order does so, or none covers it
--          cost_held    of `cost`, what the maker is to be asked about first
--          cost_instead with products of which nothing has to be asked first; null: nothing has, or none covers it
--          instead      those packs, in words
--          instead_is_listed   they list all the item needs
--          is_listed    the order buys only such products
--          is_outlasted some of it may pass its shelf life before it is used
--          is_unproven  no cheapest plan could be proved: numbers too far apart, or too many items tied by a least order

with plans as (
    select p.plan, p.item, sum(p.count * o.size)::decimal(28, 3) as amount, sum(p.count * o.price)::decimal(28, 4) as cost
    from purchases p
    join offers o using (item, supplier, min_count, pack)
    group by all
),

kept as (
    select p.item, o.keeps, sum(p.count * o.size) over (partition by p.item order by o.keeps) as amount
    from purchases p
    join offers o using (item, supplier, min_count, pack)
    where p.plan = 'order' and o.keeps is not null
),

held as (
    select item, sum(cost) as cost from "order" where ask_first group by all
),

named as (
    select p.item, string_agg(p.count || ' x ' || coalesce(o.product || ', ', '') || p.pack || coalesce(' (' || nullif(p.supplier, '') || ')', ''),
        '; ' order by p.supplier, p.pack, p.min_count) as packs
    from purchases p
    join offers o using (item, supplier, min_count, pack)
    where p.plan = 'instead'
    group by all
)

select n.item, n.to_order, coalesce(b.amount, 0)::decimal(18, 3) as bought,
    greatest(0, coalesce(b.amount, 0) - n.to_order)::decimal(18, 3) as surplus,
    greatest(0, n.to_order - coalesce(b.amount, 0))::decimal(18, 3) as short,
    coalesce(b.cost, 0)::decimal(18, 4) as cost,
    case when s.amount >= n.to_order then s.cost::decimal(18, 4) end as cost_one_size,
    case when l.amount >= n.to_order then l.cost::decimal(18, 4) end as cost_listed,
    coalesce(h.cost, 0)::decimal(18, 4) as cost_held,
    case when h.item is not null and a.amount >= n.to_order then a.cost::decimal(18, 4) end as cost_instead,
    case when h.item is not null and a.amount >= n.to_order then d.packs end as instead,
    case when h.item is not null and a.amount >= n.to_order then coalesce(a.cost = l.cost and l.amount >= n.to_order, false) end
        as instead_is_listed,
    l.item is null and n.item not in (select item from plans where plan = 'listed') as is_listed,
    n.item in (select item from kept where amount > keeps) as is_outlasted,
    coalesce((select bool_or(p.is_unproven) from purchases p where p.plan = 'order' and p.item = n.item), false) as is_unproven
from items_needed n
left join plans b on b.item = n.item and b.plan = 'order'
left join plans s on s.item = n.item and s.plan = 'one_size'
left join plans l on l.item = n.item and l.plan = 'listed'
left join plans a on a.item = n.item and a.plan = 'instead'
left join named d on d.item = n.item
left join held h on h.item = n.item
where n.to_order > 0
order by n.item
