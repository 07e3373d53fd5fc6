-- Lines that could be added to meter_changes.csv, since they would let readings stand that were refused. Suggested, never
-- applied: the day and the final reading are estimates, to be put right from the job card.
--
-- one row: vehicle_id, meter, changed_on
-- reads:   diagnoses
-- gives:   vehicle_id
--          changed_on       day; for an odometer that rolled over, that of the first reading after it
--          meter            odometer | hours
--          final_reading    in unit
--          first_reading    in unit
--          unit             km | mi | h
--          kind             meter changed | rollover
--          readings_settled how many refused readings it would let stand
--          csv_line         ready for meter_changes.csv: vehicle_id,changed_on,meter,final_reading,first_reading,unit

select vehicle_id, changed_on, meter, final_reading, first_reading, unit, kind, count(*) as readings_settled,
    case
        when regexp_matches(vehicle_id, '[",\r\n]') then '"' || replace(vehicle_id, '"', '""') || '"'
        else vehicle_id
    end || ',' || changed_on || ',' || meter || ',' || plain(final_reading) || ',' || plain(first_reading) || ',' || unit
        as csv_line
from diagnoses
where changed_on is not null
group by all
