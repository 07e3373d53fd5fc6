-- The 15 mixes of the five views: each alone, and each pair half and half.
--
-- one row: mix
-- reads:   -
-- gives:   mix
--          share_28
--          share_91
--          share_364
--          share_728
--          share_class
--          miss_before   how far each is expected to miss before anything is known, relative to the mean of all: the
--                        more so the fewer days it looks back on (square root of 1 + days ahead / days behind, scaled)

from (values
    ( 1, 1.0, 0.0, 0.0, 0.0, 0.0, 1.795::double),
    ( 2, 0.0, 1.0, 0.0, 0.0, 0.0, 1.142),
    ( 3, 0.0, 0.0, 1.0, 0.0, 0.0, 0.804),
    ( 4, 0.0, 0.0, 0.0, 1.0, 0.0, 0.730),
    ( 5, 0.0, 0.0, 0.0, 0.0, 1.0, 0.932),
    ( 6, 0.5, 0.5, 0.0, 0.0, 0.0, 1.336),
    ( 7, 0.5, 0.0, 0.5, 0.0, 0.0, 1.142),
    ( 8, 0.5, 0.0, 0.0, 0.5, 0.0, 1.106),
    ( 9, 0.5, 0.0, 0.0, 0.0, 0.5, 1.118),
    (10, 0.0, 0.5, 0.5, 0.0, 0.0, 0.902),
    (11, 0.0, 0.5, 0.0, 0.5, 0.0, 0.855),
    (12, 0.0, 0.5, 0.0, 0.0, 0.5, 0.871),
    (13, 0.0, 0.0, 0.5, 0.5, 0.0, 0.750),
    (14, 0.0, 0.0, 0.5, 0.0, 0.5, 0.768),
    (15, 0.0, 0.0, 0.0, 0.5, 0.5, 0.750)
) as m(mix, share_28, share_91, share_364, share_728, share_class, miss_before)
