-- Arithmetic that several queries share. Distances (km), hours and rates are DECIMAL(18,7), in which a mile is exact, so
-- that sums and comparisons are exact too. Pure functions of their arguments: no macro reads a table.

-- 1 mi = 1.609344 km exactly (NIST SP 811, B.8).
create or replace temp macro to_km(distance, unit) as case unit
    when 'km' then distance::decimal(18, 7)
    when 'mi' then (distance::decimal(28, 7) * 1.609344)::decimal(18, 7)
    else error('a unit of distance is km or mi, found ' || coalesce(unit, 'blank'))::decimal(18, 7)
end;

create or replace temp macro from_km(distance, unit) as case unit
    when 'km' then distance::double
    else distance::double / 1.609344
end;

-- Whether a vehicle is in service on a day: from the day it comes, to the day before it is retired (NULL: it is not).
create or replace temp macro is_in_service(comes_on, leaves_on, on_day) as
    comes_on <= on_day and (leaves_on is null or leaves_on > on_day);

-- Whether a warranty runs on a day, with the odometer at so many km (NULL: not known, so that the day alone decides). It runs to the end
-- of its last day and up to its distance, that distance included, whichever ends first; with neither there is none.
create or replace temp macro runs_in_warranty(on_day, km, last_day_of_it, distance, unit) as
    (last_day_of_it is not null or distance is not null)
    and coalesce(on_day <= last_day_of_it, true)
    and coalesce(km <= to_km(distance, coalesce(unit, 'km')), true);

-- A length as whole ten-millionths, for exact division.
create or replace temp macro units(length) as (length::decimal(38, 7) * 10000000)::hugeint;

create or replace temp macro from_units(count) as (count::decimal(31, 0) * 0.0000001)::decimal(18, 7);

-- a / b rounded up to a whole number, b > 0. DuckDB's // cuts towards zero.
create or replace temp macro ceil_div(a, b) as case when a > 0 then (a + b - 1) // b else a // b end;

-- Days until `left` is used up at `rate` a day, rounded up; negative when it was passed. NULL at rate 0.
create or replace temp macro days_until(left_over, rate) as
    case when rate > 0 then ceil_div(units(left_over), units(rate)) end;

-- A day counted from another; NULL outside the years 1 to 9999, which no calendar here needs.
create or replace temp macro day_after(from_day, days) as case
    when days between date '0001-01-01' - from_day and date '9999-12-31' - from_day then from_day + days::integer
end;

-- A month is added with the day clamped to the month's end.
create or replace temp macro add_months(from_day, months) as (from_day + to_months(months::integer))::date;

-- The number (at least 1) of the step of `step` nearest to `reached`; half-way counts for the later one.
create or replace temp macro nearest_step(reached, step) as case
    -- greatest() would pass over a NULL.
    when reached is not null and step is not null
        then greatest(1, (2 * units(reached) + units(step)) // (2 * units(step)))
end::bigint;

create or replace temp macro step_at(number, step) as (number::decimal(28, 0) * step::decimal(28, 7))::decimal(18, 7);

-- The same for steps of months counted from a day. Of the three steps around, the nearest; a tie for the later.
create or replace temp macro nearest_month_step(from_day, months, reached) as case
    when reached is not null and months is not null then list_max(list_transform(
        [-1, 0, 1],
        lambda beside: {
            'closeness': -abs(reached - add_months(from_day,
                greatest(1, datediff('month', from_day, reached) // months + beside) * months)),
            'number': greatest(1, datediff('month', from_day, reached) // months + beside)
        }
    )).number
end::bigint;

-- The day of the year `month_day` (MM-DD) in a year; 29 February is the 28th in common years.
create or replace temp macro year_day(year, month_day) as least(
    make_date(year::bigint, month_day[1:2]::bigint, 1) + (month_day[4:5]::integer - 1),
    last_day(make_date(year::bigint, month_day[1:2]::bigint, 1))
)::date;

-- The first such day on or after a day.
create or replace temp macro next_year_day(from_day, month_day) as case
    when year_day(year(from_day), month_day) >= from_day then year_day(year(from_day), month_day)
    else year_day(year(from_day) + 1, month_day)
end;

-- The yearly day after the one that work done on a day counts for (from 60 days before it on).
create or replace temp macro year_day_after(done_on, month_day) as next_year_day(done_on + 61, month_day);

-- A number as it is written by hand: no zeros at the end.
create or replace temp macro plain(number) as regexp_replace(number::decimal(18, 7)::varchar, '\.?0+$', '');

-- Whether work done `off` a point (km, h) lies within a share of the interval that led to it, early or late.
create or replace temp macro within_tolerance(off, tolerance_pct, interval_length) as
    abs(units(off)) * units(100) <= units(tolerance_pct) * units(interval_length);

-- The day on which a meter has gained `left_over`. A point already passed was passed by the last reading at the latest; where
-- the meter stands still, one not yet reached has no day.
create or replace temp macro meter_date(as_of, left_over, rate, last_on) as case
    when left_over < 0 then coalesce(day_after(as_of, days_until(left_over, rate)), last_on)
    when left_over = 0 and rate = 0 then as_of
    else day_after(as_of, days_until(left_over, rate))
end;

-- A task's name for people; where nobody gave one, its code in plain writing: "brake_test" is "Brake test".
create or replace temp macro shown_title(title, task) as
    coalesce(title, upper(task[1:1]) || replace(task[2:], '_', ' '));

-- Distance of one edge after `days`: straight lines from 0 through the six points; beyond the last in proportion.
create or replace temp macro band_distance(days, y7, y14, y28, y91, y182, y364) as
    case
        when days <= 0 then 0::double
        when days <= 7 then y7::double * days / 7
        when days <= 14 then y7 + (y14 - y7)::double * (days - 7) / 7
        when days <= 28 then y14 + (y28 - y14)::double * (days - 14) / 14
        when days <= 91 then y28 + (y91 - y28)::double * (days - 28) / 63
        when days <= 182 then y91 + (y182 - y91)::double * (days - 91) / 91
        when days <= 364 then y182 + (y364 - y182)::double * (days - 182) / 182
        else y364::double * days / 364
    end;

-- Days until one edge reaches `distance`; null where it never does. The high edge gives the early day, the low the late.
create or replace temp macro band_days(distance, y7, y14, y28, y91, y182, y364) as
    case
        when distance <= 0 then 0::double
        when distance <= y7 then 7 * distance::double / y7
        when distance <= y14 then 7 + 7 * (distance - y7)::double / (y14 - y7)
        when distance <= y28 then 14 + 14 * (distance - y14)::double / (y28 - y14)
        when distance <= y91 then 28 + 63 * (distance - y28)::double / (y91 - y28)
        when distance <= y182 then 91 + 91 * (distance - y91)::double / (y182 - y91)
        when distance <= y364 then 182 + 182 * (distance - y182)::double / (y364 - y182)
        when y364 > 0 then 364 * distance::double / y364
    end;

-- A meter's value on a day, read off its believed readings: by the straight line between the one on or before the day and the next;
-- after the last at the daily rate; before the first its value.
create or replace temp macro read_off(on_day, first_value, read_on, high, next_on, next_low, rate) as case
    when read_on is null then first_value
    when read_on = on_day then high
    when next_on is null then (high + coalesce(rate, 0)::decimal(28, 7) * (on_day - read_on))::decimal(18, 7)
    else high + from_units(units(next_low - high) * (on_day - read_on) // (next_on - read_on))
end::decimal(18, 7);

-- A meter's value in the unit it is printed in, with one decimal.
create or replace temp macro shown_length(length, meter, distance_unit) as
    round(case meter when 'hours' then length::double else from_km(length, distance_unit) end, 1)::decimal(18, 1);

-- What is left until a due point, in the unit it is printed in; a point just passed never reads as nothing past.
create or replace temp macro shown_left(length, meter, distance_unit) as case
    when length < 0 then least(shown_length(length, meter, distance_unit), -0.1)
    else shown_length(length, meter, distance_unit)
end::decimal(18, 1);

-- A measure of a meter in the unit that people read: hours as they are.
create or replace temp macro in_unit(value, meter, distance_unit) as case meter
    when 'hours' then value
    else from_km(value, distance_unit)
end;

-- Loss of a quantile forecast (Koenker & Bassett 1978); without the factor 2 of Hyndman & Athanasopoulos, FPP3 5.9.
create or replace temp macro pinball_loss(quantile, actual, forecast) as
    case when actual >= forecast then (actual - forecast) * quantile else (forecast - actual) * (1 - quantile) end;

-- Scale of the mean absolute scaled error: the mean absolute change of a series over `season` steps (Hyndman & Koehler
-- 2006; FPP3 5.8). NULL where the series is not longer than that.
create or replace temp macro naive_scale(series, season) as
    list_avg(list_transform(series[season + 1:], lambda later, i: abs(later - series[i])));

-- The chance that what is expected on `due` comes by a day: straight lines through the early edge of its band (1 in 10), the
-- expected day (1 in 2) and the late edge (9 in 10), carried on to 0 and 1. Without a width on a side it comes on its day.
create or replace temp macro chance_by(day, due, days_early, days_late) as round(case
    when day < due then case
        when days_early > 0 then greatest(0, 0.5 - 0.4 * (due - day) / days_early) else 0 end
    when days_late > 0 then least(1, 0.5 + 0.4 * (day - due) / days_late)
    else 1
end::double, 9);

-- Litres in an amount of a unit of volume; NULL for any other unit. A quart, pint or gallon is the U.S. liquid one unless it says
-- `imp` (NIST SP 811, B.8, from 1 U.S. gal = 231 cubic inches; 1 imp gal = 4.54609 L).
create or replace temp macro litres(amount, unit) as (amount::decimal(28, 7) * case
    when lower(trim(unit)) in ('l', 'lt', 'ltr', 'litre', 'litres', 'liter', 'liters') then 1.000000000
    when lower(trim(unit)) in ('ml', 'millilitre', 'milliliter') then 0.001000000
    when lower(trim(unit)) in ('gal', 'us gal', 'gallon', 'gallons') then 3.785411784
    when lower(trim(unit)) in ('qt', 'us qt', 'quart', 'quarts') then 0.946352946
    when lower(trim(unit)) in ('pt', 'us pt', 'pint', 'pints') then 0.473176473
    when lower(trim(unit)) = 'imp gal' then 4.546090000
    when lower(trim(unit)) = 'imp qt' then 1.136522500
    when lower(trim(unit)) = 'imp pt' then 0.568261250
end)::decimal(28, 7);

-- A unit in which amounts are measured and need not be whole; every other one counts pieces.
create or replace temp macro is_measured(unit) as
    litres(1, unit) is not null or lower(trim(unit)) in ('kg', 'g', 'lb', 'oz', 'm', 'metre', 'meter', 'cm', 'mm', 'ft', 'in');

-- The first day of the financial year that a day lies in; years begin with the month `starts`.
create or replace temp macro year_from(day, starts) as
    make_date(year(day) - (month(day) < starts)::integer, starts, 1);

-- What a financial year is called: 2026, or 2026/27 where it does not begin in January.
create or replace temp macro year_name(day, starts) as case
    when starts = 1 then year(day)::varchar
    else year(year_from(day, starts))::varchar || '/' || right((year(year_from(day, starts)) + 1)::varchar, 2)
end;

-- The last day that a forecast looks at: the end of the month so many months after that of the as-of date.
create or replace temp macro forecast_until(as_of, months_ahead) as
    (date_trunc('month', as_of) + to_months(months_ahead + 1))::date - 1;

-- By how much a price grows in some days at a yearly rate: (1 + rate) ^ (days / 365.25), with 12 decimals.
create or replace temp macro grown(per_year, days) as
    pow(1 + per_year::double, days::double / 365.25)::decimal(18, 12);

-- Money in the currency's minor unit, halves away from zero.
create or replace temp macro to_minor(amount, digits) as case digits
    -- Each cast by itself: a wide decimal would lose the places of the others.
    when 0 then round(amount, 0)::decimal(18, 4)
    when 2 then round(amount, 2)::decimal(18, 4)
    when 3 then round(amount, 3)::decimal(18, 4)
    else round(amount, 4)::decimal(18, 4)
end;

-- How many minor units make one of the currency, and money from minor units, exact.
create or replace temp macro minor_units(digits) as
    case digits when 0 then 1 when 2 then 100 when 3 then 1000 else 10000 end::decimal(5, 0);
create or replace temp macro from_minor(units, digits) as (units::decimal(28, 0) * case digits
    when 0 then 1.0000 when 2 then 0.0100 when 3 then 0.0010 else 0.0001
end::decimal(6, 4))::decimal(18, 4);

-- Limits of a chart of individuals: mean plus and minus 3 moving ranges over d2 = 1.128 (NIST/SEMATECH e-Handbook 6.3.2.2).
create or replace temp macro individuals_limit(mean, mean_moving_range, side) as mean + side * 3 * mean_moving_range / 1.128;

-- Limits of a chart of counts: c plus and minus 3 roots of c, not below 0 (NIST/SEMATECH e-Handbook 6.3.3.1).
create or replace temp macro count_limit(c, side) as greatest(0, c + side * 3 * sqrt(c));

-- Words that several lines gave, each once, in order, '; ' between; null: none. A sorted aggregate does the same many times slower.
create or replace temp macro each_once(words) as nullif(array_to_string(list_sort(list_distinct(words)), '; '), '');
