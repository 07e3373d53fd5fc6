-- What each product on offer lists of what its item needs.
--
-- one row: item, supplier, product, meets
-- reads:   offers, specifications, items
-- gives:   item, title
--          supplier, product   '' where none is named
--          meets        as written; '' where nothing is
--          verdicts     each token needed with its verdict, in their order
--          gaps         tokens not listed
--          is_cautioned GL-4 and GL-5 meet

with by_offer as (
    select item, supplier, min_count, pack,
        string_agg(token || ': ' || verdict || coalesce(' (' || beside || ')', ''), '; ' order by turn) as verdicts,
        count(*) filter (verdict <> 'listed') as gaps, bool_or(is_cautioned) as is_cautioned
    from specifications
    group by all
)

select o.item, coalesce(i.title, o.item) as title, o.supplier, coalesce(o.product, '') as product,
    coalesce(o.meets, '') as meets, min(b.verdicts) as verdicts, max(b.gaps) as gaps, bool_or(b.is_cautioned) as is_cautioned
from offers o
join by_offer b using (item, supplier, min_count, pack)
join items i using (item)
group by all
