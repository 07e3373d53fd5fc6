"""The week beyond one machine: the same queries on some of the vehicles at a time, by Dask's workers."""
