-- Vehicles whose ids a reader can take for one another: they differ only in case, in blanks, or in characters that look alike or cannot
-- be seen. They stay vehicles of their own; whether they are one, a person has to say.
--
-- one row: vehicle_id
-- reads:   vehicles
-- gives:   vehicle_id     each but the first of those alike, in the order of files and lines
--          file, line     where it stands
--          like_id        the first of those alike
--          like_file, like_line   where that stands
--          differ_in      case | blanks | characters that look alike or cannot be seen
--          characters     those of either that the other lacks in either case, as in U+00A0; null where they differ in case

with alike as (
    select vehicle_id, file, line,
        first(vehicle_id) over first_of_it as like_id, first(file) over first_of_it as like_file, first(line) over first_of_it as like_line
    from vehicles
    window first_of_it as (partition by looks_like(vehicle_id) order by file, line)
),

pairs as (
    select *, case
            when lower(vehicle_id) = lower(like_id) then 'case'
            when lower(without_blanks(vehicle_id)) = lower(without_blanks(like_id)) then 'blanks'
            else 'characters that look alike or cannot be seen'
        end as differ_in
    from alike
    where vehicle_id <> like_id
)

select vehicle_id, file, line, like_id, like_file, like_line, differ_in,
    case when differ_in <> 'case' then nullif(array_to_string(list_transform(
        list_sort(list_distinct(
            list_filter(string_split(vehicle_id, ''), lambda one: not contains(lower(like_id), lower(one)))
            || list_filter(string_split(like_id, ''), lambda one: not contains(lower(vehicle_id), lower(one)))
        )),
        lambda one: printf('U+%04X', unicode(one))
    ), ', '), '') end as characters
from pairs
order by vehicle_id
