-- Everything that is wrong with the input or that it lacks, place by place, under a reason that places have in common.
--
-- one row: kind, table, column, reason, file, line, value
-- reads:   input_faults, quarantine, diagnoses, unmatched_lines, nearest_tasks, wording_rules, item_cost, items, not_judged, vehicles, loads, alike_vehicles, unknown_settings, run
-- gives:   severity  1 is the worst
--          kind      setting | file | row | value | reading | wording | price | judged | alike | unused
--          is_to_mend   something was not used; else it is there to be looked at
--          table, column   what it is; blank: the whole row, file or setting
--          reason    what is wrong, without what differs from place to place
--          file, line   where it stands; line 0: the whole file
--          value     as written
--          note      what probably happened, or what would settle it; null: nothing more is known

with places as (
    select kind, '' as "table", '' as "column", said as reason, file, line, '' as value, null as note from input_faults
    union all
    select 'setting', '', '', said, 'fleet.toml', line, '', null from unknown_settings
    union all
    select q.scope, q."table", coalesce(q."column", ''),
        case
            when q.scope = 'reading' then 'cannot be true beside the other readings; ' || case d.kind
                when 'none' then 'no simple slip explains it'
                else 'probably: ' || d.kind
            end
            when q.scope = 'row' and starts_with(q.reason, 'expected one that stands in vehicles')
                and not exists (from vehicles) then 'cannot be placed while no vehicle is known'
            when q.scope = 'row' then regexp_replace(regexp_replace(regexp_replace(
                split_part(q.reason, '; ', 1),
                ', found other values at .*', ', found an earlier one with other values'),
                '^found (a row of )?\d+ (cell|character)s?', 'found too many or too few \2s'),
                ' \(byte \d+ of the line\)', '')
            else q.reason
        end,
        q.file, q.line, coalesce(q.value, ''),
        case when q.scope = 'reading' then q.reason || '. ' || coalesce(q.diagnosis, '')
            when contains(q.reason, ' at ') or contains(q.reason, 'found') then q.reason end
    from quarantine q
    left join diagnoses d on d.file = q.file and d.line = q.line and d."column" = q."column" and q.scope = 'reading'
    union all
    select 'wording', 'history', 'description',
        case when wording = '' then 'no task, no kind and no words'
            else 'no task, and no rule reads "' || min(description) over (partition by wording) || '"'
                || coalesce('; a rule fits, but its task is not in the plan of these vehicles: ' || r.said, '')
                || coalesce('; nearest tasks: ' || n.tasks, '') end,
        u.file, u.line, '', case when u.cost > 0 then u.cost || ' ' || currency end
    from unmatched_lines u
    left join wording_rules r using (rule)
    left join (select wording, string_agg(task, ', ' order by rank) as tasks from nearest_tasks group by all) n using (wording),
        run
    union all
    select 'price', 'items', 'unit_cost', 'no price: neither a unit cost nor a pack with a price', i.file, i.line, i.item, null
    from items i
    join item_cost c using (item)
    where c.unit_cost is null
    union all
    select 'judged', 'vehicles', '', 'tasks that cannot be judged: ' || n.reason, v.file, v.line,
        n.vehicle_id || coalesce(' ' || n.task, ''), null
    from not_judged n
    join vehicles v using (vehicle_id)
    union all
    select 'alike', 'vehicles', 'vehicle_id', 'differs from the id of another vehicle only in ' || differ_in, file, line, vehicle_id,
        'the other is "' || like_id || '" (' || like_file || ':' || like_line || ')' || coalesce('; ' || characters, '')
    from alike_vehicles
    union all
    select 'unused', "table", '', 'columns that are not known and were not used', file, 1, columns_ignored, null
    from loads
    where columns_ignored <> ''
)

select list_position(['setting', 'file', 'row', 'value', 'reading', 'wording', 'price', 'judged', 'alike', 'unused'], kind) as severity,
    kind, kind in ('setting', 'file', 'row', 'value', 'reading') as is_to_mend,
    "table", "column", reason, file, line, value, note
from places
order by severity, "table", "column", reason, file, line, value
