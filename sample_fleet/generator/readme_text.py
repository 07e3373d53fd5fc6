"""The parts of the README that are plain text."""

# ruff: noqa: E501 - a paragraph of Markdown stays on one line

OPENING = """# The sample fleet

Everything here is invented: the operator, its places, people's hands, suppliers, products, prices, intervals. The intervals are common practice, no published source, and no advice for a real vehicle: there the maker's schedule, the local law and a licensed workshop decide. "Not due" never means "safe".

**Oxbarrow Works and Water** grades gravel roads and carries water in a dry, thinly settled country. It has 62 vehicles and machines (four of them not there in every week, see below) at three depots: **Harrow Bore** (roads and boreholes), **Cinder Flat** (a pipeline job that made everything there run about 30 % more from March 2026) and **Tallow Crossing** (river gauges and two camps). Four cost centres pay: `roads`, `water`, `power`, `camps`. Money is EUR, the financial year starts in July, records start on 2023-12-01; what the old card index still knew stands in `history/card_index-before-2023-12.csv`.

Eight classes: light four-wheel-drives (L, every oil a task of its own, level re-checks after both live axles), vans (V, `anchored`), pickups (P, dials in miles, `fixed`), tippers (T) and water tankers (W) with an A/B/C chain of covering services, wheel loaders (D, steps of 250 h) and generators (G) by hours, trailers (R) by time alone. About a third work under `severe` duty.

What is unusual, and meant to be:

* Water work peaks in the dry season (June to September), road work stops in the rains, camps are even. Weekends differ.
* Readings come from a tracker (km, date-times; twice a week, every day from 2026-09-28), from fuel cards (`mi` or `km` in the unit column, space instead of `T` in the date-time; the first file has a byte-order mark and CRLF) and from a hand log of hours (dates only).
* Services are written in seven hands. Harrow Bore and Tallow Crossing write a line for the work and one for each item, Cinder Flat one line with everything and often no odometer, the wheel shop only its bill, the field crews top-ups, remarks and wheel nuts, the test station its yearly tests; a relief fitter writes no task at all, only words, part of them German, often several works in one line (L15, P07, V08 since February 2025): the `[[wording]]` rules of `fleet.toml` read them, and six wordings are left unread on purpose. `mechanic`, `litres` are columns the contract does not know. One note in `history/harrow_bore-2023-to-2026-10.csv` runs over two lines.
* Dials were changed on P06 (miles, new dial starts at 12), T04 and D01 (hours). L13 has stood still since 2026-08-21; T08, V06, P07 and W05 stood still for a while.
* R06 was retired on 2025-10-31, V07 on 2026-11-16. L16 came on 2026-11-20, P09 comes on 2026-12-07.
* The sump washer of the light four-wheel-drives is new every time (`reuses` 0), the filler plug's serves three times (`reuses` 2), the axle fill plug's four times (`reuses` 3).
* `vehicle_tasks` and `vehicle_items` hold the exceptions with their reasons: L07's long-range sump, L11's other gearbox, T03 which is serviced at 8,000 km because it uses oil.
* Six young vehicles carry a maker's `warranty_until` and `warranty_distance`, and some of their repairs were paid for all the same; fifteen have a `price` and a `value_now` for the replacement pointer. The 1,000 h service of the loaders and the generators' valve gaps are marked `major`. Tyres follow an invented index (`price_indexes.csv`), oil and labour grow by rates of their own in `fleet.toml`.
* V01, V06, P01, L13, T01, T07, D04, G04 and W04 have tasks that nobody ever wrote down ("no record").
* `availability` and `pairs` say when V01 and W02 can come and which vehicles may not be off the road together (W01 and W02, L05 and L06, G03 and G04). Mechanics tick what they find of oils and filters by five codes: cabin filters of the light four-wheel-drives in normal duty come out clean and could run on, air filters in severe duty come out contaminated. T03 uses more oil than its handbook allows. Since November 2025 engine oil is dipped before it is drained (`below_mark`), T03's every month besides. The crews of Harrow Bore and Cinder Flat stand in `fleet.toml` by people and hours, Tallow Crossing's hours as they are. L13, T08, P07 and V06 lack a field of the register.
* In the plan, the labour and the items of a service that covers a smaller one are the extra over the smaller one, so that both together make the visit.

## Write it again

```console
$ python3 sample_fleet/generate.py
```

Standard library only, one seed, the same bytes each time. It writes every CSV here, this README, and `tests/planted_faults.csv` (elsewhere, because every CSV in here may be read as a table). `fleet.toml` is kept by hand. `python3 sample_fleet/generate.py FOLDER` writes elsewhere.
"""

STORIES = """## What to look for in the three weeks

Run each as-of date on the same folder: 2026-11-11 (W46), 2026-11-18 (W47), 2026-11-25 (W48). Days that hang on a daily rate may fall a day or two either side.

| vehicle | W46 | W47 | W48 |
| --- | --- | --- | --- |
| L05, pipeline patrol | axle oils done on 9 November, both re-checks due | both re-checks overdue | rear done on the 19th; the front was forgotten and is overdue |
| T05, pipe trench | nothing | wheels off on the 13th, wheel nuts overdue at 80 km | nuts re-torqued on the 19th, gone |
| L01, bore inspection | tyre rotation due, services overdue | tyres turned on the 17th and nothing else done; wheel nuts overdue | still not re-torqued |
| L06, pipeline patrol | wheels off on the 10th, wheel nuts overdue at 60 km | still not re-torqued | still not: more than 2,000 km late, the greatest share of an interval in the list |
| G02, relay station | mains out since the 6th, 14 h a day: oil change overdue | done on the 13th, upcoming | due again within the week |
| L08, up-country crew | engine oil and A service overdue | brake fluid and B service follow | both axle oils, transfer case, C service follow |
| W01, water tanker | A service overdue, tank cleaning due | all done on the 17th | later |
| T02, gravel | tipping gear and wet-season check overdue | the same | all done on the 24th |
| R03, pipe carrier | certificate upcoming | due | ran out on the 19th: overdue; season check due on the 27th |
| R05, camp kitchen | coupling check upcoming | due | done on the 24th |
| T01, gravel | tipping gear check upcoming | due | overdue by a day |
| V07, crew van | on the list | gone: retired on the 16th | gone |
| L16, bore inspection | not yet ours | not yet ours | first week |
| W03, water tanker | believable | a digit too many on the 17th is refused, nothing on the list jumps | a lost digit on a service line too |
| T07, tipper; P06, pickup; V04, van | overdue on many tasks, kept working | the same | the same, later by two weeks |
| T03, gravel | engine oil topped up more and more often, and more each time | | |

On 2026-11-25 between 6 and 7 % of the tasks are overdue, most of them on six vehicles; about 2 % are due within the week, about 19 % upcoming, about 2 % without a record.
"""
