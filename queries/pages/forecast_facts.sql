-- What the forecast's page says of the whole: whose money it is, by which rates, and what it does not hold.
--
-- one row: -
-- reads:   run, forecast_months, paid_lines, vehicles, accrual, warranty_work, occurrence_items, item_cost
--          plan_against_paid
-- gives:   fleet_name, as_of, currency, money_digits, distance_unit
--          months           whole months ahead
--          last_on          last day of the forecast
--          financial_year   of the as-of date
--          labour_rate, tax_rate, inflation_per_year, discount_rate
--          unpriced_items   items of the plan ahead without a price
--          unpriced_lines   lines of the history without money
--          unknown_paid     money paid for vehicles that are not known
--          coming_vehicles  vehicles that come into service later: nothing is planned for them
--          accrued          money, all tasks
--          accrued_major    money, of this what is marked major
--          warranty_paid    money, repairs inside a warranty
--          paid_pct         what planned work of two years was paid at, per cent of what the plan says; null: nothing done

select fleet_name, as_of, currency, money_digits, distance_unit, months_ahead as months,
    (select max(until_on) from forecast_months) as last_on, year_name(as_of, financial_year_starts) as financial_year,
    labour_rate, tax_rate, inflation_per_year, discount_rate,
    (select count(distinct i.item) from occurrence_items i join item_cost c using (item) where c.unit_cost is null) as unpriced_items,
    (select count(*) from paid_lines where amount = 0) as unpriced_lines,
    (select coalesce(sum(amount), 0)::decimal(18, 4) from paid_lines where not is_known) as unknown_paid,
    (select count(*) from vehicles, run r where in_service_on > r.as_of) as coming_vehicles,
    (select coalesce(sum(accrued), 0)::decimal(18, 4) from accrual) as accrued,
    (select coalesce(sum(accrued) filter (treatment = 'major'), 0)::decimal(18, 4) from accrual) as accrued_major,
    (select coalesce(sum(paid), 0)::decimal(18, 4) from warranty_work) as warranty_paid,
    (select (100 * sum(paid)::double / nullif(sum(planned), 0))::decimal(18, 1) from plan_against_paid) as paid_pct
from run
