-- How far ahead projections are judged: in days, and in months for fleets that are read once a month.
--
-- A reading taken on the same day of every month falls on a month ahead exactly, and on 7 or 28 days ahead only between two.
--
-- one row: horizon
-- reads:   -
-- gives:   turn       order, by length
--          horizon    in words
--          days       ahead of the as-of date; null: counted in months
--          months     likewise; null: counted in days
--          after_days due points of this horizon are reached more than so many days ahead; null: not asked for due points

from (values
    (1, '7 days', 7, null::integer, 0),
    (2, '28 days', 28, null, 7),
    (3, '1 month', null::integer, 1, null),
    (4, '91 days', 91, null, 28),
    (5, '3 months', null, 3, null),
    (6, '6 months', null, 6, null),
    (7, '365 days', 365, null, 91),
    (8, '12 months', null, 12, null)
) as h(turn, horizon, days, months, after_days)
